//! The register of gauges: adding one, listing them, finding the one that was read.

use crate::core::quantity::Date;
use crate::core::stage::{Gauge, GaugeStanding};
use crate::store::{Book, BookPlace, StoreError};
use serde::Serialize;

/// Holds the register.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GaugeReport {
    /// Gauges by name, with how far each is known.
    pub gauges: Vec<GaugeStanding>,
}

/// Enters a gauge, in place of what was known of it, and lists the register.
///
/// # Errors
/// Fails where the book cannot be written.
pub fn add_gauge(
    place: &BookPlace,
    gauge: &Gauge,
    today: Date,
    months: u16,
) -> Result<GaugeReport, StoreError> {
    Book::open_to_write(place)?.write(|book| book.set_gauge(gauge))?;
    list_gauges(place, today, months)
}

/// Lists the register.
///
/// # Errors
/// Fails where the book cannot be read.
pub fn list_gauges(place: &BookPlace, today: Date, months: u16) -> Result<GaugeReport, StoreError> {
    Book::open_to_read(place)?.read(|book| {
        let gauges = book.gauges()?.into_iter();
        let gauges = gauges.map(|gauge| GaugeStanding::judge(None, Some(gauge), today, months));
        Ok(GaugeReport {
            gauges: gauges.collect(),
        })
    })
}

/// Finds how far a gauge is known; a book that does not exist knows none.
///
/// # Errors
/// Fails where there is a book and it cannot be read.
pub fn gauge_standing(
    place: &BookPlace,
    named: Option<&str>,
    today: Date,
    months: u16,
) -> Result<GaugeStanding, StoreError> {
    let Some(name) = named else {
        return Ok(GaugeStanding::Unnamed);
    };
    let entry = match Book::open_to_read(place) {
        Ok(mut book) => book.read(|book| book.gauge(name))?,
        Err(StoreError::NoBook { .. }) => None,
        Err(other) => return Err(other),
    };
    Ok(GaugeStanding::judge(Some(name), entry, today, months))
}
