//! Ring designations.

use super::lies_in;
use ringwright::core::quantity::LengthUnit;
use ringwright::core::sizes::{Designated, DesignationReading, SizeTable, read_designation};

/// Reads one text as a designation, with and without a declared unit.
pub fn designation(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    for declared in [None, Some(LengthUnit::Mm), Some(LengthUnit::In)] {
        match read_designation(text, declared) {
            Err(error) => {
                lies_in(error.span(text), text);
                assert!(!error.to_string().is_empty());
            }
            Ok(readings) => holds(text, &readings),
        }
    }
}

fn holds(text: &str, readings: &[DesignationReading]) {
    assert!(!readings.is_empty(), "{text:?}");
    for (at, reading) in readings.iter().enumerate() {
        assert!(!reading.understood.is_empty(), "{text:?}");
        let twice = readings[at + 1..].iter().any(|r| r.size == reading.size);
        assert!(!twice, "{text:?}: {readings:?}");
        if let Some(hardness) = reading.hardness {
            assert!((0.0..=100.0).contains(&hardness.value), "{text:?}");
        }
        returns(text, &reading.size);
    }
}

/// A code reads back as itself alone; dimensions, written out in millimetres, as the same dimensions.
fn returns(text: &str, size: &Designated) {
    let table = SizeTable::shipped();
    match size {
        Designated::Listed(id) => {
            let code = table.size(*id).code();
            let again = read_designation(&code, None);
            let sizes: Vec<_> = again.iter().flatten().map(|r| &r.size).collect();
            assert_eq!(sizes, [size], "{text:?}: {code}");
        }
        Designated::Dimensions { id, section, same } => {
            assert!(id.least().nm() >= 0 && section.least().nm() >= 0);
            for listed in same {
                let ring = table.size(*listed);
                let near = |a: i64, b: i64| (a - b).abs() <= 10_000;
                assert!(near(ring.id.nominal.nm(), id.nominal.nm()), "{text:?}");
                assert!(
                    near(ring.section.nominal.nm(), section.nominal.nm()),
                    "{text:?}"
                );
            }
            let written = format!("{} x {} mm", id.nominal.mm(), section.nominal.mm());
            let again = read_designation(&written, None)
                .unwrap_or_else(|e| panic!("{text:?}: {written}: {e}"));
            let found = again.iter().any(|r| {
                matches!(&r.size, Designated::Dimensions { id: i, section: s, .. }
                    if i.nominal == id.nominal && s.nominal == section.nominal)
            });
            assert!(found, "{text:?}: {written}: {again:?}");
        }
    }
}
