//! Reads ring designations as people write them, and gives every reading that the text allows.
//!
//! A designation is a size (a code of some family, an old number, or dimensions) with an optional polymer and hardness
//! before or behind it. Where a text can mean more than one thing, all readings are returned, never a guess.

mod codes;
mod dimensions;
mod words;

pub(crate) use codes::number_series;
pub(crate) use dimensions::nominal_ring;

use super::ring_size::RingSize;
use super::table::{SizeId, SizeTable};
use crate::core::confidence::Confidence;
use crate::core::elastomer::Polymer;
use crate::core::quantity::{Dimension, Hardness, LengthUnit, QuantityError, Span};

/// Says what a designation's size text can mean.
#[derive(Debug, Clone, PartialEq)]
pub enum Designated {
    Listed(SizeId),
    /// A ring given by its dimensions; `same` lists the sizes with these very dimensions.
    Dimensions {
        id: Dimension,
        section: Dimension,
        /// Listed sizes that are the same to the hundredth of a millimetre.
        same: Vec<SizeId>,
    },
}

impl Designated {
    /// Returns the listed size that is named, where one is.
    pub fn listed<'t>(&self, table: &'t SizeTable) -> Option<&'t RingSize> {
        match self {
            Self::Listed(size) => Some(table.size(*size)),
            Self::Dimensions { .. } => None,
        }
    }

    /// Returns inside diameter and cross-section.
    pub fn dimensions(&self, table: &SizeTable) -> (Dimension, Dimension) {
        match self {
            Self::Listed(size) => (table.size(*size).id, table.size(*size).section),
            Self::Dimensions { id, section, .. } => (*id, *section),
        }
    }
}

/// One way to read a designation.
#[derive(Debug, Clone, PartialEq)]
pub struct DesignationReading {
    pub size: Designated,
    /// In words, how the text was understood.
    pub understood: String,
    /// How sure this way of reading is.
    pub confidence: Confidence,
    /// Polymer named beside the size, or implied by a material specification.
    pub polymer: Option<Polymer>,
    /// Hardness named beside the size, or implied by a material specification.
    pub hardness: Option<Hardness>,
}

/// Says why a designation cannot be read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum DesignationError {
    /// Nothing was typed.
    #[error(
        "no ring here: write a code such as AS568-012 or P10A, or dimensions such as 9.25x1.78 mm"
    )]
    Empty,
    /// The text names no listed size and no dimensions.
    #[error("{found:?} is not a known ring code{}: write a code such as AS568-012 or P10A, or dimensions such as 9.25x1.78 mm", in_brackets(.hint.as_deref()))]
    Unknown {
        found: String,
        span: Span,
        hint: Option<String>,
    },
    /// The dimensions cannot be read.
    #[error("{0}")]
    Quantity(#[from] QuantityError),
    /// The dimensions are read, but they are not those of a ring.
    #[error("{found:?} does not give a ring: {reason}; write ID x section, as 9.25x1.78 mm")]
    NotARing {
        found: String,
        span: Span,
        reason: String,
    },
}

fn in_brackets(hint: Option<&str>) -> String {
    hint.map_or_else(String::new, |h| format!(" ({h})"))
}

impl DesignationError {
    /// Returns the bytes that the error is about.
    pub fn span(&self, text: &str) -> Span {
        match self {
            Self::Empty => Span::new(0, text.len()),
            Self::Unknown { span, .. } | Self::NotARing { span, .. } => *span,
            Self::Quantity(error) => error.span,
        }
    }
}

/// Reads a ring designation; returns at least one reading.
///
/// `declared` is the unit of bare dimensions. Without it, `9.25x1.78` is read in the unit (or both units) in which it
/// can be a ring.
///
/// ```
/// use ringwright::core::sizes::{Designated, SizeTable, read_designation};
/// let readings = read_designation("2-012 N70", None).unwrap();
/// let Designated::Listed(size) = readings[0].size else { panic!("a listed size") };
/// assert_eq!(SizeTable::shipped().size(size).code(), "AS568-012");
/// ```
///
/// # Errors
/// Says which part is not understood, where, and what to write.
pub fn read_designation(
    text: &str,
    declared: Option<LengthUnit>,
) -> Result<Vec<DesignationReading>, DesignationError> {
    if text.trim().is_empty() {
        return Err(DesignationError::Empty);
    }
    let mut readings: Vec<DesignationReading> = Vec::new();
    let mut first_error = None;
    for split in words::splits(text) {
        match read_size(&split.size, declared) {
            Ok(found) => readings.extend(found.into_iter().map(|r| split.complete(r))),
            Err(error) => {
                first_error.get_or_insert((error, split.size));
            }
        }
    }
    if readings.is_empty() {
        let (error, size) = first_error.unwrap_or((DesignationError::Empty, String::new()));
        return Err(placed_in(error, &size, text));
    }
    let mut unique: Vec<DesignationReading> = Vec::new();
    for reading in readings {
        if !unique.iter().any(|r| r.size == reading.size) {
            unique.push(reading);
        }
    }
    Ok(unique)
}

/// Moves an error in the size text to where that text stands in the whole designation.
fn placed_in(mut error: DesignationError, size: &str, text: &str) -> DesignationError {
    let whole = Span::new(0, text.len());
    let span = match &mut error {
        DesignationError::Empty => {
            return DesignationError::Unknown {
                found: text.trim().chars().take(40).collect(),
                span: whole,
                hint: Some("it names a material but no size".to_owned()),
            };
        }
        DesignationError::Unknown { span, .. } | DesignationError::NotARing { span, .. } => span,
        DesignationError::Quantity(quantity) => &mut quantity.span,
    };
    *span = text.find(size).map_or(whole, |by| span.shifted(by));
    error
}

fn read_size(
    text: &str,
    declared: Option<LengthUnit>,
) -> Result<Vec<DesignationReading>, DesignationError> {
    if text.is_empty() {
        return Err(DesignationError::Empty);
    }
    let table = SizeTable::shipped();
    let mut readings = codes::read(text, table);
    if dimensions::looks_like(text) {
        match dimensions::read(text, declared, table) {
            Ok(found) => readings.extend(found),
            Err(error) if readings.is_empty() => return Err(error),
            Err(_) => {}
        }
    }
    if readings.is_empty() {
        return Err(DesignationError::Unknown {
            found: text.chars().take(40).collect(),
            span: Span::new(0, text.len()),
            hint: codes::hint(text, table),
        });
    }
    Ok(readings)
}

/// Says why a text names no one ring.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RingTextError {
    #[error(transparent)]
    Unread(#[from] DesignationError),
    /// The text can mean more than one ring.
    #[error("{text:?} can mean {}: write the one you mean", readings.join(", or "))]
    Ambiguous { text: String, readings: Vec<String> },
}

/// Reads the one ring that a text names.
///
/// # Errors
/// Says which part is not understood, or every way to read a text that can mean more than one.
pub fn read_one_ring(
    text: &str,
    declared: Option<LengthUnit>,
) -> Result<DesignationReading, RingTextError> {
    let mut readings = read_designation(text, declared)?;
    match readings.pop() {
        Some(reading) if readings.is_empty() => Ok(reading),
        last => Err(RingTextError::Ambiguous {
            text: text.to_owned(),
            readings: readings
                .into_iter()
                .chain(last)
                .map(|reading| reading.understood)
                .collect(),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::quantity::HardnessScale;

    fn codes(text: &str) -> Vec<String> {
        let table = SizeTable::shipped();
        read_designation(text, None)
            .unwrap_or_else(|e| panic!("{text}: {e}"))
            .iter()
            .map(|r| match &r.size {
                Designated::Listed(size) => table.size(*size).code(),
                Designated::Dimensions { id, section, .. } => {
                    format!("{:.4}x{:.4}", id.nominal.mm(), section.nominal.mm())
                }
            })
            .collect()
    }

    #[test]
    fn the_spellings_of_the_trade_lead_to_their_size() {
        for text in [
            "-012",
            "012",
            "2-012",
            "AS568-012",
            "as568-012",
            "AS 568-012",
            "AS568A-012",
            "AS568 012",
            "BS1806-012",
            "BS012",
            "AN6227B-7",
            "AN6227-7",
            "MS28775-012",
            "M83248/1-012",
            "ARP568-012",
        ] {
            assert_eq!(codes(text), ["AS568-012"], "{text}");
        }
        assert_eq!(codes("AN6230B-1"), ["AS568-223"]);
        assert_eq!(codes("MS28778-4"), ["AS568-904"]);
        assert_eq!(codes("P10A"), ["JIS B 2401 P10A"]);
        assert_eq!(codes("JIS P 10A"), ["JIS B 2401 P10A"]);
        assert_eq!(codes("JIS B 2401 G25"), ["JIS B 2401 G25"]);
        assert_eq!(codes("JIS B 2401-P22.4"), ["JIS B 2401 P22.4"]);
        assert_eq!(codes("0096-24"), ["BS 4518 0096-24"]);
        assert_eq!(codes("BS 4518 0096-24"), ["BS 4518 0096-24"]);
        assert_eq!(codes("ISO 3601-1 012"), ["ISO 3601-1 012"]);
        assert_eq!(codes("ISO 3601-1 9.5x1.8"), ["ISO 3601-1 9.5x1.8"]);
        assert_eq!(codes("JIS B 2401 P10A").len(), 1);
    }

    #[test]
    fn the_table_codes_read_back_as_themselves() {
        for size in SizeTable::shipped().sizes() {
            assert_eq!(codes(&size.code()), [size.code()]);
        }
    }

    #[test]
    fn dimensions_are_read_in_the_unit_in_which_they_can_be_a_ring() {
        assert_eq!(codes("9.25x1.78"), ["9.2500x1.7800"]);
        assert_eq!(codes("9,25 x 1,78 mm"), ["9.2500x1.7800"]);
        assert_eq!(codes("9.25×1.78mm"), ["9.2500x1.7800"]);
        assert_eq!(codes(".364 x .070"), ["9.2456x1.7780"]);
        assert_eq!(codes("0.364\" x 0.070\""), ["9.2456x1.7780"]);
        assert_eq!(codes("9.25±0.13 x 1.78±0.08 mm"), ["9.2500x1.7800"]);
        assert_eq!(codes("9 x 13 x 2 mm"), ["9.0000x2.0000"]);
    }

    #[test]
    fn white_space_parts_a_name_from_its_number_and_no_number() {
        for text in [
            "AS 568 012",
            "AS568A 012",
            "JIS B 2401 P 30",
            "BS 4518 0246-24",
        ] {
            assert_eq!(codes(text).len(), 1, "{text}");
        }
        for text in [
            "P3 0",
            "AS568-01 2",
            "BS 4518 02 46-24",
            "0 12",
            "AS568 0 12",
        ] {
            read_designation(text, None).expect_err(text);
        }
    }

    #[test]
    fn one_unit_holds_for_every_number_and_what_may_be_two_things_is_refused() {
        assert_eq!(codes("0.364in x 0.070"), ["9.2456x1.7780"]);
        assert_eq!(codes("9.25mm x 1.78"), ["9.2500x1.7800"]);
        assert_eq!(codes("0.364in x 1.78mm"), ["9.2456x1.7800"]);
        for text in [
            "9IN x 5",
            "9in x 13 x 2mm",
            "9in x 13mm x 2",
            ",9,x2,",
            "220 3/16 x 7",
        ] {
            read_designation(text, None).expect_err(text);
        }
    }

    #[test]
    fn nominal_inch_fractions_mean_the_real_section() {
        assert_eq!(codes("3/8x1/2x1/16"), ["AS568-012"]);
        assert_eq!(codes("3/8 x 1/16"), ["AS568-012"]);
        assert_eq!(codes("3/8\" x 1/2\" x 1/16\""), ["AS568-012"]);
        assert_eq!(codes("3/4 x 1 x 1/8"), ["AS568-210"]);
        assert_eq!(codes("1 1/16 x 1 1/4 x 3/32"), ["AS568-121"]);
    }

    #[test]
    fn a_text_that_means_two_things_gives_both() {
        let both = codes("1 x .4");
        assert_eq!(both.len(), 2, "{both:?}");
        assert_eq!(codes("2 x 0.4").len(), 2);
    }

    #[test]
    fn polymer_and_hardness_are_read_on_either_side() {
        let read = |t: &str| {
            let r = read_designation(t, None).unwrap_or_else(|e| panic!("{t}: {e}"));
            (r.len(), r[0].polymer, r[0].hardness.map(|h| h.value))
        };
        for (text, polymer, hardness) in [
            ("012 N70", Polymer::Nbr, 70.0),
            ("N70-012", Polymer::Nbr, 70.0),
            ("70 NBR 012", Polymer::Nbr, 70.0),
            ("012 70 NBR", Polymer::Nbr, 70.0),
            ("012 FKM 90", Polymer::Fkm, 90.0),
            ("012/FKM/90", Polymer::Fkm, 90.0),
            ("V75-112", Polymer::Fkm, 75.0),
            ("9.25x1.78 NBR70", Polymer::Nbr, 70.0),
            ("9.25x1.78 mm EPDM 70 Shore A", Polymer::Epdm, 70.0),
            ("P10A NBR 90", Polymer::Nbr, 90.0),
            ("70D NBR 012", Polymer::Nbr, 70.0),
            ("M83248/2-012", Polymer::Fkm, 90.0),
        ] {
            assert_eq!(read(text), (1, Some(polymer), Some(hardness)), "{text}");
        }
        let scale = read_designation("012 NBR 70 IRHD", None).expect("reads")[0].hardness;
        assert_eq!(scale.map(|h| h.scale), Some(HardnessScale::Irhd));
    }

    #[test]
    fn what_is_not_known_is_refused_with_a_hint() {
        let error = |t: &str| read_designation(t, None).expect_err(t).to_string();
        assert!(error("-12").contains("-012"));
        assert!(error("AS568-999").contains("999"));
        assert!(error("8-012").contains("back-up"));
        assert!(error("N70").contains("no size"));
        assert!(error("blue ring").contains("not a known ring code"));
        assert!(error("12 x 30 mm").contains("does not give a ring"));
        assert!(error("9.25 x").contains("no value here"));
        assert!(error("").contains("no ring here"));
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused_with_a_span_inside_it(text in "[-0-9x×/. ,A-Z±\"]{0,24}|\\PC{0,20}") {
            if let Err(error) = read_designation(&text, None) {
                proptest::prop_assert!(text.get(error.span(&text).range()).is_some());
            }
        }
    }
}
