//! Grooves cut as the industrial tables print them, judged for every AS568 ring of their section.
//!
//! The limits of the program and the tables that they come from must agree: a groove by the table is good. Source of the
//! grooves: data/glands/industrial_inch.csv (The O-Ring Store, groove chart; Engineers Edge, reciprocating chart).
//!
//! And grooves that people published with the ring that they used (`real_grooves.csv`, each row with its source): where that ring
//! stands in `gland fit`, and what is said of it. A row whose ring is no good names the reason. `within` is the place that the ring
//! has at least; it is empty where the ring is rejected, and then the table says why the published groove is wrong.

use ringwright::core::gland::{
    Conditions, Duty, GlandDimension as D, GlandKind, GlandRing, GlandSpec, RuleSet, Service,
    Verdict, geometry,
};
use ringwright::core::note::read_gland;
use ringwright::core::quantity::{Dimension, Hardness, Length, LengthUnit, Typed};
use ringwright::core::sizes::{SizeTable, read_designation};
use serde::Deserialize;

const MM_PER_INCH: f64 = 25.4;

/// One printed row: range of dash numbers, depth and width in inches.
struct PrintedGroove {
    kind: &'static str,
    dashes: std::ops::RangeInclusive<u32>,
    depth: (f64, f64),
    width: (f64, f64),
}

fn printed() -> Vec<PrintedGroove> {
    let text = include_str!("../../data/glands/industrial_inch.csv");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let heads = reader.headers().expect("heads").clone();
    let column = |name: &str| heads.iter().position(|h| h == name).expect("a column");
    let (kind, range) = (column("seal_type"), column("as568_range"));
    let ends = [
        "depth_min_in",
        "depth_max_in",
        "width0_min_in",
        "width0_max_in",
    ]
    .map(column);
    let mut grooves = Vec::new();
    for row in reader.records() {
        let row = row.expect("a sound row");
        let kind = match &row[kind] {
            "static_radial" => "static",
            "reciprocating" => "moving",
            "face_static_liquids" => "face",
            _ => continue,
        };
        let (first, last) = row[range].split_once("..").expect("a range");
        let dash = |text: &str| text.trim_start_matches('-').parse().expect("a dash number");
        let number = |i: usize| row[ends[i]].parse().expect("a number");
        grooves.push(PrintedGroove {
            kind,
            dashes: dash(first)..=dash(last),
            depth: (number(0), number(1)),
            width: (number(2), number(3)),
        });
    }
    grooves
}

fn dimension((low, high): (f64, f64)) -> Dimension {
    let length = |mm: f64| Length::from_mm(mm).expect("in range");
    Dimension::symmetric(length(f64::midpoint(low, high)), length((high - low) / 2.0))
}

fn about(mm: f64, tolerance: f64) -> Dimension {
    dimension((mm - tolerance, mm + tolerance))
}

/// The gland for one ring: groove 2 % (below 12.7 mm 3 %) over the ring on a piston, rod 0.3 mm over it, face grooves 1 %
/// inside its outside or over its inside.
fn spec(groove: &PrintedGroove, place: &str, (id, od): (f64, f64)) -> GlandSpec {
    let depth = dimension(groove.depth);
    let (l, t) = (
        depth.nominal.mm() * MM_PER_INCH,
        depth.plus.mm() * MM_PER_INCH,
    );
    let width = dimension((groove.width.0 * MM_PER_INCH, groove.width.1 * MM_PER_INCH));
    let (kind, dimensions) = match place {
        "piston" => {
            let root = id * if id < 12.7 { 1.03 } else { 1.02 };
            (
                GlandKind::Piston,
                [
                    (D::Bore, about(root + 2.0 * l, t)),
                    (D::Groove, about(root, t)),
                ],
            )
        }
        "rod" => {
            let rod = id + 0.3;
            (
                GlandKind::Rod,
                [
                    (D::Rod, about(rod, t)),
                    (D::Groove, about(rod + 2.0 * l, t)),
                ],
            )
        }
        "inside" => (
            GlandKind::Face,
            [(D::Outer, about(od * 0.99, 0.05)), (D::Depth, about(l, t))],
        ),
        _ => (
            GlandKind::Face,
            [(D::Inner, about(id * 1.01, 0.05)), (D::Depth, about(l, t))],
        ),
    };
    let mut spec = GlandSpec::new(kind);
    spec.dimensions = dimensions
        .into_iter()
        .chain([(D::Width, width)])
        .map(|(which, value)| (which, Typed::new(value, "")))
        .collect();
    spec
}

/// Judges every ring of 12.7 mm inside diameter and more; returns how many are good, and what the others miss.
fn judged(kind: &str, place: &str) -> (usize, Vec<String>) {
    let table = SizeTable::shipped();
    let (mut good, mut others) = (0, Vec::new());
    for groove in printed().iter().filter(|g| g.kind == kind) {
        for dash in groove.dashes.clone() {
            let Some(id) = table.dash(dash) else { continue };
            let size = table.size(id);
            let (id_mm, od_mm) = (size.id.nominal.mm(), size.nominal().outside().mm());
            if id_mm < 12.7 {
                continue;
            }
            let gland = geometry(&spec(groove, place, (id_mm, od_mm))).expect("a gland");
            let service = Service {
                geometry: &gland,
                duty: if kind == "moving" {
                    Duty::Moving
                } else {
                    Duty::Static
                },
                pressure: None,
                conditions: Conditions::default(),
                shore_a: 70.0,
                rules: RuleSet::Industrial,
            };
            let ring = GlandRing::of_listed(
                table
                    .ring_of(table.dash(dash).expect("listed"))
                    .expect("a ring"),
                table,
            );
            let judgement = service.judge(&ring);
            if judgement.verdict == Verdict::Good {
                good += 1;
            }
            for check in judgement
                .checks
                .iter()
                .filter(|c| c.verdict != Verdict::Good)
            {
                others.push(format!(
                    "-{dash:03} {} {}",
                    check.name,
                    check.verdict.word()
                ));
            }
        }
    }
    (good, others)
}

#[test]
fn a_piston_groove_by_the_table_is_good_for_every_ring_from_12_7_mm() {
    for kind in ["static", "moving"] {
        let (good, others) = judged(kind, "piston");
        assert_eq!(others, Vec::<String>::new(), "{kind}");
        assert!(good > 300, "{kind}: {good}");
    }
}

#[test]
fn a_rod_groove_by_the_table_is_good_for_every_ring_from_12_7_mm() {
    for kind in ["static", "moving"] {
        let (good, others) = judged(kind, "rod");
        assert_eq!(others, Vec::<String>::new(), "{kind}");
        assert!(good > 300, "{kind}: {good}");
    }
}

#[test]
fn a_face_groove_by_the_table_is_good_or_tight_in_the_worst_case() {
    let (good, others) = judged("face", "outside");
    assert_eq!(others, Vec::<String>::new());
    assert!(good > 300, "{good}");
    // Against the outer wall the annulus is shorter than the ring's own circle, so the printed width fills up in the worst
    // case for rings that are small for their section; nothing else is missed, and no ring is rejected.
    let (good, others) = judged("face", "inside");
    assert!(good > 270, "{good}");
    for other in others {
        assert!(
            other.contains(" fill") && other.ends_with("marginal"),
            "{other}"
        );
    }
}

/// The widest groove that is printed for the section of AS568-210 is that for two back-up rings, 0.280 in.
fn checks_of_width(width_mm: f64) -> Vec<(String, Verdict)> {
    let table = SizeTable::shipped();
    let size = table.dash(210).expect("listed");
    let ring = GlandRing::of_listed(table.ring_of(size).expect("a ring"), table);
    let id = ring.id.nominal.mm();
    let groove = PrintedGroove {
        kind: "static",
        dashes: 210..=210,
        depth: (0.111, 0.113),
        width: (width_mm / MM_PER_INCH, width_mm / MM_PER_INCH),
    };
    let gland = geometry(&spec(&groove, "piston", (id, 0.0))).expect("a gland");
    let service = Service {
        geometry: &gland,
        duty: Duty::Static,
        pressure: None,
        conditions: Conditions::default(),
        shore_a: 70.0,
        rules: RuleSet::Industrial,
    };
    let checks = service.judge(&ring).checks.into_iter();
    checks
        .filter(|check| check.name == "least fill" && check.verdict != Verdict::Good)
        .map(|check| (check.held_at.to_owned(), check.verdict))
        .collect()
}

/// The limits of this program (data/glands/limits.csv, fill); the widest printed groove is that of the tables above.
#[test]
fn a_groove_wider_than_any_printed_one_is_marginal_and_one_of_twice_that_is_rejected() {
    assert_eq!(checks_of_width(0.280 * MM_PER_INCH), []);
    let worst = || ("worst case".to_owned(), Verdict::Marginal);
    assert_eq!(checks_of_width(15.0), [worst()]);
    let nominal = ("nominal".to_owned(), Verdict::Reject);
    assert_eq!(checks_of_width(40.0), [worst(), nominal]);
}

/// Arithmetic over the tables above.
#[test]
fn no_printed_groove_is_as_empty_as_the_limit_even_with_two_back_up_rings() {
    let text = include_str!("../../data/glands/industrial_inch.csv");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let heads = reader.headers().expect("heads").clone();
    let column = |name: &str| heads.iter().position(|h| h == name).expect("a column");
    let names = ["cs_in", "cs_tol_in", "depth_max_in", "width2_max_in"].map(column);
    let mut least = f64::INFINITY;
    for row in reader.records() {
        let row = row.expect("a sound row");
        let numbers: Vec<f64> = names
            .iter()
            .filter_map(|at| row[*at].parse().ok())
            .collect();
        let [section, tolerance, depth, width] = numbers[..] else {
            continue;
        };
        // Stretched by 5 % a section is 3.4 % less (formulas of the ISO 3601-2 fit).
        let seated = (section - tolerance) * (1.0 - 0.034);
        let fill = std::f64::consts::FRAC_PI_4 * seated * seated / (depth * width);
        least = least.min(100.0 * fill);
    }
    assert!((25.0..35.0).contains(&least), "{least}");
}

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
        .position(|candidate| candidate.codes.contains(&ring.codes[0]));
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
