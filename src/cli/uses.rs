//! `uses`: where a part is used, what takes its place, and what was found out about that.

use super::clock::now;
use super::noun::{Line, Place};
use super::one_of::one_of;
use super::read_by::{not_empty, read_by};
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::model::line::listed_line;
use crate::app::model::uses::{UsesReport, call, say, uses};
use crate::core::confidence::Confidence;
use crate::core::interchange::{Grade, Nickname, Statement};
use crate::core::job::Words;
use clap::Args;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright uses AS568-012\n  ringwright uses \"Tarn 2\" 3\n  ringwright uses \"filter disc ; od 14.9 mm ; thick 2.8 mm\"\n  \
    ringwright uses AS568-012 --stand-in \"9.2x1.8 mm\" --grade failed --by \"A. Lind\" --evidence \"leaked at 200 bar, job 4\"\n  \
    ringwright uses AS568-012 --nickname \"drawer 7\" --by \"A. Lind\" --evidence \"label on the drawer\"\n\n\
    A ring is written as a code, an old number or dimensions; any other part as a line of a teardown note. A statement is \
    directed: what is said of one part in the place of another says nothing of the other way round, unless they are the same. \
    What was tried and failed is kept and comes before every proposal. A line of a parts list whose size is not decided is \
    counted by its likeliest size, and says so."
)]
pub(super) struct UsesArgs {
    /// The part
    #[arg(value_name = "SPEC|MODEL", allow_negative_numbers = true)]
    spec: String,
    /// A line of the parts list of a model, in place of the part
    #[arg(value_name = "LINE")]
    line: Option<Line>,
    /// Record: this part was fitted in its place
    #[arg(long, value_name = "SPEC", requires_all = ["grade", "by", "evidence"], conflicts_with = "nickname")]
    stand_in: Option<String>,
    /// How well: same, fits, "fits with work", failed
    #[arg(long, value_name = "GRADE", requires = "stand_in", value_parser = one_of::<Grade>())]
    grade: Option<Grade>,
    /// Model and place where it was tried, as "Tarn body, at piston stem"; what failed is told on that line of the parts list
    #[arg(long, value_name = "WORDS", requires = "stand_in")]
    at: Option<Place>,
    /// Record: this is a name for the part (a drawer's word, a dead maker's number)
    #[arg(long, value_name = "NAME", requires_all = ["by", "evidence"], value_parser = read_by(relied_on))]
    nickname: Option<Words>,
    /// How well the name is known: memory, "supplier table", measured, published
    #[arg(long, value_name = "WORD", requires = "nickname", default_value = "memory", value_parser = one_of::<Confidence>())]
    confidence: Confidence,
    /// Who says so
    #[arg(long, value_name = "NAME", value_parser = read_by(relied_on))]
    by: Option<Words>,
    /// On which evidence
    #[arg(long, value_name = "WORDS", value_parser = read_by(relied_on))]
    evidence: Option<Words>,
}

/// Reads words that others will rely on.
pub(super) fn relied_on(flag: &str, text: &str) -> Result<Words> {
    not_empty(flag, text, "write it out, others will rely on it")
}

pub(super) fn run(args: &UsesArgs, settings: &Settings) -> Result<Outcome> {
    let place = settings.book()?;
    let spec = match &args.line {
        None => args.spec.clone(),
        Some(line) => {
            let line = listed_line(&place, &args.spec, line)?;
            line.ring_and_groove().0.ok_or_else(|| {
                CliError::input(format!(
                    "line {} has no size yet: measure the part first",
                    line.number
                ))
            })?
        }
    };
    let said = |words: &Option<Words>| words.clone().map_or_else(String::new, |said| said.words);
    let (person, evidence) = (said(&args.by), said(&args.evidence));
    if let (Some(stand_in), Some(grade)) = (&args.stand_in, args.grade) {
        let statement = Statement {
            part: spec,
            stand_in: stand_in.clone(),
            grade,
            at: args.at.as_deref().unwrap_or_default().to_owned(),
            person,
            evidence,
            said_at: now(),
        };
        return settings.answer(&say(&place, &statement, settings.unit())?, Answer::Yes);
    }
    if let Some(Words { words: name }) = args.nickname.clone() {
        let nickname = Nickname {
            name,
            part: spec,
            confidence: args.confidence,
            person,
            source: evidence,
            said_at: now(),
        };
        return settings.answer(&call(&place, &nickname, settings.unit())?, Answer::Yes);
    }
    let report = uses(&place, &spec, settings.unit())?;
    settings.answer(&report, Answer::of(is_known(&report)))
}

/// Whether anything in the book speaks of the part; rings that are near by their dimensions alone do not count.
fn is_known(report: &UsesReport) -> bool {
    report.parts.iter().any(|part| {
        !part.used.is_empty()
            || !part.stands_in_for.is_empty()
            || part.stand_ins.iter().any(|one| !one.said.is_empty())
    })
}
