//! Readings of a setting judged, with the cautions of the step.

use super::job::settings::FromEntry;
use crate::core::caution::Caution;
use crate::core::stage::{SettingQuestion, SettingReport, Step, cautions, judge_setting};
use serde::Serialize;

/// Holds the judged setting with its cautions.
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
