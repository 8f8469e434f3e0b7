//! Rings that somebody measured: ten new ones of one size, by three hands in three runs. Every triple of readings is named by itself.

use ringwright::core::identification::{Candidates, Evidence, Identifier, Prior};
use ringwright::core::measurement::{Condition, Instruments, Measurand, Reading};
use ringwright::core::sizes::SizeTable;

/// The size that all of them have, and the other one of its section that is next to it.
const RIGHT: &str = "JIS B 2401 P16";
const TWIN: &str = "BS 4518 0156-24";

/// The readings of one ring by one hand in one run.
fn triples() -> Vec<[Reading; 3]> {
    let rows = include_str!("lab_rings.csv").lines().skip(2);
    let read = |row: &str| {
        let cells: Vec<&str> = row.split(',').collect();
        let reading = |measurand, text: &str| {
            Reading::parse(measurand, &format!("{text} mm by caliper"), None).expect("reads")
        };
        [
            reading(Measurand::Id, cells[3]),
            reading(Measurand::Od, cells[4]),
            reading(Measurand::Cs, cells[5]),
        ]
    };
    rows.map(read).collect()
}

#[test]
fn ninety_triples_read_by_hand_name_the_ring_or_its_twin_and_mostly_the_ring() {
    let table = SizeTable::shipped();
    let candidates = Candidates::new(table, &Prior::default());
    let mut identifier = Identifier::new(&candidates);
    let triples = triples();
    assert_eq!(triples.len(), 90);
    let (mut right, mut stated) = (0, 0.0);
    for readings in &triples {
        let evidence = Evidence::new(readings, Condition::New, None, Instruments::shipped());
        let named = identifier.identify(&evidence.expect("counts"));
        let codes = |ring: usize| table.codes(&table.rings()[ring]);
        let first = codes(named.ranked[0].ring);
        let is = |code: &str| first.iter().any(|one| one == code);
        assert!(is(RIGHT) || is(TWIN), "{readings:?} are named {first:?}");
        right += usize::from(is(RIGHT));
        let own = named.ranked.iter();
        let own = own.filter(|one| codes(one.ring).iter().any(|code| code == RIGHT));
        stated += own.map(|one| one.probability).sum::<f64>();
    }
    // 70 % is what was asked for, and the stated odds are not to promise more than came true.
    assert!(right >= 63, "{right} of 90");
    assert!(
        stated <= right as f64 + 9.0,
        "{stated} stated, {right} right"
    );
}
