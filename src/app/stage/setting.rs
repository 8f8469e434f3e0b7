//! Settings: readings judged, the register of gauges, the limits that rule.

use crate::app::file::{own_table, read_text};
use crate::app::job::settings::FromEntry;
use crate::core::caution::Caution;
use crate::core::quantity::Date;
use crate::core::stage::{
    Gauge, GaugeStanding, LimitFault, SettingLimit, SettingLimits, SettingQuestion, SettingReport,
    Step, cautions, judge_setting, read_limits,
};
use crate::store::{Book, BookPlace, StoreError};
use serde::Serialize;
use std::path::{Path, PathBuf};

/// The judged setting with its cautions.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JudgedSetting {
    /// The entry of a record that the readings stand in.
    pub from_record: Option<FromEntry>,
    /// The judged readings.
    #[serde(flatten)]
    pub setting: SettingReport,
    /// Cautions of the step.
    pub cautions: Vec<Caution>,
}

/// Judges readings; `from_record`: the entry that they stand in.
pub fn judged(question: &SettingQuestion, from_record: Option<FromEntry>) -> JudgedSetting {
    JudgedSetting {
        from_record,
        setting: judge_setting(question),
        cautions: cautions(Step::Pressurise).to_vec(),
    }
}

/// The gauges of the shop, as they are listed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GaugeReport {
    /// Gauges by name, with how far each is known.
    pub gauges: Vec<GaugeStanding>,
}

/// Enters a gauge, in place of what was known of it, and lists the register.
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
pub fn gauge_standing(
    place: &BookPlace,
    named: Option<&str>,
    today: Date,
    months: u16,
) -> Result<GaugeStanding, StoreError> {
    let Some(name) = named else {
        return Ok(GaugeStanding::Unnamed);
    };
    let entry = Book::read_at(place, |book| book.gauge(name))?;
    Ok(GaugeStanding::judge(
        Some(name),
        entry.flatten(),
        today,
        months,
    ))
}

/// Says why limits cannot be used.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum LimitsError {
    /// The file cannot be read.
    #[error("{} cannot be read ({source}): check the name and the rights", .path.display())]
    Unreadable {
        path: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
    /// A line of it is wrong.
    #[error("{}: {fault}", .path.display())]
    Faulty {
        path: PathBuf,
        /// The line.
        fault: LimitFault,
    },
}

/// Gives the shipped limits with the user's own before them: those of the table that was named, which must exist, else of that in
/// the data folder, which need not.
///
/// # Errors
/// A table that was named and cannot be read, or any table with a wrong line.
pub fn own_limits(
    named: Option<PathBuf>,
    usual: Option<PathBuf>,
) -> Result<SettingLimits, LimitsError> {
    let Some(path) = own_table(named, usual) else {
        return Ok(SettingLimits::shipped());
    };
    Ok(read(&path)?.before(SettingLimits::shipped()))
}

fn read(path: &Path) -> Result<SettingLimits, LimitsError> {
    let text = read_text(path).map_err(|source| LimitsError::Unreadable {
        path: path.to_owned(),
        source,
    })?;
    read_limits(&text).map_err(|fault| LimitsError::Faulty {
        path: path.to_owned(),
        fault,
    })
}

/// The limits as they rule, for a page.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitsReport {
    /// Name of the set that stands first.
    pub set: String,
    /// Rows that rule.
    pub rows: Vec<SettingLimit>,
}

/// Shows the limits that rule: of each limit, kind of gear and design the first row.
pub fn show_limits(limits: &SettingLimits) -> LimitsReport {
    let mut rows: Vec<SettingLimit> = Vec::new();
    for row in limits.rows() {
        if !rows.iter().any(|known| known.rules_out(row)) {
            rows.push(row.clone());
        }
    }
    LimitsReport {
        set: limits.name.clone(),
        rows,
    }
}
