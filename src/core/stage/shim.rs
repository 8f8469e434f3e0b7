//! The next shim, or the next turn of the screw: from this unit's own settings first, from theory as the first guess.

use super::fit::{Line, fit_line};
use super::stack::{ShimStock, Stack, stack_for};
use crate::core::quantity::Spoken;
use crate::core::quantity::{Length, as_mm};
use serde::Serialize;

/// Names what sets the preload.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "lowercase", tag = "adjuster")]
pub enum Adjuster {
    /// Shims: those in stock together with those fitted now.
    Shims {
        /// What may be stacked.
        at_hand: Vec<ShimStock>,
    },
    /// A screw, which takes any place.
    Screw {
        /// Travel of one turn.
        #[serde(rename = "pitch_mm", serialize_with = "as_mm")]
        pitch: Length,
    },
}

/// One setting of this unit: a place of the adjuster and the pressure read there.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AdjusterSetting {
    /// Thickness of the stack, or travel of the screw from a mark, in millimetres; a screw may stand below 0.
    pub place_mm: f64,
    /// Pressure read, in bar.
    pub pressure_bar: f64,
}

/// What is asked of the next setting.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShimQuestion {
    /// Settings, oldest first; the last is how the unit stands.
    pub settings: Vec<AdjusterSetting>,
    pub target_bar: f64,
    /// The unit in which it was typed.
    #[serde(skip)]
    pub spoken: Spoken,
    /// Standard uncertainty of one reading in bar: gauge scatter and friction.
    pub reading_sd_bar: f64,
    /// Rise in bar a millimetre by theory, with its standard uncertainty; `None`: the usual range of such stages.
    pub theory: Option<(f64, f64)>,
    /// Shims or screw.
    pub adjuster: Adjuster,
}

/// The next setting with what it will give.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextSetting {
    /// Rise in bar a millimetre.
    pub rise_bar_per_mm: f64,
    /// Its standard uncertainty.
    pub rise_sd: f64,
    /// Whether the unit's own settings outweigh theory in that rise.
    pub own_settings_rule: bool,
    /// Place that would meet the target exactly, in millimetres.
    pub wanted_mm: f64,
    /// Place to take: the stack, or the wanted place of a screw.
    pub take_mm: f64,
    /// The stack, where shims set the preload.
    pub stack: Option<Stack>,
    /// Turns from how the unit stands, where a screw does; above 0 is in.
    pub turns: Option<f64>,
    /// Pressure expected there, in bar.
    pub expected_bar: f64,
    /// Its standard uncertainty.
    pub expected_sd: f64,
    /// Change from how the unit stands, in millimetres.
    pub change_mm: f64,
    /// Whether the unit is best left as it stands.
    pub leave: bool,
    /// Further readings at the new setting that halve the doubt of a setting after it; `None` where friction forbids it.
    pub readings_to_halve: Option<u32>,
    /// Points to see before relying on it.
    pub warnings: Vec<String>,
}

/// Rise in bar a millimetre where no theory is given: springs of 40 to 90 N/mm on 22 to 32 mm heads, recalled.
const USUAL_RISE: (f64, f64) = (1.2, 0.5);
/// A stack that comes this near to the present one is no change, in bar.
const SAME_BAR: f64 = 0.03;
/// Readings that are looked at to halve a doubt.
const MOST_READINGS: u32 = 12;

/// Works out the next setting.
///
/// The rise has the prior of theory; the settings of this unit sharpen it by regression, so that two real settings far
/// apart overrule the theory. `None` without any setting.
pub fn next_setting(question: &ShimQuestion) -> Option<NextSetting> {
    let last = *question.settings.last()?;
    let line = line_of(question, &[])?;
    let wanted = wanted_place(&line, question.target_bar, last);
    let (take, stack) = match &question.adjuster {
        Adjuster::Screw { .. } => (wanted, None),
        Adjuster::Shims { at_hand } => {
            let stack = stack_for(
                at_hand,
                Length::from_mm(wanted.max(0.0)).unwrap_or(Length::ZERO),
            );
            (stack.total.mm(), Some(stack))
        }
    };
    let (expected, expected_sd) = line.at(take);
    let gained = (question.target_bar - line.at(last.place_mm).0).abs()
        - (question.target_bar - expected).abs();
    let leave = gained < SAME_BAR;
    let (place, stack) = if leave {
        (last.place_mm, None)
    } else {
        (take, stack)
    };
    let change = place - last.place_mm;
    Some(NextSetting {
        rise_bar_per_mm: line.slope,
        rise_sd: line.slope_sd,
        own_settings_rule: own_settings_rule(question, &line),
        wanted_mm: wanted,
        take_mm: place,
        turns: match question.adjuster {
            Adjuster::Screw { pitch } => Some(change / pitch.mm()),
            Adjuster::Shims { .. } => None,
        },
        expected_bar: line.at(place).0,
        expected_sd,
        change_mm: change,
        leave,
        readings_to_halve: readings_to_halve(question, take, expected_sd),
        warnings: warnings(question, &line, wanted, take),
        stack,
    })
}

fn line_of(question: &ShimQuestion, more: &[(f64, f64)]) -> Option<Line> {
    let points: Vec<(f64, f64)> = question
        .settings
        .iter()
        .map(|s| (s.place_mm, s.pressure_bar))
        .chain(more.iter().copied())
        .collect();
    let prior = question.theory.unwrap_or(USUAL_RISE);
    fit_line(&points, question.reading_sd_bar, Some(prior))
}

/// The place that meets the target; a rise that is not above zero (settings that contradict the trade) moves nothing.
fn wanted_place(line: &Line, target: f64, last: AdjusterSetting) -> f64 {
    if line.slope <= 0.0 {
        return last.place_mm;
    }
    line.centre + (target - line.level) / line.slope
}

fn own_settings_rule(question: &ShimQuestion, line: &Line) -> bool {
    let prior = question.theory.unwrap_or(USUAL_RISE).1;
    // Weight is the inverse square; the settings hold more than half of it below prior/√2.
    line.slope_sd < prior * std::f64::consts::FRAC_1_SQRT_2
}

fn readings_to_halve(question: &ShimQuestion, take: f64, now: f64) -> Option<u32> {
    (1..=MOST_READINGS).find(|count| {
        let more = vec![(take, question.target_bar); *count as usize];
        line_of(question, &more).is_some_and(|line| line.at(take).1 <= now / 2.0)
    })
}

fn warnings(question: &ShimQuestion, line: &Line, wanted: f64, take: f64) -> Vec<String> {
    let mut notes = Vec::new();
    if line.slope <= 0.0 {
        notes.push(
            "these settings say that more preload lowers the pressure: one of them is wrong (other supply, other gauge, or read before it settled); read again".to_owned(),
        );
    }
    if wanted < 0.0 && matches!(question.adjuster, Adjuster::Shims { .. }) {
        notes.push("even without a shim the pressure stays above the target: look for a swollen seat, a wrong spring or a high gauge".to_owned());
    }
    let off = (question.target_bar - line.at(take).0).abs();
    if matches!(question.adjuster, Adjuster::Shims { .. }) && line.slope > 0.0 && off > COARSE_BAR {
        notes.push(
            "the shims in stock come no nearer than that: a thinner shim, or one more, is needed"
                .to_owned(),
        );
    }
    let rests = question.theory.is_none() && !own_settings_rule(question, line);
    if rests {
        notes.push("the rise is that of usual stages (springs of 40 to 90 N/mm under 22 to 32 mm heads, recalled), not of this unit: a second setting settles it".to_owned());
    }
    notes
}

/// Half of the 5 psi within which common practice leaves a setting alone, in bar.
const COARSE_BAR: f64 = 0.17;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::stage::parse_shims;

    const PSI: f64 = 0.068_947_57;

    fn question(settings: &[(f64, f64)], theory: Option<(f64, f64)>) -> ShimQuestion {
        ShimQuestion {
            settings: settings
                .iter()
                .map(|(place_mm, psi)| AdjusterSetting {
                    place_mm: *place_mm,
                    pressure_bar: psi * PSI,
                })
                .collect(),
            target_bar: 145.0 * PSI,
            spoken: Spoken::Psi,
            reading_sd_bar: 0.05,
            theory,
            adjuster: Adjuster::Shims {
                at_hand: parse_shims("0.25x4 0.10x4 0.05x2 mm", None).expect("reads"),
            },
        }
    }

    #[test]
    fn two_own_settings_far_apart_overrule_a_wrong_theory() {
        // 20 psi a millimetre by the unit, 40 by the theory.
        let theory = Some((40.0 * PSI, 4.0 * PSI));
        let far =
            next_setting(&question(&[(0.0, 125.0), (1.5, 155.0)], theory)).expect("a setting");
        assert!(far.own_settings_rule);
        assert!(
            (far.rise_bar_per_mm / PSI - 20.0).abs() < 1.5,
            "{}",
            far.rise_bar_per_mm / PSI
        );
        assert!((far.take_mm - 1.0).abs() < 0.051, "{}", far.take_mm);
        let one = next_setting(&question(&[(0.5, 125.0)], theory)).expect("a setting");
        assert!(!one.own_settings_rule);
        assert!((one.take_mm - 1.0).abs() < 1e-9, "{}", one.take_mm);
    }

    #[test]
    fn a_unit_at_its_target_is_left_alone() {
        let next = next_setting(&question(&[(0.5, 145.0)], None)).expect("a setting");
        assert!(next.leave && next.stack.is_none() && next.change_mm.abs() < 1e-12);
    }

    #[test]
    fn a_unit_that_no_shim_brings_down_is_told_to_look_elsewhere() {
        let next = next_setting(&question(&[(0.25, 165.0)], None)).expect("a setting");
        assert!(
            next.warnings
                .iter()
                .any(|w| w.contains("even without a shim")),
            "{:?}",
            next.warnings
        );
    }

    #[test]
    fn more_readings_halve_the_doubt_where_they_can() {
        let next = next_setting(&question(&[(0.5, 130.0)], None)).expect("a setting");
        let count = next.readings_to_halve.expect("it can be halved");
        assert!((1..=4).contains(&count), "{count}");
    }
}
