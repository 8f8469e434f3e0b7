//! A figure as a bar between its limits, on one line of a screen.

use crate::core::gland::Check;

/// Draws a figure over its tolerances between its limits: `··[  ▪▪▪▪   ]··`; points stand where it is not allowed.
pub(super) fn limit_bar(check: &Check) -> Option<String> {
    const MARKS: usize = 20;
    let bounds = check.bounds?;
    let limits = [check.low, check.high];
    let ends = limits.into_iter().flatten();
    let ends: Vec<f64> = ends.chain([bounds.min, bounds.max]).collect();
    let least = ends.iter().copied().fold(f64::INFINITY, f64::min);
    let most = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let span = most - least;
    let is_drawn = ends.len() > 2 && span.is_finite() && span > 0.0;
    // A limit stands as far from the edge as what lies beyond it needs.
    let at = |mark: usize| least - span * 0.1 + span * 1.2 * mark as f64 / MARKS as f64;
    let holds = |mark: usize, value: f64| at(mark) <= value && value < at(mark + 1);
    let is_at = |mark: usize, limit: Option<f64>| limit.is_some_and(|limit| holds(mark, limit));
    let sign = |mark: usize| match mark {
        mark if is_at(mark, check.low) => '[',
        mark if is_at(mark, check.high) => ']',
        mark if at(mark + 1) > bounds.min && at(mark) <= bounds.max => '▪',
        mark if check.low.is_some_and(|low| at(mark) < low) => '·',
        mark if check.high.is_some_and(|high| at(mark) > high) => '·',
        _ => ' ',
    };
    is_drawn.then(|| (0..MARKS).map(sign).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::confidence::Confidence;
    use crate::core::gland::{Bounds, Verdict};

    #[test]
    fn a_figure_is_drawn_between_its_limits() {
        let drawn = |min: f64, max: f64, low: Option<f64>, high: Option<f64>| {
            let nominal = f64::midpoint(min, max);
            let check = Check {
                name: "squeeze".to_owned(),
                value: Some(min),
                nominal: Some(nominal),
                low,
                high,
                unit: "%",
                held_at: "worst",
                verdict: Verdict::Good,
                rule: String::new(),
                source: String::new(),
                confidence: Confidence::Memory,
                state: String::new(),
                figure: None,
                what: "squeeze",
                bounds: Some(Bounds { min, nominal, max }),
                quiet: false,
            };
            limit_bar(&check)
        };
        let inside = drawn(8.0, 20.0, Some(5.0), Some(27.0)).expect("drawn");
        assert_eq!(inside, "·[ ▪▪▪▪▪▪▪▪▪▪▪    ]·");
        let above = drawn(90.0, 100.0, None, Some(95.0)).expect("drawn");
        assert_eq!(above, " ▪▪▪▪▪▪▪▪▪]▪▪▪▪▪▪▪▪·");
        assert_eq!(drawn(1.0, 2.0, None, None), None);
    }
}
