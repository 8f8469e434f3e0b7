//! A lamp on one side casts a shadow; bent, nicked and crowded rings keep their size.

use super::page::{judged, measured};
use crate::pages::one_sided::{CHANGES, Change, scan};

#[test]
fn under_a_lone_lamp_a_ring_keeps_its_diameters_whatever_was_done_to_it() {
    let read = |change: Change| {
        let scan = scan(change);
        let reading = measured(&scan, false).expect("rings are found");
        let judged = judged(&scan, &reading);
        let pair = &judged.pairs[0];
        let found = pair
            .found
            .unwrap_or_else(|| panic!("{change:?}: the ring is found"));
        [
            found.od.value.mm() - pair.truth.outside(),
            found.id.value.mm() - pair.truth.inside,
        ]
    };
    let plain = read(Change::None);
    assert!(plain[0].abs() < 0.02 && plain[1].abs() < 0.02, "{plain:?}");
    let mut faults = Vec::new();
    for change in CHANGES {
        let changed = read(change);
        println!("{change:?}: OD {:+.4} ID {:+.4}", changed[0], changed[1]);
        // Paper that stands higher lights the edge otherwise; the rest is the outline's business.
        let most = if change == Change::HighPaper {
            0.02
        } else {
            0.005
        };
        if (changed[0] - plain[0]).abs() > most {
            faults.push(format!("{change:?} {changed:?}"));
        }
    }
    assert!(faults.is_empty(), "{plain:?} {faults:?}");
}
