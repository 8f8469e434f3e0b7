//! Readings of a setting judged, with the cautions of the step.

use crate::core::stage::{SettingQuestion, SettingReport, Step, cautions, judge_setting};
use serde::Serialize;

/// Holds the judged setting with its cautions.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JudgedSetting {
    /// The judged readings.
    #[serde(flatten)]
    pub setting: SettingReport,
    /// Cautions of the step.
    pub cautions: Vec<&'static str>,
}

/// Judges readings.
pub fn judged(question: &SettingQuestion) -> JudgedSetting {
    JudgedSetting {
        setting: judge_setting(question),
        cautions: cautions(Step::Pressurise).to_vec(),
    }
}
