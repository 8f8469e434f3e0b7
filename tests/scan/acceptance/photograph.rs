//! Small grey photographs: a ring that is cut or nicked is flagged, a sound one is accepted.

use crate::pages::photograph::{Harm, SIDE, photograph};
use ringwright::core::scan::{DefectKind, Page, Pitch, Scale, ScaleSource, read_page};

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
