//! Small grey photographs of one ring on white paper: uneven light, a soft shadow, noise, and a strong JPEG. A ring that is cut or
//! nicked is flagged, a sound one is accepted.

use crate::simulator::random::Draws;
use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageFormat};
use ringwright::core::scan::{DefectKind, Page, Pitch, Scale, ScaleSource, read_page};
use std::f64::consts::TAU;

/// Points of a side.
pub(crate) const SIDE: usize = 220;

/// What is wrong with the ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Harm {
    None,
    /// A notch in the outer edge, a third of the section deep.
    Nick,
    /// Open, as wide as half the section.
    Cut,
}

struct Shown {
    centre: [f64; 2],
    radius: f64,
    section: f64,
    oval: f64,
    harm: Harm,
    /// Where the harm is.
    at: f64,
}

impl Shown {
    /// How far a place lies inside the rubber, in points; negative outside.
    fn depth(&self, x: f64, y: f64) -> f64 {
        let (x, y) = (x - self.centre[0], (y - self.centre[1]) * (1.0 + self.oval));
        let off = (x.hypot(y) - self.radius).abs();
        let along = (y.atan2(x) - self.at + TAU / 2.0).rem_euclid(TAU) - TAU / 2.0;
        let along = along * self.radius;
        let rubber = self.section / 2.0 - off;
        match self.harm {
            Harm::None => rubber,
            Harm::Cut => rubber.min(along.abs() - self.section / 4.0),
            Harm::Nick => {
                let rim = self.radius + self.section / 2.0;
                let notch = along.hypot(x.hypot(y) - rim) - self.section / 3.0;
                rubber.min(notch)
            }
        }
    }
}

/// The pixels of one photograph, three bytes a point, as the file gives them.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a grey between nought and 255"
)]
pub(crate) fn photograph(seed: u64, harm: Harm) -> Vec<u8> {
    let mut draws = Draws::new(seed);
    let middle = SIDE as f64 / 2.0;
    let shown = Shown {
        centre: [
            middle + draws.between(-12.0, 12.0),
            middle + draws.between(-12.0, 12.0),
        ],
        radius: draws.between(45.0, 75.0),
        section: draws.between(10.0, 17.0),
        oval: draws.between(0.0, 0.02),
        harm,
        at: draws.angle(),
    };
    let (paper, rubber, noise) = (
        draws.between(185.0, 235.0),
        draws.between(25.0, 60.0),
        draws.between(1.5, 4.0),
    );
    let (fall, turn) = (draws.between(0.0, 0.12), draws.angle());
    let mut grey = Vec::with_capacity(SIDE * SIDE);
    for y in 0..SIDE {
        for x in 0..SIDE {
            let (x, y) = (x as f64 + 0.5, y as f64 + 0.5);
            // A blurred edge; the shadow is the ring moved away from the lamp, softer and pale.
            let covered = (shown.depth(x, y) / 1.8 + 0.5).clamp(0.0, 1.0);
            let shadow = (shown.depth(x - 4.0 * turn.cos(), y - 4.0 * turn.sin()) / 8.0 + 0.5)
                .clamp(0.0, 1.0);
            let light =
                1.0 - fall * ((x - middle) * turn.cos() + (y - middle) * turn.sin()) / middle;
            let ground = paper * light * (1.0 - 0.15 * shadow);
            let shine = 1.0 + 0.3 * (shown.depth(x, y) / shown.section).clamp(0.0, 0.5);
            let value =
                ground * (1.0 - covered) + rubber * shine * covered + draws.normal(0.0, noise);
            grey.push(value.round().clamp(0.0, 255.0) as u8);
        }
    }
    let mut file = Vec::new();
    let side = u32::try_from(SIDE).expect("small");
    JpegEncoder::new_with_quality(&mut file, 60)
        .encode(&grey, side, side, ExtendedColorType::L8)
        .expect("memory takes every file");
    let read = image::load_from_memory_with_format(&file, ImageFormat::Jpeg);
    read.expect("the file was just written")
        .into_rgb8()
        .into_raw()
}

const PICTURES: u64 = 12;

/// Whether a picture shows a ring, and whether that is told as broken.
fn judged(seed: u64, harm: Harm, dpi: f64) -> (bool, bool) {
    let page = Page::new(SIDE, SIDE, photograph(seed, harm)).expect("three bytes a point");
    let pitch = Pitch::from_dpi(dpi).expect("a pitch");
    let reading = read_page(&page, &Scale::stated(pitch, ScaleSource::Typed), 1);
    let Ok(reading) = reading else {
        return (false, false);
    };
    let is_harm = |kind| {
        matches!(
            kind,
            DefectKind::Nick | DefectKind::Cut | DefectKind::EdgeLost
        )
    };
    let mut defects = reading.rings.iter().flat_map(|ring| &ring.defects);
    (
        reading.rings.len() == 1,
        defects.any(|defect| is_harm(defect.kind)),
    )
}

#[test]
fn small_grey_photographs_show_what_is_sound_and_what_is_broken() {
    for dpi in [120.0, 300.0] {
        let mut right = [0; 3];
        for (count, harm) in right.iter_mut().zip([Harm::None, Harm::Nick, Harm::Cut]) {
            for seed in 1..=PICTURES {
                let (found, broken) = judged(seed, harm, dpi);
                let is_right = match harm {
                    Harm::None => found && !broken,
                    // A ring that is cut may also be refused as none.
                    Harm::Cut => broken || !found,
                    Harm::Nick => broken,
                };
                if !is_right {
                    println!("{harm:?} {seed} at {dpi}: found {found} broken {broken}");
                }
                *count += u64::from(is_right);
            }
        }
        println!(
            "at {dpi}: sound {} nicked {} cut {} of {PICTURES}",
            right[0], right[1], right[2]
        );
        assert!(right[0] + 1 >= PICTURES, "sound at {dpi}: {}", right[0]);
        assert_eq!(right[1..], [PICTURES; 2], "at {dpi}");
    }
}
