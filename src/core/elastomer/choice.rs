//! What to order a ring in: polymer and hardness chosen from its duty, never from its colour nor from the old ring.
//!
//! From gas, share of oxygen against a named threshold, pressure and motion, with reason, source and confidence; never
//! from colour, and not at all where the pressure on the ring is not recorded.

use super::polymer::Polymer;
use super::polymer_fitness::Rating;
use crate::core::confidence::Confidence;
use crate::core::duty::Duty;
use crate::core::gas::{GasService, OxygenThreshold};
use crate::core::quantity::Spoken;
use crate::core::quantity::{Hardness, HardnessScale, Pressure, PressureUnit};
use serde::Serialize;

/// What is known of the work that a ring has to do.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SealDuty {
    pub gas: Option<String>,
    /// Share of oxygen in it, 0 to 1.
    pub oxygen: Option<f64>,
    /// Greatest pressure that this ring holds.
    pub pressure: Option<Pressure>,
    /// Greatest pressure that the unit is supplied with.
    pub supply: Option<Pressure>,
    pub motion: Option<Duty>,
}

/// A choice of polymer and hardness with its reasons.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ElastomerChoice {
    /// The polymer; `None` where no rule is at hand.
    pub polymer: Option<Polymer>,
    pub polymer_reason: String,
    /// The hardness; `None` where the pressure on the ring is not known.
    pub hardness: Option<Hardness>,
    pub hardness_reason: String,
    pub source: &'static str,
    pub confidence: Confidence,
    /// Points to see before ordering.
    pub cautions: Vec<String>,
}

/// From this pressure on a 70 Shore A ring is trusted to bridge hardly any gap: a published table of greatest diametral
/// clearances (Seal & Design, "Limits of diametral clearance against fluid pressure") allows it 0.25 mm up to 1000 psi
/// and 0.15 mm or less above, where 90 Shore A has 0.6 and 0.5 mm.
const HIGH_PRESSURE_PSI: f64 = 1000.0;
/// The hardness for high pressure, Shore A.
const HARD: f64 = 90.0;
/// The usual hardness, Shore A.
const USUAL: f64 = 70.0;
/// Two hardnesses within the usual manufacturing tolerance are the same: ±5 Shore A.
const HARDNESS_TOLERANCE: f64 = 5.0;

const SOURCE: &str = "polymer: ratings in data/elastomers/polymers.csv (recalled), longer life of FKM and EPDM in \
enriched gas from a dive retailer's guide; hardness: trade practice and a seal maker's table of extrusion clearances";

impl ElastomerChoice {
    /// Chooses polymer and hardness for a duty.
    pub fn of(duty: &SealDuty, threshold: &OxygenThreshold) -> Self {
        let service = GasService::judge(duty.gas.as_deref(), duty.oxygen, threshold);
        let mut cautions = Vec::new();
        let (polymer, polymer_reason) = polymer(&service, threshold, &mut cautions);
        let (hardness, hardness_reason) = hardness(duty);
        if polymer == Some(Polymer::Fkm) && duty.motion == Some(Duty::Moving) {
            cautions.push(
                "standard FKM stiffens below about -15 °C: for a moving ring in cold water or fast gas, EPDM is the other choice"
                    .to_owned(),
            );
        }
        Self {
            polymer,
            polymer_reason,
            hardness: hardness.and_then(Hardness::shore_a),
            hardness_reason,
            source: SOURCE,
            confidence: Confidence::Memory,
            cautions,
        }
    }

    /// Names what speaks against the polymer and the hardness that a note records.
    pub fn contradictions(
        &self,
        duty: &SealDuty,
        threshold: &OxygenThreshold,
        polymer: Option<Polymer>,
        hardness: Option<Hardness>,
    ) -> Vec<String> {
        let service = GasService::judge(duty.gas.as_deref(), duty.oxygen, threshold);
        let unsuitable = polymer.map(|polymer| polymer.in_gas(&service));
        let unsuitable = unsuitable
            .filter(|judged| judged.rating == Some(Rating::Unsuitable))
            .map(|judged| {
                format!(
                    "the note records {}: {} ({})",
                    judged.polymer, judged.reason, judged.confidence
                )
            });
        let soft = match (hardness, self.hardness) {
            (Some(recorded), Some(chosen))
                if recorded.scale == HardnessScale::ShoreA
                    && recorded.value < chosen.value - HARDNESS_TOLERANCE =>
            {
                Some(format!(
                    "the note records {recorded}, this place asks for {chosen}: too soft for the pressure, a risk of extrusion"
                ))
            }
            _ => None,
        };
        unsuitable.into_iter().chain(soft).collect()
    }
}

fn polymer(
    service: &GasService,
    threshold: &OxygenThreshold,
    cautions: &mut Vec<String>,
) -> (Option<Polymer>, String) {
    match service {
        GasService::Air => (
            Some(Polymer::Nbr),
            format!("air: no more oxygen than {threshold}"),
        ),
        GasService::Enriched { share } => {
            let stated = share.map_or_else(
                || "enriched gas, share not stated".to_owned(),
                |share| format!("{} % oxygen", (share * 1000.0).round() / 10.0),
            );
            cautions.push(for_oxygen(threshold));
            (
                Some(Polymer::Fkm),
                format!("{stated}: above {threshold}; FKM and EPDM last longer there"),
            )
        }
        GasService::Unsettled { .. } => {
            cautions.push(for_oxygen(threshold));
            (
                Some(Polymer::Fkm),
                format!(
                    "the gas is not settled and is treated as oxygen-enriched (above {threshold}); FKM and EPDM last \
                        longer there"
                ),
            )
        }
        GasService::Other { words } => (
            None,
            format!("no rule covers the gas {words:?}: choose with the supplier"),
        ),
    }
}

/// What enriched gas asks of a part beside its polymer.
fn for_oxygen(threshold: &OxygenThreshold) -> String {
    format!(
        "oxygen-enriched gas (threshold {threshold}): the part must be oxygen-clean as well as compatible, \
         lubricant rated for oxygen, no hydrocarbon oil or silicone grease"
    )
}

fn hardness(duty: &SealDuty) -> (Option<f64>, String) {
    let psi = |pressure: Pressure| pressure.gauge_in(PressureUnit::Psi);
    let said = |pressure: Pressure| {
        let bar = pressure.gauge_in(PressureUnit::Bar);
        Spoken::written(bar).say(bar)
    };
    match (duty.pressure, duty.supply) {
        (Some(pressure), _) if psi(pressure) > HIGH_PRESSURE_PSI => (
            Some(HARD),
            format!(
                "{} on the ring: above {} a softer ring extrudes into small gaps",
                said(pressure),
                said(pressure).spoken.say(HIGH_PRESSURE_PSI / Spoken::Psi.of_bar(1.0))
            ),
        ),
        (Some(pressure), _) => (
            Some(USUAL),
            format!("{} on the ring: low pressure", said(pressure)),
        ),
        (None, Some(supply)) if psi(supply) <= HIGH_PRESSURE_PSI => (
            Some(USUAL),
            format!("the supply is {} at most: low pressure", said(supply)),
        ),
        (None, _) => (
            None,
            "pressure on this ring not recorded: 90 Shore A where it holds supply pressure, 70 where it does not"
                .to_owned(),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn duty(gas: &str, bar: Option<f64>) -> SealDuty {
        SealDuty {
            gas: Some(gas.to_owned()),
            pressure: bar.and_then(|bar| Pressure::gauge(bar, PressureUnit::Bar)),
            supply: Pressure::gauge(200.0, PressureUnit::Bar),
            ..SealDuty::default()
        }
    }

    fn chosen(duty: &SealDuty) -> ElastomerChoice {
        ElastomerChoice::of(duty, &OxygenThreshold::default())
    }

    #[test]
    fn high_pressure_asks_for_90_and_low_for_70() {
        // Trade practice: 90 Shore A at high pressure, 70 at low pressure or static.
        let hardness = |bar| chosen(&duty("air", bar)).hardness.map(|h| h.value);
        assert_eq!(hardness(Some(200.0)), Some(90.0));
        assert_eq!(hardness(Some(10.0)), Some(70.0));
        assert_eq!(hardness(None), None, "never guessed where supply is high");
        let mut low = duty("air", None);
        low.supply = Pressure::gauge(12.0, PressureUnit::Bar);
        assert_eq!(chosen(&low).hardness.map(|h| h.value), Some(70.0));
    }

    #[test]
    fn oxygen_asks_for_another_polymer_than_air() {
        assert_eq!(chosen(&duty("air", None)).polymer, Some(Polymer::Nbr));
        let enriched = chosen(&duty("nitrox 36", None));
        assert_eq!(enriched.polymer, Some(Polymer::Fkm));
        assert!(enriched.polymer_reason.contains("23.5 % (CGA usage)"));
        assert!(enriched.cautions[0].contains("oxygen-clean"));
        assert_eq!(chosen(&duty("helium", None)).polymer, None);
        for unsettled in [SealDuty::default(), duty("oxigen", None)] {
            let choice = chosen(&unsettled);
            assert_eq!(choice.polymer, Some(Polymer::Fkm));
            assert!(choice.polymer_reason.contains("not settled"));
            assert!(choice.cautions[0].contains("oxygen-clean"));
        }
    }

    #[test]
    fn a_recorded_material_that_contradicts_the_duty_is_named() {
        let threshold = OxygenThreshold::default();
        let enriched = duty("nitrox 36", Some(200.0));
        let choice = chosen(&enriched);
        let soft = Hardness::shore_a(70.0);
        let found = choice.contradictions(&enriched, &threshold, Some(Polymer::Nbr), soft);
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(found[0].contains("NBR") && found[0].contains("oxygen-enriched"));
        assert!(found[1].contains("70 Shore A") && found[1].contains("90 Shore A"));
        let air = duty("air", Some(200.0));
        let right = Hardness::shore_a(90.0);
        assert!(
            chosen(&air)
                .contradictions(&air, &threshold, Some(Polymer::Nbr), right)
                .is_empty()
        );
    }
}
