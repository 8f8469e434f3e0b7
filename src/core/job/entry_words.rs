//! An entry in words, one line: the record as a person reads it.

use super::entry::{Closing, JobEntry, JobReading, LeakTest, Opening, TestResult};

impl JobEntry {
    /// Returns the entry in words, one line.
    pub fn words(&self) -> String {
        match self {
            Self::Open(opening) => opening_words(opening),
            Self::Reading(reading) => reading.words(),
            Self::Part(fitted) => {
                let differs = fitted.unlike.as_ref().map_or("", |_| "; NOT AS LISTED");
                let count = match fitted.count {
                    1 => String::new(),
                    more => format!("{more} × "),
                };
                let clean = if fitted.oxygen_clean {
                    ", oxygen-clean"
                } else {
                    ""
                };
                let why = in_brackets(fitted.deviation.as_deref());
                format!(
                    "{}: {count}{}, lot {}{clean}{differs}{why}",
                    fitted.part, fitted.spec, fitted.lot
                )
            }
            Self::Kept(kept) => format!("{}: {}", kept.part, kept.why),
            Self::Clean(cleaning) => {
                let state = if cleaning.for_oxygen {
                    "for enriched gas"
                } else {
                    "for air"
                };
                format!("{state}: {}", cleaning.how)
            }
            Self::Lubricant(used) => {
                let why = in_brackets(used.deviation.as_deref());
                format!("{}, lot {}{why}", used.name, used.lot)
            }
            Self::Rating(rated) => rated.rating.text.clone(),
            Self::Shims(stack) => format!("{}, {} mm in all", stack.words, stack.total_mm),
            Self::Screw(screw) => screw.words.clone(),
            Self::LeakTest(test) => leak_words(test),
            Self::Tested(test) => {
                let failed = if test.failed { "FAILED: " } else { "" };
                let what = if test.cracking_effort {
                    "cracking effort: "
                } else {
                    ""
                };
                format!("{failed}{what}{}", test.words)
            }
            Self::Torque(said) | Self::NotTested(said) | Self::Remark(said) => said.words.clone(),
            Self::Close(closing) => closing_words(closing),
            Self::Correction(correction) => {
                let right = correction.right.as_ref();
                let right = right.map_or_else(String::new, |right| format!(": {}", right.words()));
                format!("of entry {}: {}{right}", correction.of, correction.words)
            }
        }
    }
}

fn in_brackets(why: Option<&str>) -> String {
    why.map_or_else(String::new, |why| format!(" ({why})"))
}

fn opening_words(opening: &Opening) -> String {
    let share = opening
        .oxygen_pct
        .map_or_else(|| "not stated".to_owned(), |share| format!("{share} %"));
    let gear = opening.gear.as_ref();
    let gear = gear.map_or_else(String::new, |gear| format!("{}; ", gear.word()));
    let supply = opening.supply.as_ref();
    let supply = supply.map_or_else(String::new, |supply| format!(", supply {}", supply.text));
    format!(
        "{gear}{}; gas {}, oxygen {share}{supply}; enriched above {} % ({})",
        opening.purpose, opening.gas, opening.threshold_pct, opening.threshold_name
    )
}

fn leak_words(test: &LeakTest) -> String {
    match test.result {
        Some(TestResult::Passed) => format!("tight: {}", test.words),
        Some(TestResult::Failed) => format!("LEAKS: {}", test.words),
        None => format!("decided against: {}", test.words),
    }
}

impl JobReading {
    /// Returns the readings in words, one line, with what was said of them on that day.
    pub fn words(&self) -> String {
        let state = self.state.word();
        if let Some(why) = &self.not_tested {
            return format!("{state}: not tested: {why}");
        }
        let read: Vec<&str> = self.readings.iter().map(|r| r.text.as_str()).collect();
        let verdict = match (self.stops.first(), self.verdict) {
            (Some(_), _) => "STOP",
            (None, Some(verdict)) => verdict.word(),
            (None, None) => "not judged",
        };
        format!("{state}: {} ({verdict}); {}", read.join(", "), self.gauge)
    }
}

fn closing_words(closing: &Closing) -> String {
    let second = closing.checked_by.as_deref().unwrap_or("nobody");
    let due = closing
        .due
        .map_or_else(|| "no date".to_owned(), |day| day.to_string());
    if closing.released {
        format!(
            "released; checked by {second}; {}; due {due} ({})",
            closing.limits, closing.due_rule
        )
    } else {
        format!(
            "NOT released; checked by {second}; missing: {}",
            closing.lacking.join("; ")
        )
    }
}
