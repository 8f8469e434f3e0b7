//! A part by what it is: kind, dimensions, material.

use crate::core::book::{Alternate, PartLength, PartLine, lengths_agree, name_key};
use crate::core::elastomer::Polymer;
use crate::core::note::{Entry, LengthName, PartKind, Severity, read_note};
use crate::core::quantity::{Hardness, Length, LengthUnit};
use crate::core::sizes::read_designation;
use crate::core::supply::NamedRing;

/// Names a part by what it is.
#[derive(Debug, Clone, PartialEq)]
pub enum PartSpec {
    Ring(RingSpec),
    /// Any other part.
    Plain(PlainSpec),
}

/// Names a ring.
#[derive(Debug, Clone, PartialEq)]
pub struct RingSpec {
    /// Its dimensions, and its first code where it is listed.
    pub ring: NamedRing,
    /// The polymer, where it is named.
    pub polymer: Option<Polymer>,
    /// The hardness, where it is named.
    pub hardness: Option<Hardness>,
}

/// Names a part that is no ring.
#[derive(Debug, Clone, PartialEq)]
pub struct PlainSpec {
    pub kind: PartKind,
    /// What it is called.
    pub name: String,
    /// Its lengths by the words of the note.
    pub lengths: Vec<PartLength>,
    /// Material in words.
    pub material: Option<String>,
}

/// Says why a text names no part.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "{text:?} names no part: write a ring as AS568-012, P10A or \"9.25x1.78 mm\", any other part as \"filter disc ; od 14.9 mm ; \
     thick 2.8 mm\"{}{}", if .detail.is_empty() { "" } else { "; " }, .detail
)]
pub struct SpecError {
    /// What was typed.
    pub text: String,
    /// What was wrong with it, read as a part of a note.
    pub detail: String,
}

/// Lists the lengths that a kind needs and this part lacks, by their words.
pub fn lacking_lengths(spec: &PlainSpec) -> Vec<&'static str> {
    let has = |length: &LengthName| spec.lengths.iter().any(|own| own.word == length.word());
    let lacking = spec.kind.needed_lengths().filter(|length| !has(length));
    lacking.map(LengthName::word).collect()
}

impl PartSpec {
    /// Reads a part: a ring's code, old number or dimensions, or the fields of a part in a note. A number that means two rings
    /// gives both, the surer first.
    ///
    /// # Errors
    /// The text names neither.
    pub fn read(text: &str, declared: Option<LengthUnit>) -> Result<Vec<Self>, SpecError> {
        if let Ok(readings) = read_designation(text, declared) {
            return Ok(readings
                .into_iter()
                .map(|reading| {
                    Self::Ring(RingSpec {
                        ring: NamedRing::of(&reading.size),
                        polymer: reading.polymer,
                        hardness: reading.hardness,
                    })
                })
                .collect());
        }
        let lengths = match declared {
            Some(LengthUnit::In) => "lengths in\n",
            Some(LengthUnit::Mm) => "lengths mm\n",
            // A note declares one of these two; a bare number in another unit is then refused.
            _ => "",
        };
        let refused = |detail: String| SpecError {
            text: text.to_owned(),
            detail,
        };
        if text.contains(['\n', '\r']) {
            return Err(refused("it has more than one line".to_owned()));
        }
        let reading = read_note(&format!("model x\nunit x\n{lengths}\n[x]\n{text}\n"));
        let error = reading
            .diagnostics
            .iter()
            .find(|d| d.severity == Severity::Error);
        if let Some(error) = error {
            return Err(refused(error.message.clone()));
        }
        match reading.note.entries.as_slice() {
            [entry] if entry.kind == PartKind::Ring => Err(refused(String::new())),
            [entry] => PlainSpec::of_entry(entry)
                .map(|spec| vec![Self::Plain(spec)])
                .ok_or_else(|| refused(String::new())),
            _ => Err(refused(String::new())),
        }
    }

    /// Returns the part that a line of a parts list lists, decided or not; `None` where nothing is known of its size.
    pub fn of_line(line: &PartLine) -> Option<Self> {
        if line.kind == PartKind::Ring {
            return Some(Self::Ring(RingSpec {
                ring: NamedRing {
                    code: line.size.codes.first().cloned(),
                    size: line.size.nominal()?,
                },
                polymer: line.material.polymer,
                hardness: line.material.hardness,
            }));
        }
        let lengths = line.size.lengths.clone();
        // A word that is no kind names nothing by itself.
        (line.kind != PartKind::Other || !lengths.is_empty()).then(|| {
            Self::Plain(PlainSpec {
                kind: line.kind,
                name: line.part.clone(),
                lengths,
                material: line.material.material.clone(),
            })
        })
    }

    /// Returns a ring that may take the place of a listed one.
    pub fn of_alternate(other: &Alternate) -> Self {
        Self::Ring(RingSpec {
            ring: NamedRing {
                code: other.codes.first().cloned(),
                size: other.size,
            },
            polymer: None,
            hardness: None,
        })
    }

    /// Tells whether both name the same part: rings of the same nominal dimensions to the hundredth of a millimetre; other parts
    /// of one kind whose shared lengths agree as far as a worn part can be measured, or, where neither has lengths, of one name.
    /// Materials are not compared.
    pub fn is_same(&self, other: &Self) -> bool {
        /// A hundredth of a millimetre, as for listed rings.
        const SAME_NM: i64 = 10_000;
        match (self, other) {
            (Self::Ring(a), Self::Ring(b)) => {
                let near = |x: Length, y: Length| (x.nm() - y.nm()).abs() <= SAME_NM;
                near(a.ring.size.id, b.ring.size.id)
                    && near(a.ring.size.section, b.ring.size.section)
            }
            (Self::Plain(a), Self::Plain(b)) => a.is_same(b),
            _ => false,
        }
    }

    /// Tells whether both may be the very same part: the same by [`is_same`](Self::is_same), and no material that both name
    /// differs.
    pub fn may_be(&self, other: &Self) -> bool {
        let materials = match (self, other) {
            (Self::Ring(a), Self::Ring(b)) => {
                agree(a.polymer, b.polymer) && agree(a.hardness, b.hardness)
            }
            _ => true,
        };
        materials && self.is_same(other)
    }
}

/// Tells whether two facts do not contradict: one that is not known contradicts nothing.
fn agree<T: PartialEq>(a: Option<T>, b: Option<T>) -> bool {
    a.zip(b).is_none_or(|(a, b)| a == b)
}

impl PlainSpec {
    fn of_entry(entry: &Entry) -> Option<Self> {
        let mut lengths: Vec<PartLength> = Vec::new();
        for (name, word) in LengthName::ALL {
            if let Some(length) = entry
                .dimension(name)
                .and_then(|d| Length::from_mm(d.mean_mm()))
            {
                lengths.push(PartLength { word, length });
            }
        }
        for reading in &entry.readings {
            if let Some(length) = Length::from_mm(reading.mean()) {
                let word = reading.measurand.word();
                lengths.push(PartLength { word, length });
            }
        }
        // A word that is no kind names nothing by itself.
        if entry.kind == PartKind::Other && lengths.is_empty() {
            return None;
        }
        Some(Self {
            kind: entry.kind,
            name: entry.name.clone(),
            lengths,
            material: entry.material.clone(),
        })
    }

    fn is_same(&self, other: &Self) -> bool {
        if self.kind != other.kind {
            return false;
        }
        let mut shared = 0;
        for own in &self.lengths {
            for theirs in other.lengths.iter().filter(|other| other.word == own.word) {
                if !lengths_agree(own.length, theirs.length) {
                    return false;
                }
                shared += 1;
            }
        }
        let bare = self.lengths.is_empty() && other.lengths.is_empty();
        shared > 0 || (bare && name_key(&self.name) == name_key(&other.name))
    }
}

impl std::fmt::Display for PartSpec {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Ring(spec) => {
                match &spec.ring.code {
                    Some(code) => f.write_str(code)?,
                    None => write!(
                        f,
                        "{}x{} mm",
                        millimetres(spec.ring.size.id),
                        millimetres(spec.ring.size.section)
                    )?,
                }
                if let Some(polymer) = spec.polymer {
                    write!(f, " {}", polymer.letters())?;
                }
                match spec.hardness {
                    Some(hardness) => write!(f, " {hardness}"),
                    None => Ok(()),
                }
            }
            Self::Plain(spec) => {
                f.write_str(&spec.name)?;
                for own in &spec.lengths {
                    write!(f, " ; {} {} mm", own.word, millimetres(own.length))?;
                }
                match &spec.material {
                    Some(material) => write!(f, " ; material {material}"),
                    None => Ok(()),
                }
            }
        }
    }
}

/// Millimetres to a thousandth, without idle noughts.
fn millimetres(length: Length) -> String {
    let text = format!("{:.3}", length.mm());
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::sizes::{Designated, SizeTable};
    use proptest::prelude::*;

    fn one(text: &str) -> PartSpec {
        PartSpec::read(text, None)
            .unwrap_or_else(|e| panic!("{e}"))
            .remove(0)
    }

    #[test]
    fn a_ring_is_one_part_under_its_codes_and_its_dimensions() {
        assert!(one("AS568-012").is_same(&one("9.25x1.78 mm NBR 70")));
        assert!(!one("AS568-012").is_same(&one("AS568-013")));
    }

    #[test]
    fn another_part_is_known_by_kind_and_lengths_not_by_its_name() {
        let filter = one("filter disc ; od 14.9 mm ; thick 2.8 mm");
        assert!(filter.is_same(&one("strainer ; od 15.0 mm")));
        assert!(!filter.is_same(&one("filter ; od 15.5 mm ; thick 2.8 mm")));
        assert!(!filter.is_same(&one("washer ; od 14.9 mm ; thick 2.8 mm")));
        assert!(
            !filter.is_same(&one("filter")),
            "nothing tells that it is this one"
        );
    }

    #[test]
    fn what_names_no_part_is_refused_with_both_ways_to_write_one() {
        for text in [
            "",
            "thing",
            "o-ring",
            "filter ; od 14.9",
            "filter ; od 1 mm\nclip ; od 2 mm",
        ] {
            let error = PartSpec::read(text, None).expect_err(text).to_string();
            assert!(
                error.contains("AS568-012") && error.contains("filter disc"),
                "{error}"
            );
        }
    }

    #[test]
    fn a_kind_says_which_lengths_a_counter_will_ask_for() {
        let PartSpec::Plain(spring) = one("spring ; od 18 mm") else {
            panic!("no ring");
        };
        assert_eq!(lacking_lengths(&spring), ["wire", "length"]);
    }

    #[test]
    fn every_listed_ring_in_every_material_is_read_again_as_it_is_printed() {
        let hardnesses = [None, Hardness::shore_a(70.0), Hardness::shore_a(90.0)];
        let mut wrong = Vec::new();
        let table = SizeTable::shipped();
        for listed in table.rings() {
            let ring = NamedRing::of(&Designated::Listed(listed.sizes()[0]));
            for polymer in
                std::iter::once(None).chain(Polymer::all().map(|facts| Some(facts.polymer)))
            {
                for hardness in hardnesses {
                    let spec = PartSpec::Ring(RingSpec {
                        ring: ring.clone(),
                        polymer,
                        hardness,
                    });
                    let read = PartSpec::read(&spec.to_string(), None);
                    if read.as_deref() != Ok(std::slice::from_ref(&spec)) {
                        wrong.push(spec.to_string());
                    }
                }
            }
        }
        assert!(
            wrong.is_empty(),
            "{} of them: {:?}",
            wrong.len(),
            &wrong[..wrong.len().min(20)]
        );
    }

    proptest! {
        #[test]
        fn what_is_printed_is_read_again_as_the_same(
            // A section of more than 1.25 of the inside diameter is refused as exchanged.
            id in 5.7..300.0_f64, section in 0.5..7.0_f64, polymer in any::<bool>(), at in 0..5_usize,
            od in 1.0..90.0_f64, thick in 0.1..9.0_f64,
        ) {
            let material = if polymer { " FKM 75 Shore A" } else { "" };
            let kind = ["filter disc", "circlip", "seat", "shim", "washer"][at];
            for text in [
                format!("{id:.3}x{section:.3} mm{material}"),
                format!("{kind} ; od {od:.3} mm ; thick {thick:.3} mm"),
            ] {
                let spec = one(&text);
                let again = one(&spec.to_string());
                prop_assert_eq!(&again, &spec, "{}", text);
            }
        }
    }
}
