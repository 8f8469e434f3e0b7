//! Straight-thread boss ports: the ring and the cone that belong to a thread.

use super::check::{Check, NOMINAL, Verdict};
use super::ring::GlandRing;
use super::spec::{GlandDimension, GlandSpec};
use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::quantity::{Angle, Dimension, Length, Typed};
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// One thread of a port standard with its ring and the dimensions of the port, in millimetres.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PortThread {
    pub standard: String,
    /// Size of the port by its number, where the standard numbers them.
    pub port_size: Option<u32>,
    pub thread: String,
    /// Code of the ring, where it is listed under one.
    pub ring_code: Option<String>,
    /// Inside diameter of the ring, where it has no code.
    pub ring_id_mm: Option<f64>,
    /// Section of the ring, where it has no code.
    pub ring_cs_mm: Option<f64>,
    /// Diameter of the cone at the mouth.
    pub mouth_mm: f64,
    /// Depth of the cone.
    pub depth_mm: f64,
    /// Angle of the cone to the axis, in degrees.
    pub angle_deg: f64,
    /// Neck of the plug behind its thread, where the standard has one.
    pub neck_mm: Option<f64>,
    pub source: String,
    pub confidence: Confidence,
}

static ROWS: LazyLock<Vec<PortThread>> = LazyLock::new(|| shipped_rows!("glands/port_threads.csv"));

/// Tolerances of the ports, recalled: cone +0.1 mm, its depth +0.4 mm, neck −0.2 mm.
const MOUTH_PLUS_NM: i64 = 100_000;
const DEPTH_PLUS_NM: i64 = 400_000;
const NECK_MINUS_NM: i64 = 200_000;
/// Rings whose dimensions differ by no more are the same ring.
const SAME_MM: f64 = 0.03;

impl PortThread {
    /// Lists every thread.
    pub fn all() -> &'static [Self] {
        &ROWS
    }

    /// Finds the port of a thread: `7/16-20`, `7/16-20 UNF`, `1 1/16-12`, `M14x1.5`.
    pub fn from_word(word: &str) -> Option<&'static Self> {
        let wanted = plain(word);
        ROWS.iter().find(|row| plain(&row.thread) == wanted)
    }

    /// Returns the words by which the ring of the thread is asked for.
    pub fn ring_words(&self) -> String {
        match (&self.ring_code, self.ring_id_mm, self.ring_cs_mm) {
            (Some(code), _, _) => code.clone(),
            (None, Some(id), Some(section)) => format!("{id} x {section} mm"),
            _ => String::new(),
        }
    }

    /// Gives a gland the dimensions of the port that were not measured.
    pub fn complete(&self, spec: &mut GlandSpec) {
        let length = |mm: f64| Length::from_mm(mm).unwrap_or(Length::ZERO);
        let one_way = |mm: f64, plus: i64, minus: i64| Dimension {
            nominal: length(mm),
            plus: Length::from_nm(plus),
            minus: Length::from_nm(minus),
        };
        let mut add = |which: GlandDimension, value: Dimension| {
            if spec.dimension(which).is_none() {
                let text = format!("by the thread {}", self.thread);
                spec.dimensions.push((which, Typed::new(value, &text)));
            }
        };
        if let Some(neck) = self.neck_mm {
            add(GlandDimension::Neck, one_way(neck, 0, NECK_MINUS_NM));
        }
        add(
            GlandDimension::Mouth,
            one_way(self.mouth_mm, MOUTH_PLUS_NM, 0),
        );
        add(
            GlandDimension::Depth,
            one_way(self.depth_mm, DEPTH_PLUS_NM, 0),
        );
        if spec.angle.is_none() {
            let text = format!("by the thread {}", self.thread);
            let angle = Angle::from_degrees(self.angle_deg);
            spec.angle = angle.map(|angle| Typed::new(angle, &text));
        }
    }

    /// Tells whether a ring is the one that belongs to the thread.
    pub fn takes(&self, ring: &GlandRing) -> bool {
        if let Some(code) = &self.ring_code {
            return ring.codes.contains(code);
        }
        let near = |a: Option<f64>, b: Length| a.is_some_and(|a| (a - b.mm()).abs() <= SAME_MM);
        near(self.ring_id_mm, ring.id.nominal) && near(self.ring_cs_mm, ring.section.nominal)
    }

    /// Checks that a ring is the one that belongs to the thread.
    pub(super) fn check(&self, ring: &GlandRing) -> Check {
        Check {
            name: "ring of the thread".to_owned(),
            what: "ring of the thread",
            held_at: NOMINAL,
            verdict: if self.takes(ring) {
                Verdict::Good
            } else {
                Verdict::Marginal
            },
            rule: format!(
                "{} takes {} ({})",
                self.thread,
                self.ring_words(),
                self.standard
            ),
            source: self.source.clone(),
            confidence: self.confidence,
            ..Check::default()
        }
    }
}

/// Writes a thread without case, spaces and the name of its series.
fn plain(thread: &str) -> String {
    let lower = thread.trim().to_lowercase();
    let bare = ["unef", "unf", "un"]
        .iter()
        .find_map(|series| lower.strip_suffix(series))
        .unwrap_or(&lower);
    let bare = bare.trim().replace('×', "x");
    let words: Vec<&str> = bare.split_whitespace().collect();
    // "1 1/16-12" is one and a sixteenth; "M14 x 1.5" only has room in it.
    if bare.starts_with('m') {
        words.concat()
    } else {
        words.join("-")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn threads_are_found_as_they_are_written() {
        for (word, size) in [
            ("7/16-20", 4),
            ("7/16-20 UNF", 4),
            ("1 1/16-12", 12),
            ("1-1/16-12 un", 12),
        ] {
            assert_eq!(
                PortThread::from_word(word).and_then(|p| p.port_size),
                Some(size),
                "{word}"
            );
        }
        let metric = PortThread::from_word("m14 x 1.5").expect("listed");
        assert_eq!(metric.ring_words(), "11.3 x 2.2 mm");
        assert!(PortThread::from_word("7/16-28").is_none());
    }

    #[test]
    fn the_number_of_an_inch_port_is_the_number_of_its_ring() {
        // AS568-900 + n is the boss ring of tube size n (SAE J1926); the number is the tube in sixteenths of an inch.
        let mut inch = 0;
        for port in PortThread::all() {
            if let (Some(size), Some(code)) = (port.port_size, &port.ring_code) {
                assert_eq!(*code, format!("AS568-{}", 900 + size));
                inch += 1;
            } else {
                assert!(port.ring_id_mm.is_some() && port.ring_cs_mm.is_some());
            }
        }
        assert_eq!((inch, PortThread::all().len()), (12, 24));
    }
}
