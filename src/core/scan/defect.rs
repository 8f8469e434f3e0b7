//! What is damaged on a ring, by where its edges leave the outline.

use super::hole::{RAYS, ray};
use super::outline::Outlined;
use super::scale::Scale;
use super::series::{Fitted, Radii, median};
use super::trace::Traced;
use crate::core::quantity::{Length, as_mm};
use serde::{Serialize, Serializer};
use std::f64::consts::TAU;

/// Names a kind of damage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum DefectKind {
    /// A short dent of an edge.
    Nick,
    /// A ridge that stands out.
    Flash,
    /// A long shallow dent.
    Flat,
    /// A dark line across the section.
    Crack,
    /// The ring is open: paper is seen between its ends.
    Cut,
    /// The edge is not seen: gone, cut, or behind a neighbour.
    EdgeLost,
}

/// Names where on the ring damage is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum DefectSide {
    Inside,
    Outside,
    Across,
}

/// One place of damage.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Defect {
    pub kind: DefectKind,
    pub side: DefectSide,
    /// Where round the ring: radians, clockwise on the page from the right. Reports state it as hours of a clock.
    #[serde(rename = "clock", serialize_with = "as_clock")]
    pub angle: f64,
    /// Its length along the ring.
    #[serde(rename = "length_mm", serialize_with = "as_mm")]
    pub length: Length,
    /// How deep or high it is; nought where that is not seen.
    #[serde(rename = "depth_mm", serialize_with = "as_mm")]
    pub depth: Length,
}

impl Defect {
    /// Gives where it is as hours of a clock, from 0 to 12.
    pub fn clock(&self) -> f64 {
        clock(self.angle)
    }
}

/// The right of the page is three o'clock.
fn clock(angle: f64) -> f64 {
    (3.0 + angle / TAU * 12.0).rem_euclid(12.0)
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde gives a reference")]
fn as_clock<S: Serializer>(angle: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64(clock(*angle))
}

/// An edge that leaves the outline by less than this is sound: five scatters, 0.035 mm, and six tenths of a point.
const SCATTERS: f64 = 5.0;
const LEAST_DEPTH_MM: f64 = 0.035;
const LEAST_DEPTH_POINTS: f64 = 0.6;
const LEAST_LENGTH_MM: f64 = 0.12;
/// What is shorter is noise of single points.
const LEAST_LENGTH_POINTS: f64 = 2.5;
const LEAST_LOST_MM: f64 = 0.15;
/// A shorter shallow dent is none, degrees.
const LEAST_FLAT_DEGREES: f64 = 14.0;

/// A stretch of rays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Stretch {
    start: usize,
    count: usize,
}

impl Stretch {
    fn rays(self) -> impl Iterator<Item = usize> {
        (self.start..self.start + self.count).map(|k| k % RAYS)
    }

    fn angle(self) -> f64 {
        ray((self.start + self.count / 2) % RAYS)
    }

    fn degrees(self) -> f64 {
        self.count as f64 * 360.0 / RAYS as f64
    }

    fn length_mm(self, radius: f64) -> f64 {
        self.count as f64 * TAU / RAYS as f64 * radius
    }

    /// Gives damage along it on an edge of this radius.
    fn defect(self, kind: DefectKind, side: DefectSide, radius: f64, depth: f64) -> Option<Defect> {
        Some(Defect {
            kind,
            side,
            angle: self.angle(),
            length: Length::from_mm(self.length_mm(radius))?,
            depth: Length::from_mm(depth)?,
        })
    }

    fn overlaps(self, other: &Defect) -> bool {
        let apart = (self.angle() - other.angle).rem_euclid(TAU);
        apart.min(TAU - apart).to_degrees() < self.degrees() / 2.0
    }
}

pub(super) fn defects(traced: &Traced, shape: &Outlined, scale: &Scale) -> Vec<Defect> {
    let pitch = scale.mean_mm();
    let mut found = Vec::new();
    let sides = [
        (DefectSide::Outside, 1.0, &shape.outer, &shape.outer_points),
        (DefectSide::Inside, -1.0, &shape.inner, &shape.inner_points),
    ];
    for (side, outward, fitted, points) in sides {
        let edge = SeenEdge {
            side,
            outward,
            fitted,
            points,
            pitch,
        };
        edge.dents(&mut found);
        edge.lost(&mut found);
        edge.flats(&mut found);
    }
    let radius = shape.outer.series.mean();
    cracks(&traced.middle, radius, &mut found);
    cuts(traced, shape, radius, &mut found);
    notches(&mut found);
    found
}

struct SeenEdge<'s> {
    side: DefectSide,
    outward: f64,
    fitted: &'s Fitted,
    points: &'s Radii,
    pitch: f64,
}

impl SeenEdge<'_> {
    fn radius(&self) -> f64 {
        self.fitted.series.mean()
    }

    fn defect(&self, kind: DefectKind, stretch: Stretch, depth: f64) -> Option<Defect> {
        stretch.defect(kind, self.side, self.radius(), depth)
    }

    /// Nicks and flash: short stretches that leave the outline; in their middle the edge may not be found.
    fn dents(&self, found: &mut Vec<Defect>) {
        let least = (SCATTERS * self.fitted.scatter)
            .max(LEAST_DEPTH_MM)
            .max(LEAST_DEPTH_POINTS * self.pitch);
        let shortest = LEAST_LENGTH_MM.max(LEAST_LENGTH_POINTS * self.pitch);
        let off = self.middle_of_three();
        for stretch in stretches(|k| !off[k].is_finite() || off[k].abs() > least) {
            let seen = stretch.rays().map(|k| off[k]).filter(|off| off.is_finite());
            let seen: Vec<f64> = seen.collect();
            let (Some(first), Some(last)) = (seen.first(), seen.last()) else {
                continue;
            };
            let is_long = stretch.count > 2 && stretch.length_mm(self.radius()) > shortest;
            if is_long && seen.len() * 2 >= stretch.count {
                let kind = if first + last < 0.0 {
                    DefectKind::Nick
                } else {
                    DefectKind::Flash
                };
                let depth = seen.iter().fold(0.0, |most: f64, off| most.max(off.abs()));
                found.extend(self.defect(kind, stretch, depth));
            }
        }
    }

    fn lost(&self, found: &mut Vec<Defect>) {
        for stretch in stretches(|k| !self.points.values[k].is_finite()) {
            if stretch.count >= 4 && stretch.length_mm(self.radius()) > LEAST_LOST_MM {
                found.extend(self.defect(DefectKind::EdgeLost, stretch, 0.0));
            }
        }
    }

    /// How far a ray leaves an outline to the outside of the section; nought where it is missing.
    fn off(&self, fitted: &Fitted, k: usize) -> f64 {
        let residual = fitted.residuals[k % RAYS];
        if residual.is_finite() {
            self.outward * residual
        } else {
            0.0
        }
    }

    /// How far each ray leaves the outline, the middle one of three rays; not finite where it is missing.
    fn middle_of_three(&self) -> Vec<f64> {
        let off = |k: usize| self.off(self.fitted, k);
        let middle = |k: usize| median(&mut [off(k + RAYS - 1), off(k), off(k + 1)]);
        let rays = self.points.values.iter().enumerate();
        rays.map(|(k, r)| if r.is_finite() { middle(k) } else { f64::NAN })
            .collect()
    }

    /// A flat leaves an outline of two orders by a long shallow dent.
    fn flats(&self, found: &mut Vec<Defect>) {
        const REACH: usize = 9;
        let Some(plain) = self.points.fit(2, 0.03 * self.pitch) else {
            return;
        };
        let smooth: Vec<f64> = (0..RAYS)
            .map(|k| {
                let near = (0..REACH).map(|d| self.off(&plain, k + RAYS + d - REACH / 2));
                near.sum::<f64>() / REACH as f64
            })
            .collect();
        let least = (4.0 * plain.scatter).max(0.04);
        for stretch in stretches(|k| smooth[k] < -least) {
            let is_told = |defect: &Defect| {
                defect.kind == DefectKind::Nick
                    && defect.side == self.side
                    && stretch.overlaps(defect)
            };
            if stretch.degrees() < LEAST_FLAT_DEGREES || found.iter().any(is_told) {
                continue;
            }
            let depth = stretch.rays().map(|k| smooth[k].abs()).fold(0.0, f64::max);
            found.extend(self.defect(DefectKind::Flat, stretch, depth));
        }
    }
}

/// A crack is a narrow dark line across the middle of the section.
fn cracks(middle: &[f64], radius: f64, found: &mut Vec<Defect>) {
    const REACH: usize = 14;
    /// Less is a speck of dust or the texture of the rubber, in roots of light.
    const LEAST: f64 = 0.012;
    let drop: Vec<f64> = (0..RAYS)
        .map(|k| {
            let near = (0..=2 * REACH).map(|d| middle[(k + RAYS + d - REACH) % RAYS]);
            middle[k] - median(&mut near.collect::<Vec<f64>>())
        })
        .collect();
    let mut sizes: Vec<f64> = drop.iter().map(|d| d.abs()).collect();
    let scatter = 1.4826 * median(&mut sizes) + 1e-4;
    let least = LEAST.max(6.0 * scatter);
    for stretch in stretches(|k| drop[k] < -least) {
        if stretch.count as f64 > 0.03 * RAYS as f64 {
            continue;
        }
        found.extend(stretch.defect(DefectKind::Crack, DefectSide::Across, radius, 0.0));
    }
}

/// A cut shows paper, if in shadow, across the middle of the section, and the edges end there.
fn cuts(traced: &Traced, shape: &Outlined, radius: f64, found: &mut Vec<Defect>) {
    /// Part of the way from rubber to paper, in roots of light.
    const LEAST: f64 = 0.3;
    /// A longer stretch is a pale part of the ring.
    const MOST: usize = RAYS / 8;
    let mut values = traced.middle.clone();
    let rubber = median(&mut values);
    let paper = traced.paper_root.abs();
    let part = |k: usize| (traced.middle[k] - rubber) / (paper - rubber);
    let lost = |k: usize| shape.inner.kept[k] < 0.2 || shape.outer.kept[k] < 0.2;
    for stretch in stretches(|k| part(k) > LEAST) {
        let ends = stretch.rays().filter(|&k| lost(k)).count();
        if stretch.count < 2 || stretch.count > MOST || ends * 2 < stretch.count {
            continue;
        }
        found.extend(stretch.defect(DefectKind::Cut, DefectSide::Across, radius, 0.0));
    }
}

/// Where both edges are damaged at one place the ring is cut, if its ends nearly touch.
fn notches(found: &mut Vec<Defect>) {
    /// Ends are rounded: their notches lie this close to each other, radians.
    const NEAR: f64 = 0.06;
    let of = |side: DefectSide| {
        let breaks = |defect: &&Defect| {
            defect.side == side && matches!(defect.kind, DefectKind::Nick | DefectKind::EdgeLost)
        };
        found
            .iter()
            .filter(breaks)
            .copied()
            .collect::<Vec<Defect>>()
    };
    let (inside, outside) = (of(DefectSide::Inside), of(DefectSide::Outside));
    let near = |one: &Defect, other: &Defect| {
        let apart = (one.angle - other.angle).rem_euclid(TAU);
        apart.min(TAU - apart) < NEAR
    };
    let cut = outside
        .iter()
        .find(|one| inside.iter().any(|other| near(one, other)));
    if let Some(cut) = cut
        && found.iter().all(|defect| defect.kind != DefectKind::Cut)
    {
        found.push(Defect {
            kind: DefectKind::Cut,
            side: DefectSide::Across,
            depth: Length::ZERO,
            ..*cut
        });
    }
}

/// Gives the stretches of rays that are so, round the ring.
fn stretches(is: impl Fn(usize) -> bool) -> Vec<Stretch> {
    let Some(sound) = (0..RAYS).find(|&k| !is(k)) else {
        return vec![Stretch {
            start: 0,
            count: RAYS,
        }];
    };
    let mut found: Vec<Stretch> = Vec::new();
    for k in sound..sound + RAYS {
        if !is(k % RAYS) {
            continue;
        }
        match found.last_mut() {
            Some(last) if last.start + last.count == k => last.count += 1,
            _ => found.push(Stretch { start: k, count: 1 }),
        }
    }
    for stretch in &mut found {
        stretch.start %= RAYS;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stretches_go_on_over_the_end_of_the_circle() {
        let found = stretches(|k| !(3..RAYS - 2).contains(&k));
        let over = Stretch {
            start: RAYS - 2,
            count: 5,
        };
        assert_eq!(found, [over]);
        assert!(stretches(|_| false).is_empty());
    }

    #[test]
    fn a_nick_in_whose_middle_the_edge_is_not_found_is_one_nick() {
        let mut radii = Radii::even((0..RAYS).map(|k| 10.0 + 0.002 * (k % 3) as f64).collect());
        let dent = [0.07, 0.12, f64::NAN, f64::NAN, f64::NAN, 0.14, 0.09];
        for (radius, dent) in radii.values[200..].iter_mut().zip(dent) {
            *radius -= dent;
        }
        let edge = SeenEdge {
            side: DefectSide::Outside,
            outward: 1.0,
            fitted: &radii.fit(6, 1e-4).expect("fits"),
            points: &radii,
            pitch: 0.04,
        };
        let mut found = Vec::new();
        edge.dents(&mut found);
        let kinds: Vec<DefectKind> = found.iter().map(|defect| defect.kind).collect();
        assert_eq!(kinds, [DefectKind::Nick]);
    }
}
