//! Learns a person and an instrument from rings of known size.

use crate::core::exchange::KnownRingItem;
use crate::core::measurement::{
    Belief, InstrumentError, Instruments, KnownError, KnownReading, KnownRing, Learned, Reading,
    Rubber, SquashError, learn,
};
use crate::core::quantity::{Hardness, Length, LengthUnit};
use crate::core::sizes::{RingSize, RingTextError, SizeTable, read_one_ring};
use crate::store::{Book, BookPlace, StoreError};
use serde::Serialize;

/// The readings of one ring of known size.
#[derive(Debug, Clone)]
pub struct KnownQuestion {
    /// The ring: a code, or dimensions with their tolerance.
    pub ring: String,
    /// The unit of bare lengths.
    pub declared: Option<LengthUnit>,
    pub readings: Vec<Reading>,
    /// Who measured; empty where nobody is named.
    pub person: String,
    /// How hard the ring is, where that is known.
    pub hardness: Option<Hardness>,
    /// The moment, ISO 8601.
    pub added_at: String,
}

/// Says why a known ring teaches nothing.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum KnownRingError {
    /// The ring cannot be read, or can mean more than one.
    #[error(transparent)]
    Ring(#[from] RingTextError),
    /// Nothing was read.
    #[error(
        "a known ring teaches nothing without a reading: add one, as --od \"12.78 12.80 mm by caliper\""
    )]
    NoReading,
    #[error(transparent)]
    Reading(#[from] KnownError),
    #[error(transparent)]
    Instrument(#[from] InstrumentError),
    /// The hardness is unknown to the law of squash.
    #[error(transparent)]
    Squash(#[from] SquashError),
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// What is known of a person's instruments after a ring was added or taken back, or as it stands.
#[derive(Debug, Clone, Serialize)]
pub struct LearnedReport {
    pub done: LearnedDone,
    /// The ring that was added or taken back.
    pub ring: Option<String>,
    /// Who measured; `None` where nobody is named.
    pub person: Option<String>,
    /// How many known rings are kept of this person.
    pub rings: usize,
    /// One line a reading and instrument. Millimetres.
    pub instruments: Vec<LearnedLine>,
}

/// Says what was done with the book.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum LearnedDone {
    Added,
    /// The ring added last was taken out.
    Forgotten,
    Shown,
}

/// One instrument: as the table has it, before this ring, and now. Millimetres.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LearnedLine {
    pub reading: &'static str,
    pub method: String,
    /// How many known rings it rests on.
    pub rings: usize,
    pub table: BiasAndSpread,
    /// Before the ring that was added or taken back.
    pub before: BiasAndSpread,
    /// As it is used from now on.
    pub now: BiasAndSpread,
}

/// How an instrument reads. Millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BiasAndSpread {
    /// How much it reads too large.
    pub bias_mm: f64,
    /// Standard deviation from ring to ring, the doubt about the bias counted in.
    pub sd_between_mm: f64,
    /// Standard deviation of one repetition.
    pub sd_repeat_mm: f64,
}

/// Keeps the readings of a known ring in the book and tells what is known of the instruments now.
///
/// # Errors
/// The ring or a reading cannot be used, a reading lies so far out that it must be of another ring, or the book cannot be
/// written. Nothing is kept then.
pub fn add_known_ring(
    place: &BookPlace,
    instruments: &Instruments,
    question: &KnownQuestion,
) -> Result<LearnedReport, KnownRingError> {
    let (code, ring) = known_ring(question)?;
    if question.readings.is_empty() {
        return Err(KnownRingError::NoReading);
    }
    let readings = question
        .readings
        .iter()
        .map(|reading| compare(&ring, reading, instruments, question.hardness))
        .collect::<Result<Vec<_>, _>>()?;
    let new = KnownRingItem {
        person: question.person.clone(),
        ring: code,
        added_at: question.added_at.clone(),
        readings,
    };
    let mut book = Book::open_to_write(place)?;
    book.write(|book| {
        let mut kept = flat(&book.known_rings(&question.person)?);
        let before = learn(instruments, &kept);
        for reading in &new.readings {
            let row = instruments.find(&reading.method, reading.measurand)?;
            let own: Vec<&KnownReading> = kept
                .iter()
                .filter(|k| k.method == reading.method && k.measurand == reading.measurand)
                .collect();
            reading.plausible(&Belief::of(row).after(&own))?;
        }
        book.add_known_ring(&new)?;
        kept.extend(new.readings);
        Ok(LearnedReport {
            done: LearnedDone::Added,
            ring: Some(new.ring),
            person: named(&question.person),
            rings: book.known_rings(&question.person)?.len(),
            instruments: lines(&before, &learn(instruments, &kept)),
        })
    })
}

/// Tells what is known of a person's instruments.
///
/// # Errors
/// Fails where there is no book or it cannot be read.
pub fn show_learned(
    place: &BookPlace,
    instruments: &Instruments,
    person: &str,
) -> Result<LearnedReport, StoreError> {
    let mut book = Book::open_to_read(place)?;
    let rings = book.read(|book| book.known_rings(person))?;
    let learned = learn(instruments, &flat(&rings));
    Ok(LearnedReport {
        done: LearnedDone::Shown,
        ring: None,
        person: named(person),
        rings: rings.len(),
        instruments: lines(&learned, &learned),
    })
}

/// Takes the ring that a person added last out of the book again; `ring` is `None` where there was none.
pub fn forget_last_known_ring(
    place: &BookPlace,
    instruments: &Instruments,
    person: &str,
) -> Result<LearnedReport, StoreError> {
    let mut book = Book::open_to_write(place)?;
    book.write(|book| {
        let mut rings = book.known_rings(person)?;
        let before = learn(instruments, &flat(&rings));
        let last = rings.pop();
        book.forget_last_known_ring(person)?;
        Ok(LearnedReport {
            done: LearnedDone::Forgotten,
            ring: last.map(|ring| ring.ring),
            person: named(person),
            rings: rings.len(),
            instruments: lines(&before, &learn(instruments, &flat(&rings))),
        })
    })
}

fn named(person: &str) -> Option<String> {
    (!person.is_empty()).then(|| person.to_owned())
}

fn flat(rings: &[KnownRingItem]) -> Vec<KnownReading> {
    let readings = rings.iter().flat_map(|ring| &ring.readings);
    readings.cloned().collect()
}

/// Reads the ring; a listed size brings its own tolerance.
fn known_ring(question: &KnownQuestion) -> Result<(String, KnownRing), KnownRingError> {
    let ring = read_one_ring(&question.ring, question.declared)?.size;
    let table = SizeTable::shipped();
    let typed = || question.ring.trim().to_owned();
    let code = ring.listed(table).map_or_else(typed, RingSize::code);
    let (id, section) = ring.dimensions(table);
    Ok((code, KnownRing::new(id, section)))
}

/// Compares a reading with the ring; what the stated hardness does to the instrument is no fault of it and is taken off.
fn compare(
    ring: &KnownRing,
    reading: &Reading,
    instruments: &Instruments,
    hardness: Option<Hardness>,
) -> Result<KnownReading, KnownRingError> {
    let mut known = ring.compare(reading)?;
    let row = instruments.find(&reading.method, reading.measurand)?;
    if let Some(hardness) = hardness {
        let section = ring.section.nominal;
        let on_it = instruments.for_rubber(&Rubber {
            hardness,
            section: Some(section),
            mean_diameter: Some(ring.id.nominal + section).filter(|d| *d > Length::ZERO),
        })?;
        known.error -= on_it.find(&reading.method, reading.measurand)?.bias - row.bias;
    }
    Ok(known)
}

/// Puts each instrument's state now beside the one before; an instrument without a ring now stands as the table has it.
fn lines(before: &[Learned], now: &[Learned]) -> Vec<LearnedLine> {
    let of = |list: &[Learned], wanted: &Learned| {
        let same = |l: &&Learned| {
            l.before.method == wanted.before.method && l.before.measurand == wanted.before.measurand
        };
        list.iter().find(same).cloned()
    };
    let gone = before.iter().filter(|b| of(now, b).is_none());
    now.iter()
        .chain(gone)
        .map(|one| {
            let table = figures(&one.before);
            LearnedLine {
                reading: one.before.measurand.word(),
                method: one.before.method.to_owned(),
                rings: of(now, one).map_or(0, |l| l.rings),
                table,
                before: of(before, one).map_or(table, |l| figures(&l.after)),
                now: of(now, one).map_or(table, |l| figures(&l.after)),
            }
        })
        .collect()
}

fn figures(row: &crate::core::measurement::Instrument) -> BiasAndSpread {
    BiasAndSpread {
        bias_mm: row.bias,
        sd_between_mm: row.sd_between,
        sd_repeat_mm: row.sd_repeat,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::measurement::Measurand;

    fn question(ring: &str, od: &str) -> KnownQuestion {
        KnownQuestion {
            ring: ring.to_owned(),
            declared: None,
            readings: vec![Reading::parse(Measurand::Od, od, None).expect("reads")],
            person: "Ada".to_owned(),
            hardness: None,
            added_at: "2026-03-14T10:00:00Z".to_owned(),
        }
    }

    #[test]
    fn a_known_ring_is_learned_shown_and_taken_back() {
        let folder = tempfile::tempdir().expect("a folder");
        let place = BookPlace::named(folder.path().join("shop.book"));
        let table = Instruments::shipped();
        let ask = question("AS568-012", "12.65 12.67 mm by caliper");
        let added = add_known_ring(&place, table, &ask).expect("kept");
        assert_eq!((added.rings, added.instruments.len()), (1, 1));
        let line = &added.instruments[0];
        assert_eq!(line.before, line.table);
        assert!(line.now.bias_mm < line.table.bias_mm && line.rings == 1);
        let shown = show_learned(&place, table, "Ada").expect("read");
        assert_eq!(shown.instruments[0].now, line.now);
        assert_eq!(show_learned(&place, table, "").expect("read").rings, 0);
        let back = forget_last_known_ring(&place, table, "Ada").expect("written");
        assert_eq!((back.ring.as_deref(), back.rings), (Some("AS568-012"), 0));
        assert_eq!(back.instruments[0].now, line.table);
    }

    #[test]
    fn a_reading_of_another_ring_is_not_kept() {
        let folder = tempfile::tempdir().expect("a folder");
        let place = BookPlace::named(folder.path().join("shop.book"));
        let table = Instruments::shipped();
        let wrong = add_known_ring(&place, table, &question("AS568-013", "12.70 mm by caliper"));
        assert!(matches!(wrong, Err(KnownRingError::Reading(_))));
        assert_eq!(show_learned(&place, table, "Ada").expect("read").rings, 0);
    }

    #[test]
    fn hard_rubber_does_not_count_as_a_better_hand() {
        let folder = tempfile::tempdir().expect("a folder");
        let table = Instruments::shipped();
        let bias = |file: &str, hardness: Option<f64>| {
            let place = BookPlace::named(folder.path().join(file));
            let mut ask = question("AS568-012", "12.75 mm by caliper");
            ask.readings =
                vec![Reading::parse(Measurand::Cs, "1.75 mm by caliper", None).expect("reads")];
            ask.hardness = hardness.and_then(Hardness::shore_a);
            let added = add_known_ring(&place, table, &ask).expect("kept");
            added.instruments[0].now.bias_mm
        };
        // At 90 Shore A the table's hand would have read 0.025 mm small; 0.03 is then a little smaller than the table.
        assert!(bias("a.book", Some(90.0)) < bias("b.book", None));
    }
}
