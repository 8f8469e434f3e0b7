//! A groove that holds back-up rings beside its ring.

use super::check::{Check, Verdict, WORST};
use super::error::GlandError;
use super::geometry::{Geometry, place_of};
use super::groove_table::PrintedGroove;
use super::ring::GlandRing;
use super::spec::{Duty, GlandDimension as D, GlandSpec};
use crate::core::confidence::Confidence;
use crate::core::quantity::Dimension;

/// The most back-up rings that a groove holds, one on each side of the ring.
pub const MOST_BACK_UPS: u8 = 2;

impl Duty {
    /// Returns the printed table of grooves for the duty, where the squeeze is radial.
    pub const fn radial_table(self) -> &'static str {
        match self {
            Self::Static => "static_radial",
            Self::Moving | Self::Rotary => "reciprocating",
        }
    }
}

/// The back-up rings that a groove holds beside its ring: they take a part of its width.
#[derive(Debug, Clone, Copy)]
pub(super) struct BackUps {
    pub(super) count: u8,
    /// Place of the width among the dimensions.
    width: usize,
    /// What they take of the width, in millimetres.
    taken: f64,
}

impl BackUps {
    /// Lays the rings into a groove. By how much the printed groove of its depth is wider with so many, these take.
    ///
    /// # Errors
    /// Says where they leave no room for a ring.
    pub(super) fn beside(spec: &GlandSpec, gland: &Geometry) -> Result<Self, GlandError> {
        let dimensions = gland.dimensions();
        let nominal: Vec<f64> = dimensions.iter().map(|(_, d)| d.nominal.mm()).collect();
        let width = place_of(dimensions, D::Width).ok_or(GlandError::Missing {
            kind: spec.kind,
            dimension: D::Width,
        })?;
        let table = spec.duty.unwrap_or(Duty::Static).radial_table();
        let depth = gland.seat(&nominal).depth;
        let taken = PrintedGroove::taken_by_back_ups(table, depth, spec.back_ups);
        let least = dimensions[width].1.least();
        if least.mm() <= taken {
            return Err(GlandError::NoRoomBesideBackUps {
                width: least,
                back_ups: spec.back_ups,
            });
        }
        Ok(Self {
            count: spec.back_ups,
            width,
            taken,
        })
    }

    /// Returns the share of the groove that they leave.
    pub(super) fn leave(self, mm: &[f64]) -> f64 {
        1.0 - self.taken / mm[self.width]
    }
}

/// The width of a groove against the printed widths for its back-up rings; nothing where it has none.
pub(super) fn width_check(gland: &Geometry, duty: Duty, ring: &GlandRing) -> Option<Check> {
    /// The tables print thousandths of an inch: half of one, in millimetres.
    const ROUNDING: f64 = 0.0127;
    let back_ups = gland.back_ups();
    let dimensions = gland.dimensions().iter();
    let width = dimensions
        .filter(|_| back_ups > 0)
        .find(|(which, _)| *which == D::Width)?
        .1;
    let row = PrintedGroove::of(duty.radial_table(), ring.section.nominal.mm());
    let printed = row.and_then(|row| row.width_mm(back_ups));
    let inside = |(low, high): (f64, f64)| {
        width.least().mm() >= low - ROUNDING && width.greatest().mm() <= high + ROUNDING
    };
    let rings = format!(
        "{back_ups} back-up ring{}",
        if back_ups == 1 { "" } else { "s" }
    );
    let rule = match printed {
        Some(_) => format!("printed width of a groove for the ring and {rings}"),
        None => format!(
            "not checked: no table at hand prints a width for this section with {rings}; lay them in and see that the ring has room"
        ),
    };
    Some(Check {
        name: "groove width".to_owned(),
        what: "groove width",
        value: Some(printed.map_or(width.nominal.mm(), |(low, high)| {
            outermost(width, low, high)
        })),
        nominal: Some(width.nominal.mm()),
        low: printed.map(|(low, _)| low),
        high: printed.map(|(_, high)| high),
        unit: "mm",
        held_at: WORST,
        verdict: if printed.is_some_and(inside) {
            Verdict::Good
        } else {
            Verdict::Marginal
        },
        rule,
        source: row.map_or_else(String::new, |row| row.source.clone()),
        confidence: row.map_or(Confidence::Memory, |row| row.confidence),
        ..Check::default()
    })
}

/// Returns the end of a width that lies furthest out of a range, or nearest to its ends.
fn outermost(width: Dimension, low: f64, high: f64) -> f64 {
    let (least, greatest) = (width.least().mm(), width.greatest().mm());
    if low - least > greatest - high {
        least
    } else {
        greatest
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::gland::geometry;
    use crate::core::note::read_gland;
    use crate::core::quantity::LengthUnit;

    fn gland(words: &str, back_ups: u8) -> Result<Geometry, GlandError> {
        let spec = read_gland(words, Some(LengthUnit::Mm)).expect("reads");
        geometry(&GlandSpec { back_ups, ..spec })
    }

    #[test]
    fn back_up_rings_leave_the_ring_the_room_that_it_has_without_them() {
        // AS568-210 on a piston: printed 0.187 to 0.192 in wide, 0.275 to 0.280 in with two back-up rings.
        let volume = |width: f64, back_ups: u8| {
            let words = format!("piston ; bore 25.4 ; groove 19.71 ; width {width}");
            let gland = gland(&words, back_ups).expect("a gland");
            let dimensions = gland.dimensions().iter();
            let mm: Vec<f64> = dimensions.map(|(_, d)| d.nominal.mm()).collect();
            gland.seat(&mm).volume
        };
        assert!((volume(6.985, 2) / volume(4.75, 0) - 1.0).abs() < 0.005);
    }

    #[test]
    fn a_groove_without_gap_or_without_room_takes_no_back_up_ring() {
        let face = gland("face ; outer 20 ; depth 1.4 ; width 2.4", 1);
        assert!(matches!(face, Err(GlandError::BackUps { .. })));
        let narrow = gland("piston ; bore 25.4 ; groove 22.8 ; width 1.1", 2);
        assert!(matches!(
            narrow,
            Err(GlandError::NoRoomBesideBackUps { .. })
        ));
    }
}
