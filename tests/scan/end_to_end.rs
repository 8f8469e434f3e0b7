//! The whole way of a page: the scanner calibrated, the rings of a unit of the demo shop scanned, their note added, the parts list
//! and the model book made.

use crate::calibration::{self, Along};
use crate::program::{Workshop, find, items, number};
use crate::simulator::bed::Bed;
use crate::simulator::picture::Scan;
use crate::simulator::ring::Ring;
use crate::simulator::scanner::Sensor;
use serde_json::Value;
use std::fmt::Write as _;

/// A ring of the unit and where it lies on the page.
struct Lying {
    section: &'static str,
    position: &'static str,
    code: &'static str,
    /// Inside diameter and section.
    size: [f64; 2],
    centre: [f64; 2],
}

/// The rings of a Tarn 2 (data/demo/truth.csv).
const RINGS: [Lying; 4] = [
    Lying {
        section: "cap",
        position: "at cap joint",
        code: "AS568-025",
        size: [29.87, 1.78],
        centre: [25.0, 25.0],
    },
    Lying {
        section: "piston",
        position: "on piston head",
        code: "AS568-119",
        size: [23.52, 2.62],
        centre: [70.0, 26.0],
    },
    Lying {
        section: "body",
        position: "at piston stem",
        code: "AS568-011",
        size: [7.65, 1.78],
        centre: [18.0, 60.0],
    },
    Lying {
        section: "body",
        position: "at high pressure plug",
        code: "AS568-012",
        size: [9.25, 1.78],
        centre: [50.0, 62.0],
    },
];

fn answer(shop: &Workshop, line: &str) -> Value {
    let (code, answer) = shop.coded(line);
    assert_eq!(code, Some(0), "{line}: {answer}");
    answer
}

fn save(shop: &Workshop, name: &str, scan: &Scan) -> String {
    let (bytes, end) = scan.file();
    let name = format!("{name}.{end}");
    shop.write(&name, bytes);
    name
}

/// The rings after some years: a twentieth of the height has set into the width.
fn tray(like: &Scan) -> Scan {
    let mut bed = Bed::new(like.truth.bed.scanner.clone(), 9).size(100.0, 80.0);
    for Lying {
        size: [inside, section],
        centre,
        ..
    } in RINGS
    {
        let mut ring = Ring::new(inside, section, centre);
        (ring.height, ring.width) = (section * 0.95, section / 0.95);
        ring.inside -= ring.width - section;
        bed = bed.ring(ring);
    }
    bed.scan()
}

fn ring_number(page: &Value, [x, y]: [f64; 2]) -> Value {
    let near = |ring: &&Value| (number(&ring["x_mm"]) - x).hypot(number(&ring["y_mm"]) - y) < 1.0;
    let ring = items(&page["rings"]).iter().find(near);
    ring.expect("the ring is found")["number"].clone()
}

#[test]
fn the_rings_of_a_unit_go_from_the_glass_into_its_parts_list_and_its_book() {
    let shop = Workshop::demo();
    let glass = calibration::scan(Sensor::Cis, 600, Along::X, 3);
    let card = save(&shop, "card", &glass);
    let line = format!("ring scan calibrate {card} --scanner bench --by card");
    answer(&shop, &line);
    let page = save(&shop, "tray", &tray(&glass));
    let scanned = answer(&shop, &format!("ring scan {page} --scanner bench"));
    let mut note =
        "maker Fellwater Apparatus\nmodel Tarn 2\nunit FT2-009001\ndate 2026-04-02\ngas air\n"
            .to_owned();
    for Lying {
        section,
        position,
        size,
        centre,
        ..
    } in RINGS
    {
        let ring = ring_number(&scanned["pages"][0], centre);
        let height = size[1] * 0.95;
        let _ = write!(
            note,
            "[{section}]\no-ring ; {position} ; replace ; used ; scan {page} ring {ring} by bench ; cs {height:.2} mm by flat\n"
        );
    }
    shop.write("tray.note", note);
    let added = answer(&shop, "note add tray.note");
    let named = items(&added["notes"][0]["rings"]);
    assert_eq!(named.len(), RINGS.len());
    for (ring, Lying { position, code, .. }) in named.iter().zip(RINGS) {
        println!("{position}: {} {}", ring["codes"][0], ring["probability"]);
        assert_eq!(ring["codes"][0], code, "{ring}");
    }
    let parts = answer(&shop, "parts 'Tarn 2'");
    for Lying { position, code, .. } in RINGS {
        let line = find(&parts["lines"], "position", position);
        assert_eq!(line["codes"][0], code, "{line}");
        let mut agree = items(&line["units_agree"]).iter();
        assert!(agree.any(|unit| unit == "FT2-009001"), "{line}");
    }
    answer(&shop, "sheet book 'Tarn 2' --out book.html");
    let book = shop.read("book.html");
    assert_eq!(book.matches("data:image/jpeg").count(), RINGS.len());
    assert!(book.contains(&format!("unit FT2-009001: {page} ring 1 by bench")));
}
