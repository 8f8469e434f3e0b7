//! `job parts`: the parts that a job replaces, one line of the list after another.

use super::super::clock::this_quarter;
use super::super::dialogue::{ask_until, in_plain_text, say};
use super::super::read_by::read_by;
use super::super::{Answer, CliError, Outcome, Result, Settings};
use super::hand;
use super::step::{reason, tells_anything};
use crate::app::job::{Hand, JobDesk, NewEntry, OpenPart};
use crate::core::job::{FittedPart, JobEntry, KeptPart};
use clap::Args;

#[derive(Debug, Args)]
#[command(
    after_help = "Answers to a line: Enter fits what is listed, from the lot in the bag; LOT fits it from that lot; \
    \"lot LOT ; spec AS568-119 NBR 70 ; why WORDS\" fits another one; \"keep WHY\" leaves the old part in; skip; done.\n\
    Behind any of the first three, \"; clean\" says that the part is clean for enriched gas, \"; count 2\" how many went in."
)]
pub(super) struct PartsArgs {
    /// The job; else the only one that is open
    job: Option<i64>,
    /// Who does it
    #[arg(long, value_name = "NAME", env = "RINGWRIGHT_BY", value_parser = read_by(hand))]
    by: Hand,
}

pub(super) fn run(args: &PartsArgs, desk: JobDesk<'_>, settings: &Settings) -> Result<Outcome> {
    in_plain_text(settings, ", or use job step --part")?;
    let job = desk.which(args.job)?;
    go_through(desk, job, &args.by)?;
    settings.answer(&desk.show(job)?, Answer::Yes)
}

/// Goes through the open parts, until all are said or nobody answers any more; tells whether the dialogue goes on.
pub(super) fn go_through(desk: JobDesk<'_>, job: i64, hand: &Hand) -> Result<bool> {
    for part in desk.open_parts(job, this_quarter())? {
        let enter = |words: &str| enter(desk, job, hand, &[reply(&part, words)?]);
        if !ask_until(&question(&part), enter)? {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Adds the entry as `job step` does, and says what stands against release because of it.
pub(super) fn enter(desk: JobDesk<'_>, job: i64, hand: &Hand, new: &[NewEntry]) -> Result<()> {
    let page = desk.add(job, hand, new)?;
    let added = page.record.entries.iter();
    for sealed in added.filter(|sealed| page.added.contains(&sealed.place)) {
        say(&format!(
            "Entry {}: {}\n",
            sealed.place,
            sealed.entry.words()
        ));
    }
    for lack in &page.points {
        say(&format!("  - {lack}\n"));
    }
    Ok(())
}

fn question(part: &OpenPart) -> String {
    let place = &part.place;
    let listed = match (part.as_listed(), &place.listed) {
        (Some(spec), _) => spec.to_string(),
        (None, Some(likely)) => format!("the list is not sure; likeliest {likely}"),
        (None, None) => "no size is listed".to_owned(),
    };
    let lot = match &part.bagged {
        Some(lot) => format!("[lot {lot}]"),
        None => "which lot?".to_owned(),
    };
    format!(
        "{:3} {}: {} x {listed} {lot}",
        place.number, place.name, place.quantity
    )
}

/// Reads what was answered to a line.
///
/// # Errors
/// Says what to write.
fn reply(part: &OpenPart, words: &str) -> Result<NewEntry> {
    let (first, rest) = words.split_once(' ').unwrap_or((words, ""));
    if first.eq_ignore_ascii_case("keep") || first.eq_ignore_ascii_case("kept") {
        let kept = KeptPart {
            part: part.place.name.clone(),
            why: reason("keep", rest)?.words,
        };
        return Ok(NewEntry::plain(JobEntry::Kept(kept)));
    }
    let mut fitted = FittedPart {
        part: part.place.name.clone(),
        spec: String::new(),
        lot: part.bagged.clone().unwrap_or_default(),
        count: part.place.quantity,
        oxygen_clean: false,
        unlike: None,
        deviation: None,
    };
    for field in words.split(';').map(str::trim).filter(|f| !f.is_empty()) {
        let (key, value) = field.split_once(' ').unwrap_or((field, ""));
        match (key.to_lowercase().as_str(), value.trim()) {
            ("clean", "") => fitted.oxygen_clean = true,
            ("spec", value) if tells_anything(value) => value.clone_into(&mut fitted.spec),
            ("spec", value) => {
                return Err(CliError::input(format!(
                    "spec {value:?} tells nothing of the part: write it as \"AS568-119 NBR 70\""
                )));
            }
            ("why", value) => fitted.deviation = Some(reason("why", value)?.words),
            ("lot", value) => fitted.lot = super::words("lot", value)?.words,
            ("count", value) => {
                fitted.count = value
                    .parse()
                    .ok()
                    .filter(|count| (1..=999).contains(count))
                    .ok_or_else(|| CliError::input("count is a number from 1 to 999"))?;
            }
            _ => field.clone_into(&mut fitted.lot),
        }
    }
    if fitted.lot.is_empty() {
        return Err(CliError::input(
            "which lot? the bag holds none for this line: write its number, or \"none known\"",
        ));
    }
    if fitted.spec.is_empty() {
        // What was shown is recorded, also where the list has changed meanwhile.
        let listed = part.as_listed().ok_or_else(|| {
            CliError::input(
                "the list is not sure what belongs here: write \"lot LOT ; spec WHAT ; why WORDS\", or skip",
            )
        })?;
        fitted.spec = listed.to_string();
    }
    Ok(NewEntry::plain(JobEntry::Part(fitted)))
}
