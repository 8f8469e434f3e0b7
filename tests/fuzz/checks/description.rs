//! Descriptions of offers.

use ringwright::core::note::PartKind;
use ringwright::core::sizes::{SizeTable, read_designation};
use ringwright::core::supply::{Described, DescriptionReader, NamedRing, SizeFlag};

/// Reads one text as a description.
pub fn description(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let mut reader = DescriptionReader::default();
    let read = reader.read(text);
    holds(text, &read);
    // Sizes that were read once are remembered; a memory changes no answer.
    assert_eq!(reader.read(text), read, "{text:?}");
    assert_eq!(reader.read(&spaced(text)), read, "{text:?}");
    agrees(text);
}

pub(super) fn holds(text: &str, read: &Described) {
    if !read.rings.is_empty() {
        assert_eq!(read.kind, Some(PartKind::Ring), "{text:?}");
        let several = read.flags.contains(&SizeFlag::SeveralSizes);
        assert!(!several, "{text:?} lists several sizes and names one");
    }
    // One ring is named, or every ring that the text can mean.
    let contradicts = read.flags.contains(&SizeFlag::Contradiction);
    assert!(!contradicts || read.rings.len() > 1, "{text:?}: {read:?}");
    if let Some(pack) = read.pack {
        assert!((1..=100_000).contains(&pack), "{text:?}: {pack}");
    }
    if let Some(hardness) = read.hardness {
        assert!((0.0..=100.0).contains(&hardness.value), "{text:?}");
    }
    assert!(read.lengths.iter().all(|l| l.nm() >= 0), "{text:?}");
    let table = SizeTable::shipped();
    for ring in &read.rings {
        assert!(
            ring.size.id.nm() > 0 && ring.size.section.nm() > 0,
            "{text:?}"
        );
        if let Some(code) = &ring.code {
            let size = table.find_code(code).map(|id| table.size(id));
            let size = size.unwrap_or_else(|| panic!("{text:?}: {code} is not listed"));
            assert_eq!(
                (size.id.nominal, size.section.nominal),
                (ring.size.id, ring.size.section),
                "{text:?}"
            );
        }
    }
}

/// White space parts words, however much of it there is.
fn spaced(text: &str) -> String {
    format!("  {}\t", text.replace(' ', "  "))
}

/// Where the description of a ring and the designation reader each see one size in a text, they see the same one. A text
/// with a material in it is left out: each reader takes it out of the middle of a size in its own way.
fn agrees(text: &str) {
    let Ok(readings) = read_designation(text, None) else {
        return;
    };
    let mut named: Vec<NamedRing> = Vec::new();
    if readings
        .iter()
        .any(|r| r.polymer.is_some() || r.hardness.is_some())
    {
        return;
    }
    for reading in &readings {
        let ring = NamedRing::of(&reading.size);
        if !named.contains(&ring) {
            named.push(ring);
        }
    }
    let read = DescriptionReader::default().read(&format!("O-RING {text}"));
    if read
        .flags
        .iter()
        .any(|flag| matches!(flag, SizeFlag::NominalInch(_)))
    {
        // What is written is a nominal size; the description tells the ring that is sold by it.
        return;
    }
    if let ([described], [designated]) = (read.rings.as_slice(), named.as_slice()) {
        // A description takes sizes that differ by no more than lists round as one.
        assert!(
            described.size.is_near(designated.size),
            "{text:?}: {described:?} as a description, {designated:?} as a designation"
        );
    }
}
