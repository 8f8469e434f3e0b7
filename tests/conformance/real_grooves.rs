//! Grooves that people published with the ring that they used (`real_grooves.csv`, each row with its source): where that ring
//! stands in `gland fit`, and what is said of it.
//!
//! A row whose ring is no good names the reason. `within` is the place that the ring has at least; it is empty where the ring is
//! rejected, and then the table says why the published groove is wrong.

use ringwright::core::gland::{Conditions, Duty, GlandRing, RuleSet, Service, Verdict, geometry};
use ringwright::core::note::read_gland;
use ringwright::core::quantity::{Hardness, LengthUnit};
use ringwright::core::sizes::{SizeTable, read_designation};
use serde::Deserialize;

#[derive(Debug, Deserialize)]
struct Row {
    gland: String,
    duty: String,
    ring: String,
    verdict: String,
    within: Option<usize>,
    source: String,
    note: String,
}

/// What `gland fit` says of the ring that was used.
struct Standing {
    verdict: Verdict,
    /// From 1; `None` where it is not among the first hundred.
    rank: Option<usize>,
    /// How many listed rings are good or marginal there.
    fitting: usize,
    missed: Vec<String>,
}

impl Standing {
    fn words(&self) -> String {
        let (verdict, missed) = (self.verdict.word(), self.missed.join(", "));
        format!(
            "{verdict}, place {:?} of {}: {missed}",
            self.rank, self.fitting
        )
    }
}

fn standing(row: &Row) -> Standing {
    const TOP: usize = 100;
    let spec = read_gland(&row.gland, Some(LengthUnit::Mm))
        .unwrap_or_else(|faults| panic!("{}: {faults:?}", row.gland));
    let gland = geometry(&spec).expect("a gland");
    let service = Service {
        geometry: &gland,
        duty: Duty::from_word(&row.duty).expect("a duty"),
        pressure: None,
        conditions: Conditions::default(),
        shore_a: 70.0,
        rules: RuleSet::Industrial,
    };
    let readings = read_designation(&row.ring, None).expect("a ring");
    let ring = GlandRing::of_reading(&readings[0], SizeTable::shipped());
    assert!(!ring.codes.is_empty(), "{} is listed", row.ring);
    let judgement = service.judge(&ring);
    let outcome = service.fit(TOP, Hardness::shore_a(70.0));
    let place = outcome
        .candidates
        .iter()
        .position(|candidate| candidate.ring.codes.contains(&ring.codes[0]));
    let missed = judgement
        .checks
        .iter()
        .filter(|check| check.verdict != Verdict::Good);
    Standing {
        verdict: judgement.verdict,
        rank: place.map(|place| place + 1),
        fitting: outcome.fitting,
        missed: missed
            .map(|check| format!("{} {:.1?}", check.name, check.value))
            .collect(),
    }
}

#[test]
fn rings_of_published_grooves_stand_where_their_designers_put_them() {
    let mut reader = csv::Reader::from_reader(include_bytes!("real_grooves.csv").as_slice());
    let rows: Vec<Row> = reader
        .deserialize()
        .collect::<Result<_, _>>()
        .expect("rows");
    assert!(rows.len() >= 25, "{}", rows.len());
    let mut wrong = Vec::new();
    for row in &rows {
        assert!(!row.source.is_empty(), "{row:?}");
        let found = standing(row);
        println!("{} in {}: {}", row.ring, row.gland, found.words());
        let as_said = found.verdict.word() == row.verdict;
        let as_high = match row.within {
            Some(within) => {
                let most = within.min(found.fitting);
                found.rank.is_some_and(|rank| rank <= most)
            }
            None => found.verdict == Verdict::Reject && !row.note.is_empty(),
        };
        if !(as_said && as_high) {
            wrong.push(format!("{row:?}: {}", found.words()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
