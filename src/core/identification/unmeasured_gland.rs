//! The glands that may stand where none was measured: as designers make them for the ring that belongs there.

use super::candidates::Candidate;
use super::gland_bands::Bands;
use super::gland_evidence::{GlandEvidence, torus};
use crate::core::gland::{Duty, GlandKind, constant_volume_inside};

/// What a place is that nobody described, each kind as often as the other. Judgement, no source.
const KINDS: [(GlandKind, Duty); 5] = [
    (GlandKind::Piston, Duty::Static),
    (GlandKind::Piston, Duty::Moving),
    (GlandKind::Rod, Duty::Static),
    (GlandKind::Rod, Duty::Moving),
    (GlandKind::Face, Duty::Static),
];
/// Where in a preferred band the squeeze of the glands that are thought of lies: the middles of its thirds.
const SQUEEZES: [f64; 3] = [1.0 / 6.0, 0.5, 5.0 / 6.0];
/// The same of their stretch: the middles of its halves.
const FITS: [f64; 2] = [0.25, 0.75];

/// Glands that were made for one ring, by kind, all alike likely.
pub(super) struct UnmeasuredGlands {
    of_kinds: Vec<Vec<GlandEvidence>>,
}

/// A ring that may be fitted into them, with the bands that hold for it in each kind.
pub(super) struct FittedRing<'c> {
    pub(super) ring: &'c Candidate,
    bands: Vec<Bands>,
}

impl<'c> FittedRing<'c> {
    pub(super) fn new(ring: &'c Candidate) -> Self {
        let of = |(kind, duty)| Bands::of(kind, duty, ring.d1, ring.d2);
        Self {
            ring,
            bands: KINDS.map(of).into(),
        }
    }
}

impl UnmeasuredGlands {
    /// Thinks of the glands that a designer makes for a ring who keeps to the tables.
    pub(super) fn made_for(ring: &Candidate) -> Self {
        let of_kinds = KINDS.map(|(kind, duty)| {
            let bands = Bands::of(kind, duty, ring.d1, ring.d2);
            let fits = if kind == GlandKind::Face {
                bands.outside
            } else {
                bands.inside
            };
            let fill = at(bands.fill.preferred.0, bands.fill.preferred.1, 0.5);
            let mut glands = Vec::new();
            for table in bands.squeeze.tables {
                for squeeze in SQUEEZES.map(|share| at(table.0, table.1, share)) {
                    for fit in FITS.map(|share| at(fits.preferred.0, fits.preferred.1, share)) {
                        glands.push(gland(ring, kind, duty, [squeeze, fit, fill]));
                    }
                }
            }
            glands
        });
        Self {
            of_kinds: of_kinds.into(),
        }
    }

    /// Keeps one groove of each kind that is usually made for the ring, as a person measures it.
    pub(super) fn typical(mut self) -> Self {
        for glands in &mut self.of_kinds {
            let at = glands.len() / 2;
            *glands = vec![glands.swap_remove(at).read_by_hand()];
        }
        self
    }

    /// Returns for each of them the log density with which it was made for a ring.
    pub(super) fn log_suits(&self, fitted: &FittedRing<'_>) -> Vec<f64> {
        let (d1, d2) = (fitted.ring.d1, fitted.ring.d2);
        let each = self.of_kinds.iter().zip(&fitted.bands);
        each.flat_map(|(glands, bands)| glands.iter().map(|gland| gland.log_suit_in(bands, d1, d2)))
            .collect()
    }

    /// Returns the chance that a ring seals in one of them.
    pub(super) fn seal(&self, fitted: &FittedRing<'_>) -> f64 {
        let (mut sum, mut count) = (0.0, 0.0);
        for (glands, bands) in self.of_kinds.iter().zip(&fitted.bands) {
            for gland in glands {
                sum += gland.seals_in(bands, fitted.ring).unwrap_or(0.0);
                count += 1.0;
            }
        }
        sum / count
    }
}

fn at(low: f64, high: f64, share: f64) -> f64 {
    low + share * (high - low)
}

/// Makes a gland in which a ring has these figures in per cent: squeeze as printed, stretch (or compression of the outside), fill.
fn gland(
    ring: &Candidate,
    kind: GlandKind,
    duty: Duty,
    [squeeze, fit, fill]: [f64; 3],
) -> GlandEvidence {
    let (d1, d2) = (ring.d1, ring.d2);
    let of_face = kind == GlandKind::Face;
    let wall = if of_face {
        (d1 + 2.0 * d2) * (1.0 - fit / 100.0)
    } else {
        d1 * (1.0 + fit / 100.0)
    };
    let seated = if of_face || wall <= d1 {
        d2
    } else {
        constant_volume_inside(d1, d2, wall)
    };
    let depth = seated * (1.0 - squeeze / 100.0);
    let middle = if of_face { wall - d2 } else { wall + depth };
    let width = torus(d1, d2) / (std::f64::consts::PI * middle * depth * fill / 100.0);
    GlandEvidence::thought_of(kind, duty, wall, depth, width)
}

#[cfg(test)]
mod tests {
    use super::super::candidates::Candidates;
    use super::super::prior::Prior;
    use super::*;
    use crate::core::sizes::SizeTable;

    #[test]
    fn a_ring_seals_in_the_glands_made_for_it_and_the_less_the_farther_off_another_is() {
        let candidates = Candidates::new(SizeTable::shipped(), &Prior::default());
        let ring = |d1: f64, d2: f64| Candidate {
            d1,
            d2,
            ..candidates.listed[0]
        };
        let made = ring(9.25, 1.78);
        let glands = UnmeasuredGlands::made_for(&made);
        let chance = |d1: f64, d2: f64| glands.seal(&FittedRing::new(&ring(d1, d2)));
        assert!(chance(9.25, 1.78) > 0.9, "{}", chance(9.25, 1.78));
        assert!(chance(9.25, 1.78) > chance(9.5, 1.9));
        assert!(chance(9.5, 1.9) > chance(9.5, 2.4));
        assert!(chance(9.25, 2.62) < 0.1 && chance(14.0, 1.78) < 0.1);
    }
}
