//! Some of the units of a model: those of one variant, or with serial numbers in a range.

use super::name::name_key;
use super::unit_record::UnitRecord;

/// Chooses units of a model by what stands in brackets behind its name: words of the variant as notes name it, a range of serial
/// numbers, or both, as in `Tarn 2 (second series, EU)`, `Tarn 2 (41000..47999)` and `Tarn 2 (late, FT2-004500..)`.
#[derive(Debug, Clone, PartialEq)]
pub struct UnitChoice {
    parts: Vec<ChoicePart>,
}

#[derive(Debug, Clone, PartialEq)]
enum ChoicePart {
    /// Every one of these words stands in the variant.
    Variant(Vec<String>),
    /// The serial number lies between these, ends included.
    Serials(Option<Serial>, Option<Serial>),
}

/// A serial number as it is ordered: what stands before its last run of digits, and that run as a number.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Serial {
    series: String,
    number: u64,
}

impl Serial {
    /// Reads a serial number; `None` where it holds no digits, or more than a number can have.
    pub(super) fn read(text: &str) -> Option<Self> {
        let end = text.rfind(|c: char| c.is_ascii_digit())? + 1;
        let head = &text[..end];
        let start = head.rfind(|c: char| !c.is_ascii_digit()).map_or(0, |at| {
            at + head[at..].chars().next().map_or(1, char::len_utf8)
        });
        Some(Self {
            series: name_key(&head[..start]),
            number: head[start..].parse().ok()?,
        })
    }

    /// Tells whether both are counted in one series, so that their numbers can be compared; a bare number is of any.
    fn is_of_one_series(&self, other: &Self) -> bool {
        self.series == other.series || self.series.is_empty() || other.series.is_empty()
    }
}

impl UnitChoice {
    /// Parts `MODEL (CHOICE)` into the model's name and the choice; `None` where nothing stands in brackets at the end.
    pub fn parted(asked: &str) -> Option<(&str, Self)> {
        let (name, choice) = asked.trim().strip_suffix(')')?.rsplit_once('(')?;
        let parts: Vec<ChoicePart> = choice
            .split(',')
            .filter(|part| !part.trim().is_empty())
            .map(ChoicePart::read)
            .collect();
        let chosen = !name.trim().is_empty() && !parts.is_empty();
        chosen.then_some((name.trim(), Self { parts }))
    }

    /// Tells whether a unit is among the chosen ones.
    pub fn takes(&self, unit: &UnitRecord) -> bool {
        self.parts.iter().all(|part| part.takes(unit))
    }
}

impl ChoicePart {
    fn read(text: &str) -> Self {
        if let Some((from, to)) = text.split_once("..") {
            let bounds = (Serial::read(from), Serial::read(to));
            let sound =
                |text: &str, bound: &Option<Serial>| bound.is_some() || text.trim().is_empty();
            if bounds != (None, None) && sound(from, &bounds.0) && sound(to, &bounds.1) {
                return Self::Serials(bounds.0, bounds.1);
            }
        }
        Self::Variant(words(text))
    }

    fn takes(&self, unit: &UnitRecord) -> bool {
        match self {
            Self::Variant(asked) => {
                let variant = words(unit.header.variant.as_deref().unwrap_or(""));
                asked.iter().all(|word| variant.contains(word))
            }
            Self::Serials(from, to) => Serial::read(&unit.serial).is_some_and(|serial| {
                let alike = |bound: &Serial| bound.is_of_one_series(&serial);
                let above = |from: &Serial| alike(from) && from.number <= serial.number;
                let below = |to: &Serial| alike(to) && serial.number <= to.number;
                from.as_ref().is_none_or(above) && to.as_ref().is_none_or(below)
            }),
        }
    }
}

fn words(text: &str) -> Vec<String> {
    name_key(text)
        .split(' ')
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// Says where one group of units lies among the serial numbers of another, where the two do not mix: "from serial 5100 on",
/// "up to serial 4417".
pub(super) fn serial_bound(group: &[&str], others: &[&str]) -> Option<String> {
    let read = |serials: &[&str]| -> Option<Vec<(Serial, String)>> {
        let mut all = Vec::new();
        for text in serials {
            all.push((Serial::read(text)?, (*text).to_owned()));
        }
        all.sort();
        Some(all)
    };
    let (group, others) = (read(group)?, read(others)?);
    let (first, last) = (group.first()?, group.last()?);
    let (least, most) = (others.first()?, others.last()?);
    let one_series = [last, least, most]
        .iter()
        .all(|one| one.0.series == first.0.series);
    match one_series {
        true if first.0 > most.0 => Some(format!("from serial {} on", first.1)),
        true if last.0 < least.0 => Some(format!("up to serial {}", last.1)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::note::Header;

    fn unit(serial: &str, variant: &str) -> UnitRecord {
        UnitRecord {
            serial: serial.to_owned(),
            header: Header {
                variant: Some(variant.to_owned()).filter(|v| !v.is_empty()),
                ..Header::default()
            },
            ..UnitRecord::default()
        }
    }

    fn takes(asked: &str, serial: &str, variant: &str) -> bool {
        let (name, choice) = UnitChoice::parted(asked).expect("a choice");
        assert_eq!(name, "Tarn 2");
        choice.takes(&unit(serial, variant))
    }

    #[test]
    fn a_variant_is_chosen_by_its_words_in_any_order() {
        assert!(takes("Tarn 2 (series second)", "1", "Second series, EU"));
        assert!(takes(
            "Tarn 2 (second series, eu)",
            "1",
            "Second series, EU"
        ));
        assert!(!takes("Tarn 2 (US)", "1", "Second series, EU"));
        assert!(!takes("Tarn 2 (second)", "1", ""));
    }

    #[test]
    fn serial_numbers_are_compared_as_numbers_within_their_series() {
        assert!(takes("Tarn 2 (FT2-004417..FT2-010000)", "FT2-9999", ""));
        assert!(takes("Tarn 2 (..4417)", "FT2-004417", ""));
        assert!(!takes("Tarn 2 (4418..)", "FT2-004417", ""));
        assert!(!takes("Tarn 2 (FT3-000001..)", "FT2-004417", ""));
        assert!(!takes("Tarn 2 (1..9)", "no number", ""));
        assert!(takes("Tarn 2 (late, 5000..)", "5001", "late"));
        assert!(!takes("Tarn 2 (late, 5000..)", "4999", "late"));
    }

    #[test]
    fn a_name_without_brackets_at_its_end_chooses_nothing() {
        for text in ["Tarn 2", "(late)", "Tarn ()", "Tarn (late) 2", "Tarn ( , )"] {
            assert_eq!(UnitChoice::parted(text), None, "{text}");
        }
    }

    #[test]
    fn groups_that_do_not_mix_have_a_bound() {
        assert_eq!(
            serial_bound(&["FT2-005100", "FT2-005300"], &["FT2-4417", "FT2-4001"]).as_deref(),
            Some("from serial FT2-005100 on")
        );
        assert_eq!(
            serial_bound(&["4"], &["5", "9"]).as_deref(),
            Some("up to serial 4")
        );
        assert_eq!(serial_bound(&["4", "8"], &["5", "9"]), None);
        assert_eq!(serial_bound(&["A4"], &["B5"]), None);
    }
}
