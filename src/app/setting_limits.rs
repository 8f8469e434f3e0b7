//! The limits of a setting: the shipped set with the user's own rows before it.

use super::bounded_file::read_text;
use crate::core::stage::{LimitFault, SettingLimit, SettingLimits, read_limits};
use serde::Serialize;
use std::path::{Path, PathBuf};

/// Says where the limits come from.
#[derive(Debug, Clone, Default)]
pub struct LimitSources {
    /// The table that the user named; it must exist.
    pub named: Option<PathBuf>,
    /// The table in the data folder, which need not exist.
    pub usual: Option<PathBuf>,
}

/// Says why limits cannot be used.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum LimitsError {
    /// The file cannot be read.
    #[error("{} cannot be read ({source}): check the name and the rights", .path.display())]
    Unreadable {
        /// The path.
        path: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
    /// A line of it is wrong.
    #[error("{}: {fault}", .path.display())]
    Faulty {
        /// The path.
        path: PathBuf,
        /// The line.
        fault: LimitFault,
    },
}

/// Gives the shipped limits with the user's own before them.
///
/// # Errors
/// A table that was named and cannot be read, or any table with a wrong line.
pub fn own_limits(sources: &LimitSources) -> Result<SettingLimits, LimitsError> {
    let usual = sources.usual.as_ref().filter(|path| path.is_file());
    let Some(path) = sources.named.as_ref().or(usual) else {
        return Ok(SettingLimits::shipped());
    };
    let own = read(path)?;
    Ok(own.before(SettingLimits::shipped()))
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

/// Holds the limits as they rule, for a page.
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
