//! What all units together say of a part that is no ring: its lengths and its material.

use super::gather::Gathered;
use super::model_units::ModelUnits;
use super::name::MeasuredName;
use super::part_length::PartLength;
use super::part_line::{Conflict, ConflictAbout, PartLine, PartMaterial, PartSize, SizeBasis};
use super::pooling::{Apart, Pooled, UnitValue, pool};
use super::ring_words::mm;
use super::unit_choice::serial_bound;
use crate::core::measurement::{Measurand, Reading};
use crate::core::note::{Entry, LengthName, PartDimension};

/// Two lengths of one part in two units differ by how it was read and by how it was made. Read: half the stated tolerance
/// over √3 (JCGM 100:2008, 4.3.7, recalled: all values within the limits are as probable), else 0.1 mm, as notes are written, and 0.3 mm
/// by a rule, half a millimetre read by eye (both estimated, no source). Made: half a per cent covers ordinary manufacture
/// (estimated, no source). The standard uncertainty is the root of the sum of their squares.
const READ_MM: f64 = 0.1;
const READ_BY_RULE_MM: f64 = 0.3;
const MADE_SHARE: f64 = 0.005;

/// One length of a part over all units that give it.
pub(super) struct PooledLength {
    pub(super) word: &'static str,
    pub(super) pooled: Pooled,
}

impl PooledLength {
    pub(super) fn measured_by(&self) -> usize {
        self.pooled.agree.len() + self.pooled.units_apart()
    }

    /// Says how many units agree, and on what: "3 of 4 units agree (od 14.90 ±0.07 mm)".
    fn agreement(&self) -> String {
        let pooled = &self.pooled;
        format!(
            "{} of {} units agree ({} {:.2} ±{})",
            pooled.agree.len(),
            self.measured_by(),
            self.word,
            pooled.value,
            mm(pooled.uncertainty)
        )
    }
}

/// Finds what all units together say of a part that is no ring; where it sits and what is done with it is still to be told.
pub(super) fn plain_findings(part: &Gathered<'_>, units: &ModelUnits<'_>) -> PartLine {
    let mut conflicts = Vec::new();
    let size = size(part, units, &mut conflicts);
    let material = material(part, units, &mut conflicts);
    let apart: Vec<&String> = conflicts
        .iter()
        .filter(|c| c.about == ConflictAbout::Length)
        .flat_map(|c| &c.units)
        .collect();
    let measured = part.members.iter().filter(|m| {
        let entry = &m.entry;
        !entry.dimensions.is_empty() || !entry.readings.is_empty()
    });
    let agree = measured.map(|m| &units.units[m.unit].serial);
    let agree = agree.filter(|serial| !apart.contains(serial));
    PartLine {
        size,
        material,
        units_agree: agree.cloned().collect(),
        conflicts,
        ..PartLine::default()
    }
}

fn size(part: &Gathered<'_>, units: &ModelUnits<'_>, conflicts: &mut Vec<Conflict>) -> PartSize {
    let lengths = pooled_lengths(part);
    if lengths.is_empty() {
        return stated_size(part);
    }
    conflicts.extend(length_conflicts(&lengths, units));
    let words: Vec<String> = lengths
        .iter()
        .map(|length| format!("{} {}", length.word, mm(length.pooled.value)))
        .collect();
    let decided = lengths.iter().all(|length| length.pooled.is_decided());
    PartSize {
        basis: SizeBasis::Lengths,
        decided,
        measured: words.join(", "),
        lengths: lengths
            .iter()
            .filter_map(|length| PartLength::pooled(length.word, length.pooled.value))
            .collect(),
        how_sure: how_sure(&lengths, decided),
        ..PartSize::unknown("")
    }
}

/// Combines each length of a part over the units that give it.
pub(super) fn pooled_lengths(part: &Gathered<'_>) -> Vec<PooledLength> {
    let of_units = |word, value: &dyn Fn(&Entry) -> Option<(f64, f64)>| {
        let values = part.members.iter().filter_map(|member| {
            let (value, read) = value(member.entry)?;
            Some(UnitValue {
                unit: member.unit,
                value,
                uncertainty: read.hypot(MADE_SHARE * value),
            })
        });
        let pooled = pool(&values.collect::<Vec<_>>())?;
        Some(PooledLength { word, pooled })
    };
    let named = LengthName::ALL.iter().map(|(name, word)| {
        let read = |entry: &Entry| {
            let dimension = entry.dimension(*name)?;
            Some((dimension.mean_mm(), read_uncertainty(dimension)))
        };
        of_units(*word, &read)
    });
    // The lengths of a back-up ring are readings.
    let lengths = Measurand::ALL.iter();
    let lengths = lengths.filter(|(measurand, _)| *measurand != Measurand::Mass);
    let read = lengths.map(|(measurand, word)| {
        let mean = |entry: &Entry| {
            let reading: &Reading = entry.readings_of(*measurand).next()?;
            Some((reading.mean(), read_by(&reading.method)))
        };
        of_units(*word, &mean)
    });
    named.chain(read).flatten().collect()
}

/// Says how many units agree on every length; where they differ from length to length, on each.
fn how_sure(lengths: &[PooledLength], decided: bool) -> String {
    let counts = |length: &PooledLength| (length.pooled.agree.len(), length.measured_by());
    let first = counts(&lengths[0]);
    let words = if lengths.iter().all(|length| counts(length) == first) {
        match first {
            (1, 1) => "1 unit measured".to_owned(),
            (agree, all) => format!("{agree} of {all} units agree"),
        }
    } else {
        let each = lengths.iter().map(|length| {
            let (agree, all) = counts(length);
            format!("{} {agree} of {all}", length.word)
        });
        format!("units agree: {}", each.collect::<Vec<_>>().join(", "))
    };
    if decided {
        words
    } else {
        format!("NOT DECIDED, the units contradict each other: {words}")
    }
}

fn read_uncertainty(dimension: &PartDimension) -> f64 {
    match dimension.values.as_slice() {
        [one] if one.has_tolerance() => {
            (one.greatest().mm() - one.least().mm()) / 2.0 / libm::sqrt(3.0)
        }
        _ => read_by(&dimension.method),
    }
}

fn read_by(method: &str) -> f64 {
    if method.eq_ignore_ascii_case("rule") {
        READ_BY_RULE_MM
    } else {
        READ_MM
    }
}

/// Units that stand apart with every length in which they do.
struct ApartIn<'l> {
    units: Vec<usize>,
    lengths: Vec<(&'l PooledLength, &'l Apart)>,
}

/// Names each group of units that stands apart once, with all lengths in which it does.
fn length_conflicts(lengths: &[PooledLength], units: &ModelUnits<'_>) -> Vec<Conflict> {
    let mut groups: Vec<ApartIn<'_>> = Vec::new();
    for length in lengths {
        for apart in &length.pooled.apart {
            let known = groups.iter_mut().find(|group| group.units == apart.units);
            match known {
                Some(group) => group.lengths.push((length, apart)),
                None => groups.push(ApartIn {
                    units: apart.units.clone(),
                    lengths: vec![(length, apart)],
                }),
            }
        }
    }
    groups.iter().map(|group| group.conflict(units)).collect()
}

impl ApartIn<'_> {
    fn conflict(&self, units: &ModelUnits<'_>) -> Conflict {
        let agree: Vec<String> = self.lengths.iter().map(|(l, _)| l.agreement()).collect();
        let several = self.units.len() > 1;
        let apart = self.lengths.iter().map(|(length, apart)| {
            format!(
                "by {} ({} {}, {:.0} combined standard uncertainties)",
                mm(apart.difference.abs()),
                length.word,
                mm(apart.value),
                apart.sigmas
            )
        });
        let words = format!(
            "{}; {} {} {}{}",
            agree.join(", "),
            units.named(&self.units),
            if several { "differ" } else { "differs" },
            apart.collect::<Vec<_>>().join(" and "),
            self.question(units)
        );
        units.conflict(ConflictAbout::Length, &self.units, words)
    }

    /// Asks what the difference means. Units that agree with each other, or whose notes name a variant that none of the
    /// agreeing ones has, speak for a variant; one alone may as well be worn or misread.
    fn question(&self, units: &ModelUnits<'_>) -> String {
        let variant = |unit: usize| units.units[unit].header.variant.as_deref();
        let serial = |unit: usize| units.units[unit].serial.as_str();
        let of_agreeing = |word: &str| {
            let agreeing = self.lengths.iter().flat_map(|(l, _)| &l.pooled.agree);
            agreeing.copied().any(|unit| variant(unit) == Some(word))
        };
        let first = variant(self.units[0]);
        let all_alike = self.units.iter().all(|unit| variant(*unit) == first);
        match first {
            Some(word) if all_alike && !of_agreeing(word) => {
                format!(
                    ": another variant, recorded as {word:?}; for a list of its own write the model as \"MODEL ({word})\""
                )
            }
            _ if self.units.len() > 1 => {
                let agreeing = self.lengths.iter().flat_map(|(l, _)| &l.pooled.agree);
                let agreeing: Vec<&str> = agreeing.map(|unit| serial(*unit)).collect();
                let apart: Vec<&str> = self.units.iter().map(|unit| serial(*unit)).collect();
                let bound = serial_bound(&apart, &agreeing)
                    .map_or_else(String::new, |bound| format!(" {bound}"));
                format!(" and agree with each other: another variant{bound}?")
            }
            _ => ": another variant? Or worn, or misread: measure it again".to_owned(),
        }
    }
}

fn stated_size(part: &Gathered<'_>) -> PartSize {
    let mut members = part.members.iter();
    let stated = members.find_map(|m| m.entry.stated_size.as_ref());
    stated.map_or_else(
        || PartSize::unknown("not measured"),
        |stated| PartSize {
            basis: SizeBasis::Stated,
            decided: true,
            measured: stated.text.clone(),
            lengths: MeasuredName::of(&stated.text).named_lengths(),
            ..PartSize::unknown("stated, not measured")
        },
    )
}

fn material(
    part: &Gathered<'_>,
    units: &ModelUnits<'_>,
    conflicts: &mut Vec<Conflict>,
) -> PartMaterial {
    let recorded: Vec<(usize, String)> = part
        .members
        .iter()
        .filter_map(|m| Some((m.unit, material_words(m.entry)?)))
        .collect();
    let Some((_, first)) = recorded.first() else {
        return PartMaterial::default();
    };
    for (unit, words) in &recorded {
        if words.to_lowercase() != first.to_lowercase() {
            let named = units.named(&[*unit]);
            let words = format!("{named} records {words:?} against {first:?}");
            conflicts.push(units.conflict(ConflictAbout::Material, &[*unit], words));
        }
    }
    PartMaterial {
        material: Some(first.clone()),
        reason: "as recorded".to_owned(),
        ..PartMaterial::default()
    }
}

/// Names material, polymer and hardness as they were recorded.
pub(super) fn material_words(entry: &Entry) -> Option<String> {
    let parts = [
        entry.material.clone(),
        entry.polymer.as_ref().map(|p| p.value.to_string()),
        entry.hardness.as_ref().map(|h| h.value.to_string()),
    ];
    let words: Vec<String> = parts.into_iter().flatten().collect();
    (!words.is_empty()).then(|| words.join(", "))
}

#[cfg(test)]
mod tests {
    use super::super::gather::gather;
    use super::super::unit_record::UnitRecord;
    use super::*;
    use crate::core::gas::OxygenThreshold;

    /// Makes a unit whose only part is a filter with these fields.
    fn unit(serial: &str, variant: Option<&str>, fields: &str) -> UnitRecord {
        let mut unit = UnitRecord::noted(serial, &format!("filter disc ; replace ; {fields}"));
        unit.header.variant = variant.map(str::to_owned);
        unit
    }

    fn found(units: &[UnitRecord]) -> PartLine {
        let view = ModelUnits {
            units,
            threshold: &OxygenThreshold::default(),
            gas: None,
        };
        plain_findings(&gather(units)[0], &view)
    }

    #[test]
    fn three_of_four_units_agree_and_the_fourth_is_named() {
        let found = found(&[
            unit("FT2-004417", None, "od 14.0 ; thick 2.8"),
            unit("FT2-004623", None, "od 14.9 ; thick 2.8"),
            unit("FT2-005102", None, "od 14.8 ; thick 2.9"),
            unit("FT2-005120", None, "od 15.0 ; thick 2.7"),
        ]);
        assert_eq!(
            found.units_agree,
            ["FT2-004623", "FT2-005102", "FT2-005120"]
        );
        assert_eq!(found.size.measured, "od 14.90 mm, thick 2.80 mm");
        assert_eq!(found.size.how_sure, "units agree: od 3 of 4, thick 4 of 4");
        assert!(found.size.decided);
        assert_eq!(found.conflicts.len(), 1);
        assert_eq!(found.conflicts[0].units, ["FT2-004417"]);
        // By hand: u = √(0.1² + (0.5 % of the length)²) is 0.1248 at 14.9 mm; over √3 units 0.072; apart by 0.90 mm, and
        // √(0.1221² + 0.072²) = 0.142, which is 6.3 of them.
        assert_eq!(
            found.conflicts[0].words,
            "3 of 4 units agree (od 14.90 ±0.07 mm); unit FT2-004417 differs by 0.90 mm (od 14.00 mm, 6 combined standard \
             uncertainties): another variant? Or worn, or misread: measure it again"
        );
    }

    #[test]
    fn a_unit_that_differs_in_two_lengths_is_named_once() {
        let found = found(&[
            unit("A", None, "od 14.9 ; thick 2.8"),
            unit("B", None, "od 14.9 ; thick 2.8"),
            unit("C", None, "od 14.0 ; thick 3.9"),
        ]);
        assert_eq!(found.conflicts.len(), 1);
        let words = &found.conflicts[0].words;
        assert!(words.contains("by 0.90 mm (od 14.00 mm"), "{words}");
        assert!(words.contains("and by 1.10 mm (thick 3.90 mm"), "{words}");
        assert_eq!(found.size.how_sure, "2 of 3 units agree");
    }

    #[test]
    fn units_that_agree_with_each_other_or_name_their_variant_speak_for_one() {
        let pair = |variant: Option<&str>| {
            let units = [
                unit("A", None, "od 14.9"),
                unit("B", None, "od 14.8"),
                unit("C", None, "od 15.0"),
                unit("D", variant, "od 14.0"),
                unit("E", variant, "od 14.1"),
            ];
            found(&units).conflicts[0].words.clone()
        };
        assert!(pair(None).contains("units D and E differ by 0.85 mm"));
        assert!(
            pair(None).ends_with("and agree with each other: another variant?"),
            "serials without numbers"
        );
        assert!(
            pair(Some("late"))
                .contains(": another variant, recorded as \"late\"; for a list of its own")
        );
    }

    #[test]
    fn two_and_two_units_decide_nothing() {
        let found = found(&[
            unit("A", None, "od 14.9"),
            unit("B", None, "od 14.0"),
            unit("C", None, "od 14.9"),
            unit("D", None, "od 14.0"),
        ]);
        assert!(!found.size.decided);
        assert_eq!(
            found.size.how_sure,
            "NOT DECIDED, the units contradict each other: 2 of 4 units agree"
        );
    }

    #[test]
    fn a_surer_reading_weighs_more() {
        // By hand: u by the rule √(0.3² + 0.0745²) = 0.3091, by a stated ±0.02 mm √(0.01155² + 0.0725²) = 0.0734; weights
        // 10.47 and 185.5, mean (10.47·14.9 + 185.5·14.5)/195.9 = 14.521.
        let found = found(&[
            unit("A", None, "od 14.9 by rule"),
            unit("B", None, "od 14.50±0.02"),
        ]);
        assert!(found.conflicts.is_empty(), "{:?}", found.conflicts);
        assert_eq!(found.size.measured, "od 14.52 mm");
    }
}
