//! Which size the rings of one place are, over all units that were measured.

use super::gather::Member;
use super::gland_variants::gland_differences;
use crate::core::gland::GlandSpec;
use crate::core::identification::{
    Candidates, Evidence, Identification, Identifier, Observation, THREE_SIGMA, disagreement,
    identify_together,
};
use crate::core::measurement::{Instruments, Measurand};

/// Holds the sizes that the units speak for: one group where they agree, several where they do not.
#[derive(Debug, Clone)]
pub struct RingSizing {
    /// Groups of units that agree among themselves, the largest first.
    pub groups: Vec<SizeGroup>,
    /// Units whose ring was not measured, or not so that it can be used.
    pub unmeasured: Vec<usize>,
    /// Why readings could not be used.
    pub faults: Vec<String>,
}

/// Holds units whose rings can be of one size, with the odds of their readings together.
#[derive(Debug, Clone)]
pub struct SizeGroup {
    /// The units.
    pub units: Vec<usize>,
    /// The odds of every listed size.
    pub identification: Identification,
    /// Readings with their instrument's bias taken off, by unit.
    pub observations: Vec<(usize, Observation)>,
}

/// Two groups exclude each other when the odds they give have less in common than this: Σ min(p, q) over all sizes.
const LEAST_IN_COMMON: f64 = 0.01;

/// Holds units that may be of one size, while groups are being formed.
#[derive(Clone)]
struct Party<'g> {
    units: Vec<usize>,
    /// The readings of each unit, in the order of `units`.
    evidences: Vec<Evidence>,
    glands: Vec<&'g GlandSpec>,
    identification: Identification,
}

impl RingSizing {
    /// Sizes the rings of one place.
    ///
    /// Units are joined into groups, those that agree best first, until no two groups agree. Two groups agree unless one
    /// shared size explains all their readings worse than a size for each by more than three standard deviations
    /// ([`disagreement`]), the odds that they give exclude each other (less than 1 % in common), or their glands differ
    /// by more than three combined standard uncertainties, so that the units are variants. The readings of a group are
    /// weighed together; groups are never averaged.
    pub fn of(
        members: &[Member<'_>],
        identifier: &mut Identifier<'_>,
        instruments: &Instruments,
    ) -> Self {
        let mut parties = Vec::new();
        let mut unmeasured = Vec::new();
        let mut faults = Vec::new();
        for member in members {
            let entry = &member.part.entry;
            if entry.readings.is_empty() {
                unmeasured.push(member.unit);
                continue;
            }
            let polymer = entry.polymer.as_ref().map(|p| p.value);
            let condition = entry.condition_or_used();
            match Evidence::new(&entry.readings, condition, polymer, instruments) {
                Ok(evidence) => parties.push(Party {
                    units: vec![member.unit],
                    identification: identifier.identify(&evidence),
                    evidences: vec![evidence],
                    glands: entry.gland.iter().collect(),
                }),
                Err(error) => {
                    unmeasured.push(member.unit);
                    faults.push(error.to_string());
                }
            }
        }
        let mut groups: Vec<SizeGroup> = joined(parties, identifier.candidates())
            .into_iter()
            .map(size_group)
            .collect();
        groups.sort_by_key(|group| (std::cmp::Reverse(group.units.len()), group.units.clone()));
        Self {
            groups,
            unmeasured,
            faults,
        }
    }

    /// Tells whether the largest group is larger than every other.
    pub fn has_majority(&self) -> bool {
        match self.groups.as_slice() {
            [] => false,
            [_] => true,
            [first, second, ..] => first.units.len() > second.units.len(),
        }
    }
}

fn size_group(party: Party<'_>) -> SizeGroup {
    let observations = party
        .units
        .iter()
        .zip(&party.evidences)
        .flat_map(|(unit, evidence)| {
            let read = evidence.observations().iter();
            read.map(|observation| (*unit, *observation))
        })
        .collect();
    let mut units = party.units;
    units.sort_unstable();
    SizeGroup {
        units,
        identification: party.identification,
        observations,
    }
}

/// Joins the two parties that agree best, again and again, until no two agree.
fn joined<'g>(mut parties: Vec<Party<'g>>, candidates: &Candidates) -> Vec<Party<'g>> {
    loop {
        let mut best: Option<(f64, usize, usize)> = None;
        for a in 0..parties.len() {
            for b in a + 1..parties.len() {
                let statistic = discord(&parties[a], &parties[b]);
                if statistic <= THREE_SIGMA && best.is_none_or(|(least, ..)| statistic < least) {
                    best = Some((statistic, a, b));
                }
            }
        }
        let Some((_, a, b)) = best else {
            return parties;
        };
        let other = parties.remove(b);
        let party = &mut parties[a];
        party.units.extend(other.units);
        party.evidences.extend(other.evidences);
        party.glands.extend(other.glands);
        party.identification = identify_together(&party.evidences, candidates);
    }
}

/// Says how much two parties disagree; infinite where their glands differ or their odds exclude each other.
fn discord(a: &Party<'_>, b: &Party<'_>) -> f64 {
    let variants = a
        .glands
        .iter()
        .any(|x| b.glands.iter().any(|y| !gland_differences(x, y).is_empty()));
    if variants || in_common(&a.identification, &b.identification) < LEAST_IN_COMMON {
        return f64::INFINITY;
    }
    disagreement(&a.evidences, &b.evidences)
}

fn in_common(a: &Identification, b: &Identification) -> f64 {
    let of_b = |ring: usize| {
        b.ranked
            .iter()
            .find(|other| other.ring == ring)
            .map_or(0.0, |other| other.probability)
    };
    let listed: f64 = a
        .ranked
        .iter()
        .map(|ranked| ranked.probability.min(of_b(ranked.ring)))
        .sum();
    // Two sizes that are not listed need not be one: they are common ground only where both parties think first of that,
    // and then their readings decide.
    let unlisted = a.unlisted_probability.min(b.unlisted_probability);
    listed + if unlisted > 0.5 { unlisted } else { 0.0 }
}

impl SizeGroup {
    /// Returns the mean of one measurand over all units with its standard uncertainty.
    ///
    /// The mean is weighted by 1/u² of the instruments; where the units scatter more than the instruments explain, as worn
    /// rings do, the uncertainty is widened by the ratio of the two (Birge, Physical Review 40 (1932) 207).
    pub fn pooled(&self, measurand: Measurand) -> Option<(f64, f64)> {
        let read: Vec<&Observation> = self
            .observations
            .iter()
            .map(|(_, observation)| observation)
            .filter(|observation| observation.measurand == measurand)
            .collect();
        let total: f64 = read.iter().map(|o| 1.0 / o.variance).sum();
        if read.is_empty() || total <= 0.0 {
            return None;
        }
        let mean = read.iter().map(|o| o.value / o.variance).sum::<f64>() / total;
        let square: f64 = read
            .iter()
            .map(|o| (o.value - mean) * (o.value - mean) / o.variance)
            .sum();
        let birge = match read.len() {
            1 => 1.0,
            many => libm::sqrt(square / (many - 1) as f64).max(1.0),
        };
        Some((mean, birge / libm::sqrt(total)))
    }

    /// Writes the pooled readings in words: `od 12.84 ±0.05 mm, cs 1.77 ±0.03 mm`.
    pub fn pooled_words(&self) -> String {
        let words: Vec<String> = Measurand::ALL
            .iter()
            .filter_map(|(measurand, word)| {
                let (mean, uncertainty) = self.pooled(*measurand)?;
                let unit = unit_of(*measurand);
                Some(format!("{word} {mean:.2} ±{uncertainty:.2} {unit}"))
            })
            .collect();
        words.join(", ")
    }

    /// Says by how much the pooled readings differ from those of another group.
    pub fn differences(&self, other: &Self) -> Vec<String> {
        Measurand::ALL
            .iter()
            .filter_map(|(measurand, word)| {
                let (own, _) = self.pooled(*measurand)?;
                let (theirs, _) = other.pooled(*measurand)?;
                let unit = unit_of(*measurand);
                Some(format!("{word} {own:.2} against {theirs:.2} {unit}"))
            })
            .collect()
    }
}

fn unit_of(measurand: Measurand) -> &'static str {
    if measurand == Measurand::Mass {
        "g"
    } else {
        "mm"
    }
}

#[cfg(test)]
mod tests {
    use super::super::unit_record::RecordedPart;
    use super::*;
    use crate::core::identification::Prior;
    use crate::core::measurement::{Measurand, Reading};
    use crate::core::note::{Entry, PartKind};
    use crate::core::sizes::SizeTable;

    fn ring(od: &str, cs: &str) -> RecordedPart {
        let read = |measurand, text: &str| Reading::parse(measurand, text, None).expect("reads");
        RecordedPart {
            entry: Entry {
                kind: PartKind::Ring,
                readings: vec![read(Measurand::Od, od), read(Measurand::Cs, cs)],
                ..Entry::default()
            },
            kept: None,
        }
    }

    fn sized(parts: &[RecordedPart]) -> RingSizing {
        let members: Vec<Member<'_>> = parts
            .iter()
            .enumerate()
            .map(|(unit, part)| Member { unit, part })
            .collect();
        let candidates = Candidates::new(SizeTable::shipped(), &Prior::default());
        RingSizing::of(
            &members,
            &mut Identifier::new(&candidates),
            Instruments::shipped(),
        )
    }

    fn first_code(group: &SizeGroup) -> String {
        let table = SizeTable::shipped();
        let ring = &table.rings()[group.identification.ranked[0].ring];
        table.codes(ring)[0].clone()
    }

    #[test]
    fn units_that_agree_are_one_group() {
        let sizing = sized(&[
            ring("12.80 mm by caliper", "1.72 mm by caliper"),
            ring("12.88 mm by caliper", "1.69 mm by caliper"),
            ring("12.74 mm by caliper", "1.74 mm by caliper"),
        ]);
        assert_eq!(sizing.groups.len(), 1);
        assert_eq!(sizing.groups[0].units, [0, 1, 2]);
        assert_eq!(first_code(&sizing.groups[0]), "AS568-012");
        assert!(sizing.has_majority());
    }

    #[test]
    fn a_unit_with_another_ring_stands_apart_and_moves_nothing() {
        let agreeing = [
            ring("12.80 mm by caliper", "1.72 mm by caliper"),
            ring("12.74 mm by caliper", "1.74 mm by caliper"),
        ];
        let alone = sized(&agreeing);
        let [a, b] = agreeing;
        let mixed = sized(&[a, ring("14.40 mm by caliper", "1.72 mm by caliper"), b]);
        assert_eq!(mixed.groups.len(), 2);
        assert_eq!(mixed.groups[0].units, [0, 2]);
        assert_eq!(mixed.groups[1].units, [1]);
        assert_eq!(first_code(&mixed.groups[1]), "AS568-013");
        let odds = |sizing: &RingSizing| sizing.groups[0].identification.ranked[0].probability;
        assert!((odds(&mixed) - odds(&alone)).abs() < 1e-12);
    }

    #[test]
    fn two_units_that_disagree_have_no_majority() {
        let sizing = sized(&[
            ring("12.80 mm by caliper", "1.72 mm by caliper"),
            ring("14.40 mm by caliper", "1.72 mm by caliper"),
        ]);
        assert_eq!(sizing.groups.len(), 2);
        assert!(!sizing.has_majority());
    }

    #[test]
    fn a_ring_that_was_not_measured_has_no_say() {
        let mut blank = ring("12.80 mm by caliper", "1.72 mm by caliper");
        blank.entry.readings.clear();
        let mut odd = ring("12.80 mm by laser", "1.72 mm by caliper");
        odd.entry.readings.truncate(1);
        let sizing = sized(&[blank, odd]);
        assert!(sizing.groups.is_empty());
        assert_eq!(sizing.unmeasured, [0, 1]);
        assert!(sizing.faults[0].contains("laser"));
    }
}
