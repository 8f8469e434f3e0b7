//! What is true of a scan, whatever was read from it; also as JSON, so that others can look.

use super::bed::{Backing, Bed};
use super::ring::{Defect, Ring};
use super::scanner::Optics;
use std::fmt::Write;

/// The bed as it lay, and what follows from it. Places are true mm on the glass; `pixel` gives them in the picture.
#[derive(Clone, Debug)]
pub(crate) struct Truth {
    pub(crate) bed: Bed,
    /// For each ring the rings that touch it.
    pub(crate) touching: Vec<Vec<usize>>,
    /// For each ring the rings that lie over or under it.
    pub(crate) overlapping: Vec<Vec<usize>>,
}

/// Rings nearer than this touch, in mm.
const TOUCH: f64 = 0.05;

impl Truth {
    pub(crate) fn of(bed: Bed) -> Self {
        let meet = |wanted: fn(f64) -> bool| -> Vec<Vec<usize>> {
            (0..bed.rings.len())
                .map(|one| {
                    (0..bed.rings.len())
                        .filter(|&other| {
                            other != one && wanted(gap(&bed.rings[one], &bed.rings[other]))
                        })
                        .collect()
                })
                .collect()
        };
        Self {
            touching: meet(|gap| gap.abs() <= TOUCH),
            overlapping: meet(|gap| gap < -TOUCH),
            bed,
        }
    }

    /// The place of a true point in the picture, in pixels from its left top corner, but for stepping, joints and lens.
    pub(crate) fn pixel(&self, place: [f64; 2]) -> [f64; 2] {
        let scanner = &self.bed.scanner;
        [0, 1].map(|axis| place[axis] / (scanner.pixel() * scanner.scale[axis]))
    }

    pub(crate) fn json(&self) -> String {
        let bed = &self.bed;
        let scanner = &bed.scanner;
        let mut text = String::new();
        let optics = match scanner.optics {
            Optics::Cis { cone } => format!("{{\"kind\":\"cis\",\"cone\":{cone:.4}}}"),
            Optics::Ccd { distance, cone } => {
                format!(
                    "{{\"kind\":\"ccd\",\"lens_distance\":{distance:.2},\"lens_x\":{:.2},\"cone\":{cone:.4}}}",
                    bed.lens_middle()
                )
            }
        };
        let backing = match bed.backing {
            Backing::Paper(albedo) => format!("{{\"paper\":{albedo:?}}}"),
            Backing::BlackLid => "\"black lid\"".to_owned(),
            Backing::Open => "\"open\"".to_owned(),
        };
        let quality = scanner
            .jpeg
            .map_or("null".to_owned(), |quality| quality.to_string());
        let _ = write!(
            text,
            "{{\"seed\":{},\"dpi\":{},\"size\":{:?},\"scale\":{:?},\"optics\":{optics},\n \"lamp\":{{\"share\":{},\"slant\":{:.4},\"half_width\":{:.4}}},\
             \"ambient\":{:.3},\"curve\":\"{:?}\",\"jpeg\":{quality},\"sharpening\":{},\"noise\":{:.2},\"stepping\":{:.4},\"joints\":{:.4},\"lens\":{:.5},\n \
             \"backing\":{backing},\n \"rings\":[",
            bed.seed,
            scanner.dpi,
            bed.size,
            scanner.scale,
            scanner.lamp.share,
            scanner.lamp.slant,
            scanner.lamp.half_width,
            scanner.ambient,
            scanner.curve,
            scanner.sharpening,
            scanner.noise,
            scanner.stepping,
            scanner.joints,
            scanner.lens,
        );
        for (index, ring) in bed.rings.iter().enumerate() {
            let comma = if index == 0 { "" } else { "," };
            let _ = write!(text, "{comma}\n  {}", self.ring_json(index, ring));
        }
        text.push_str("],\n \"things\":[");
        for (index, thing) in bed.things.iter().enumerate() {
            let comma = if index == 0 { "" } else { "," };
            let pixel = self.pixel(thing.centre);
            let _ = write!(
                text,
                "{comma}\n  {{\"name\":\"{}\",\"centre\":{:?},\"pixel\":{pixel:?},\"bound\":{:.3},\"thick\":{:.3}}}",
                thing.name,
                thing.centre,
                thing.bound(),
                thing.thick
            );
        }
        text.push_str("]}\n");
        text
    }

    fn ring_json(&self, index: usize, ring: &Ring) -> String {
        let defects: Vec<String> = ring.defects.iter().map(defect_json).collect();
        format!(
            "{{\"centre\":{:?},\"pixel\":{:?},\"outside\":{:.4},\"inside\":{:.4},\"width\":{:.4},\"height\":{:.4},\"ovality\":{:.4},\"long_axis\":{:.3},\
             \"triangle\":{:.4},\"rubber\":\"{}\",\"rise\":{:.3},\"touching\":{:?},\"overlapping\":{:?},\"defects\":[{}]}}",
            ring.centre,
            self.pixel(ring.centre),
            ring.outside(),
            ring.inside,
            ring.width,
            ring.height,
            ring.ovality,
            ring.long_axis,
            ring.triangle,
            ring.rubber.name(),
            ring.rise,
            self.touching[index],
            self.overlapping[index],
            defects.join(",")
        )
    }
}

/// The gap between two rings as if both were round; below 0 they cross. A ring within the bore of the other has its own gap.
pub(crate) fn gap(one: &Ring, other: &Ring) -> f64 {
    let apart = (one.centre[0] - other.centre[0]).hypot(one.centre[1] - other.centre[1]);
    let beside = apart - 0.5 * (one.outside() + other.outside());
    let within = |inner: &Ring, outer: &Ring| 0.5 * outer.inside - apart - 0.5 * inner.outside();
    beside.max(within(one, other)).max(within(other, one))
}

fn defect_json(defect: &Defect) -> String {
    match *defect {
        Defect::Nick {
            edge,
            angle,
            depth,
            width,
        } => {
            format!(
                "{{\"kind\":\"nick\",\"edge\":\"{}\",\"angle\":{angle:.3},\"depth\":{depth:.3},\"width\":{width:.3}}}",
                edge.name()
            )
        }
        Defect::Flat { angle, depth } => {
            format!("{{\"kind\":\"flat\",\"angle\":{angle:.3},\"depth\":{depth:.3}}}")
        }
        Defect::Crack { angle, width, lean } => {
            format!(
                "{{\"kind\":\"crack\",\"angle\":{angle:.3},\"width\":{width:.3},\"lean\":{lean:.3}}}"
            )
        }
        Defect::Flash {
            edge,
            angle,
            span,
            height,
        } => {
            format!(
                "{{\"kind\":\"flash\",\"edge\":\"{}\",\"angle\":{angle:.3},\"span\":{span:.3},\"height\":{height:.3}}}",
                edge.name()
            )
        }
    }
}
