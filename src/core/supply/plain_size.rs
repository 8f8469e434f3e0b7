//! The commonest way to write a ring, "9.25 x 1.78 mm", read without the whole designation reader.
//!
//! A price list of a million rows is half rings, and every other one has dimensions that were not met before. A test
//! compares each answer with the designation reader's.

use super::described::NamedRing;
use super::dimension_run::Piece;
use crate::core::quantity::{Length, NM_PER_MM};
use crate::core::sizes::{Designated, ListedRing, SizeId, SizeTable};
use std::sync::LazyLock;

/// A listed size by its nominal dimensions in nanometres.
struct Listed {
    id: i64,
    section: i64,
    size: SizeId,
    ring: NamedRing,
}

static LISTED: LazyLock<Vec<Listed>> = LazyLock::new(|| {
    let table = SizeTable::shipped();
    let sizes = table.rings().iter().flat_map(ListedRing::sizes);
    let mut listed: Vec<Listed> = sizes
        .map(|size| Listed {
            id: table.size(*size).id.nominal.nm(),
            section: table.size(*size).section.nominal.nm(),
            size: *size,
            ring: NamedRing::of(&Designated::Listed(*size)),
        })
        .collect();
    listed.sort_by_key(|one| one.id);
    listed
});

/// Dimensions that are those of a listed ring to this are that ring; as the table of sizes has it.
const SAME_NM: i64 = 10_000;
/// What a ring's dimensions lie between, in millimetres times a million; as the designation reader has it.
const SECTION_NM: std::ops::RangeInclusive<i64> = 300_000..=12_700_000;
const ID_NM: std::ops::RangeInclusive<i64> = 300_000..=3_000_000_000;
/// A section of more millimetres than this would be no ring's if it were inches.
const NEVER_INCHES_NM: i64 = 500_000;

/// Reads "ID x section" in millimetres; `None` where the run is anything else, which the designation reader then reads.
pub(super) fn plain_size(run: &[Piece<'_>]) -> Option<NamedRing> {
    let (id, section, in_mm) = match run {
        [Piece::Number(id), Piece::Times, Piece::Number(section)] => (id, section, false),
        [
            Piece::Number(id),
            Piece::Times,
            Piece::Number(section),
            Piece::Unit("mm"),
        ]
        | [
            Piece::Number(id),
            Piece::Unit("mm"),
            Piece::Times,
            Piece::Number(section),
            Piece::Unit("mm"),
        ] => (id, section, true),
        _ => return None,
    };
    let (id, section) = (nanometres(id)?, nanometres(section)?);
    if !ID_NM.contains(&id) || !SECTION_NM.contains(&section) {
        return None;
    }
    // More than twice the hole: perhaps exchanged, which the designation reader refuses.
    if section > 2 * id {
        return None;
    }
    if !in_mm && section <= NEVER_INCHES_NM {
        return None;
    }
    Some(named(id, section))
}

fn named(id: i64, section: i64) -> NamedRing {
    let from = LISTED.partition_point(|one| one.id < id - SAME_NM);
    let near = LISTED[from..]
        .iter()
        .take_while(|one| one.id <= id + SAME_NM);
    let same = near.filter(|one| (one.section - section).abs() <= SAME_NM);
    match same.min_by_key(|one| one.size) {
        Some(one) => one.ring.clone(),
        None => NamedRing {
            code: None,
            id: Length::from_nm(id),
            section: Length::from_nm(section),
        },
    }
}

/// Reads a decimal of millimetres with at most six places; a fraction or a bare mark is left to the designation reader.
fn nanometres(number: &str) -> Option<i64> {
    const PLACES: usize = 6;
    let (whole, decimals) = number.split_once(['.', ',']).unwrap_or((number, ""));
    let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    // "3,000" may be thousands, which the designation reader refuses.
    let thousands = number.contains(',') && decimals.len() == 3;
    if whole.is_empty() || whole.len() > 4 || decimals.len() > PLACES || thousands {
        return None;
    }
    if !digits(whole) || !digits(decimals) {
        return None;
    }
    let whole: i64 = whole.parse().ok()?;
    let part: i64 = format!("{decimals:0<PLACES$}").parse().ok()?;
    Some(whole * NM_PER_MM + part)
}

#[cfg(test)]
mod tests {
    use super::super::dimension_run::pieces;
    use super::*;
    use crate::core::sizes::read_designation;

    fn agree(text: &str) {
        let upper = text.to_uppercase();
        let Some(quick) = pieces(&upper).as_deref().and_then(plain_size) else {
            return;
        };
        let slow = read_designation(text, None).unwrap_or_else(|e| panic!("{text}: {e}"));
        let slow: Vec<NamedRing> = slow.iter().map(|r| NamedRing::of(&r.size)).collect();
        assert_eq!(slow, [quick], "{text}");
    }

    #[test]
    fn every_listed_size_reads_as_the_designation_reader_reads_it() {
        for size in SizeTable::shipped().sizes() {
            let (id, section) = (size.id.nominal.mm(), size.section.nominal.mm());
            agree(&format!("{id:.2}x{section:.2}mm"));
            agree(&format!("{id:.4}x{section:.4}"));
        }
        let quick = |text: &str| pieces(text).as_deref().and_then(plain_size);
        assert_eq!(
            quick("9,25X1,78MM").and_then(|r| r.code).as_deref(),
            Some("AS568-012")
        );
        assert_eq!(quick("1X.4"), None);
        assert_eq!(quick("3/8X1/16"), None);
    }

    proptest::proptest! {
        #[test]
        fn random_dimensions_read_as_the_designation_reader_reads_them(text in "[0-9]{1,4}([.,][0-9]{1,4})?x[0-9]{1,2}([.,][0-9]{1,3})?(mm)?") {
            agree(&text);
        }
    }
}
