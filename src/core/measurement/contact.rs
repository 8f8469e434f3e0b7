//! Instruments on rubber of a stated hardness.

use super::instrument::{Instrument, Instruments};
use super::reading::Measurand;
use super::squash::{Pinch, SquashError};
use crate::core::data_table::shipped_rows;
use crate::core::quantity::{Hardness, Length};
use serde::Deserialize;
use std::sync::LazyLock;

/// What is known of the rubber that is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rubber {
    /// Its hardness, as measured or as sold; that of an old ring is not that of a new one.
    pub hardness: Hardness,
    /// Its section, as read.
    pub section: Option<Length>,
    /// Mean diameter of the ring, as read.
    pub mean_diameter: Option<Length>,
}

/// The Shore A hardness that the biases of the instrument table are worked for.
pub const TABLE_SHORE_A: f64 = 70.0;
/// The section in millimetres that they are worked for.
pub const TABLE_SECTION_MM: f64 = 1.78;
/// The mean diameter in millimetres that they are worked for.
const TABLE_MEAN_DIAMETER_MM: f64 = 20.0;

/// How an instrument touches a section.
#[derive(Debug, Clone, Deserialize)]
struct Contact {
    method: String,
    measurand: Measurand,
    /// Width of the jaw; none where the whole ring is touched.
    jaw_mm: Option<f64>,
}

static CONTACTS: LazyLock<Vec<Contact>> =
    LazyLock::new(|| shipped_rows!("measurement/contacts.csv"));

impl Rubber {
    /// Makes rubber of a hardness in a ring of the size that the table is worked for.
    pub const fn of(hardness: Hardness) -> Self {
        Self {
            hardness,
            section: None,
            mean_diameter: None,
        }
    }
}

impl Instruments {
    /// Returns the instruments as they read rubber of a stated hardness.
    ///
    /// The bias of a section or width read by a squeezing instrument is moved by the difference of squash. The force is the
    /// one with which the shipped table's bias is reached at 70 Shore A on a 1.78 mm section (a jaw), or on a ring of 20 mm
    /// mean diameter lying flat; with it the squash at the stated hardness, section and diameter follows. Diameters are
    /// left alone: a ring held across its diameter bends, and the hand stops by feel, not by force. Spreads are left alone
    /// too, which is cautious for hard rubber.
    ///
    /// # Errors
    /// The hardness is not Shore A from 20 to 95, or the rubber gives way by more than the law covers.
    pub fn for_rubber(&self, rubber: &Rubber) -> Result<Self, SquashError> {
        let shipped = Self::shipped();
        let mut rows: Vec<Instrument> = Vec::new();
        for contact in CONTACTS.iter() {
            let pair = (
                self.find(&contact.method, contact.measurand),
                shipped.find(&contact.method, contact.measurand),
            );
            let (Ok(own), Ok(table)) = pair else {
                continue;
            };
            let mut row = own.clone();
            row.bias += contact.bias_on(rubber, table.bias)? - table.bias;
            rows.push(row);
        }
        Ok(self.with_rows(rows))
    }
}

impl Contact {
    /// Returns the bias on the rubber where the table's is `bias`.
    fn bias_on(&self, rubber: &Rubber, bias: f64) -> Result<f64, SquashError> {
        let length = |mm: f64| Length::from_mm(mm).unwrap_or(Length::ZERO);
        let touched = |diameter: Length| match self.jaw_mm {
            Some(jaw) => length(jaw),
            None => length(std::f64::consts::PI * diameter.mm()),
        };
        let of_table = Pinch {
            section: length(TABLE_SECTION_MM),
            contact: touched(length(TABLE_MEAN_DIAMETER_MM)),
            hardness: Hardness::shore_a(TABLE_SHORE_A).unwrap_or(rubber.hardness),
        };
        let stated = Pinch {
            section: rubber.section.unwrap_or(of_table.section),
            contact: touched(
                rubber
                    .mean_diameter
                    .unwrap_or(length(TABLE_MEAN_DIAMETER_MM)),
            ),
            hardness: rubber.hardness,
        };
        let force = of_table.force(length(-bias))?;
        Ok(-stated.squash(force)?.mm())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rubber(shore: f64) -> Rubber {
        Rubber::of(Hardness::shore_a(shore).expect("a hardness"))
    }

    fn bias(instruments: &Instruments, method: &str) -> f64 {
        instruments
            .find(method, Measurand::Cs)
            .expect("listed")
            .bias
    }

    #[test]
    fn at_seventy_shore_a_the_table_stands() {
        let seventy = Instruments::shipped()
            .for_rubber(&rubber(70.0))
            .expect("in range");
        for (own, table) in seventy.rows().iter().zip(Instruments::shipped().rows()) {
            // A squash is kept to the nanometre.
            assert!((own.bias - table.bias).abs() < 2e-6, "{own:?}");
        }
    }

    #[test]
    fn hard_rubber_reads_less_small_and_soft_rubber_smaller() {
        let shipped = Instruments::shipped();
        let ninety = shipped.for_rubber(&rubber(90.0)).expect("in range");
        let fifty = shipped.for_rubber(&rubber(50.0)).expect("in range");
        for method in ["caliper", "micrometer", "flat", "gauge"] {
            let [soft, table, hard] = [&fifty, shipped, &ninety].map(|i| bias(i, method));
            assert!(soft < table && table < hard && hard < 0.0, "{method}");
        }
        // By Gent's law 90 Shore A is 20.84/5.521 = 3.775 times as stiff as 70; squash goes with the power -2/3 of it where
        // the law's last term is small: 0.413 of it. 1 % is allowed for that term.
        let share = bias(&ninety, "caliper") / bias(shipped, "caliper");
        assert!((share / (0.0248 / 0.06) - 1.0).abs() < 0.01, "{share}");
    }

    #[test]
    fn the_whole_ring_and_its_section_count() {
        let large = Rubber {
            section: Length::from_mm(3.53),
            mean_diameter: Length::from_mm(60.0),
            ..rubber(70.0)
        };
        let shipped = Instruments::shipped();
        let found = shipped.for_rubber(&large).expect("in range");
        // More ring under the same force: less squash. A jaw on a thicker section: more, as the cube root of the section.
        assert!(bias(&found, "flat") > bias(shipped, "flat"));
        let more = bias(&found, "caliper") / bias(shipped, "caliper");
        assert!((more - libm::cbrt(3.53 / 1.78)).abs() < 0.01, "{more}");
        let untouched = |i: &Instruments| i.find("scan", Measurand::Width).map(|r| r.bias);
        assert_eq!(untouched(&found), untouched(shipped));
    }

    #[test]
    fn every_contact_is_an_instrument_of_the_table() {
        for contact in CONTACTS.iter() {
            let found = Instruments::shipped().find(&contact.method, contact.measurand);
            assert!(found.is_ok_and(|row| row.bias < 0.0), "{contact:?}");
        }
    }
}
