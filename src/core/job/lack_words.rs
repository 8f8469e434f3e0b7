//! What is lacking, in words: what, where, and the command that ends it.

use super::lack::Lack;
use crate::core::stage::CreepCall;
use std::fmt;

impl fmt::Display for Lack {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Changed(fault) => write!(f, "a record as it was written: {fault}"),
            Self::OutOfOrder { entry, at, before } => write!(
                f,
                "entries in the order of time: entry {entry} is dated {at}, after one of {before}; set the clock, withdraw the entry (job correct) and enter it again"
            ),
            Self::InTheFuture { entry, at, now } => write!(
                f,
                "entries that lie in the past: entry {entry} is dated {at}, and it is {now} now; set the clock, withdraw the entry (job correct) and enter it again"
            ),
            Self::BeforeTeardown {
                entry,
                at,
                teardown,
            } => write!(
                f,
                "work after the teardown: entry {entry} is dated {at}, and the unit's newest note {teardown}; put the note's date right, or withdraw the entry and enter it again"
            ),
            Self::NoAsFound => f.write_str(
                "readings as found, or why none were taken (job reading N --as-found …)",
            ),
            Self::NoAsLeft => f.write_str(
                "readings as left at a high and a low supply (job reading N --as-left …)",
            ),
            Self::AsLeftNotTested(entry) => write!(
                f,
                "a pressure test as left: by entry {entry} it was not done"
            ),
            Self::AsLeftBeforeStep { entry, step, kind } => write!(
                f,
                "readings as left after the last step: entry {entry} was read before entry {step} ({kind}); read again (job reading N --as-left …)"
            ),
            Self::NoSupply => f.write_str(
                "the supply that the unit is used with (a line `supply` in its note, job open --supply, or job correct N 1 WHY --supply \"200 bar\")",
            ),
            Self::NotReadHigh {
                entry,
                supply_bar,
                least_bar,
            } => write!(
                f,
                "a reading as left near the supply of use, {supply_bar:.0} bar: entry {entry} has none at {least_bar:.0} bar or more"
            ),
            Self::NotReadLow { entry, most_bar } => write!(
                f,
                "a reading as left at a low supply: entry {entry} has none at {most_bar:.0} bar or less; give both supplies in one entry"
            ),
            Self::Stops { entry, words } => write!(
                f,
                "readings that do not stop the work: entry {entry}: {words}"
            ),
            Self::Rejected { entry, checks } => write!(
                f,
                "readings that are not rejected: entry {entry} is ({})",
                checks.join(", ")
            ),
            Self::NotJudged(entry) => write!(
                f,
                "readings that can be judged: nothing of entry {entry} could be"
            ),
            Self::NoGauge(entry) => write!(
                f,
                "a known gauge for the readings of entry {entry} (setting gauge add NAME …, then --gauge NAME)"
            ),
            Self::NoLockUp(entry) => write!(
                f,
                "the time to lock-up as left: entry {entry} has none (--lock-up \"1 s\")"
            ),
            Self::NoCreep { entry, call } => {
                let seen = match call {
                    None => "it was not watched",
                    Some(CreepCall::Wait) => "it was not watched long enough",
                    Some(CreepCall::Creeps) => "it creeps",
                    Some(CreepCall::Falls) => "it falls",
                    Some(CreepCall::Still) => "it is still",
                };
                write!(
                    f,
                    "creep watched as left until it is called still: entry {entry}: {seen} (job reading N --as-left … --creep …)"
                )
            }
            Self::NoLeakTest => f.write_str(
                "a test for leaks (job step N --leak-test \"immersion 5 min at 195 bar\" --result passed), or who decided against it and why (--no-leak-test WHY)",
            ),
            Self::Leaks(entry) => write!(f, "a unit without leaks: by entry {entry} it leaks"),
            Self::LeakTestBeforeStep { entry, step, kind } => write!(
                f,
                "a test for leaks after the last step: entry {entry} came before entry {step} ({kind})"
            ),
            Self::LeakTestLow { entry, least_bar } => write!(
                f,
                "a test for leaks near the supply of use: entry {entry} names no pressure of {least_bar:.0} bar or more"
            ),
            Self::TestAboveRating { entry, bar, rating } => write!(
                f,
                "tests within the ratings: entry {entry} tested at {bar:.0} bar, above the rating {rating}; have the unit examined, and correct the entry where the figure is wrong"
            ),
            Self::TestFailed(entry) => write!(
                f,
                "tests that do not fail: entry {entry} failed; mend it, test again, and correct the entry"
            ),
            Self::NoCrackingEffort => f.write_str(
                "the cracking effort of a second stage, tested after the last step (job step N --cracking-effort \"1.2 inH2O\")",
            ),
            Self::NoPartsList => {
                f.write_str("a parts list of the model: its notes have no part (note add FILE)")
            }
            Self::Unrecorded(places) => write!(
                f,
                "what went in, or why the old part stays, for: {} (job step N --part … --spec … --lot …, or --kept … --why …)",
                places.join("; ")
            ),
            Self::UnknownPlace { entry, part } => write!(
                f,
                "places that the parts list has: entry {entry} names {part:?}, which is none or several of them"
            ),
            Self::Count {
                entry,
                place,
                listed,
                recorded,
            } => write!(
                f,
                "{listed} of {place}: entry {entry} records {recorded} (--count {listed}, or --why)"
            ),
            Self::NotAsListed {
                entry,
                place,
                listed,
                decided,
                spec,
                how,
            } => {
                let doubt = if *decided {
                    ""
                } else {
                    " as the likeliest, not decided"
                };
                write!(
                    f,
                    "the part of entry {entry} as it is listed, or why it is another one (job correct N {entry} WHY --part … --why …): the parts list has {listed}{doubt} for {place}; recorded was {spec}, which {}",
                    how.words()
                )
            }
            Self::NotDecided {
                entry,
                place,
                listed,
            } => write!(
                f,
                "why this part was fitted by entry {entry} (job correct N {entry} WHY --part … --why …): the parts list is not sure of {place}, likeliest {listed}"
            ),
            Self::NoCleaning => f.write_str("the cleaning state (job step N --clean …)"),
            Self::NotOxygenClean => f.write_str(
                "a record of cleaning for enriched gas (job step N --clean … --for-oxygen): above the threshold, and where the gas is not settled, nothing is released without",
            ),
            Self::PartNotOxygenClean { entry, place } => write!(
                f,
                "a clean part for enriched gas: {place} of entry {entry} is not recorded as cleaned for it (--part … --for-oxygen)"
            ),
            Self::Polymer {
                entry,
                place,
                polymer,
                reason,
            } => write!(
                f,
                "a polymer that suits the gas: {polymer} in {place} (entry {entry}) does not: {reason}"
            ),
            Self::OldSoftPart { entry, place } => write!(
                f,
                "a new soft part in {place}: by entry {entry} the old one stays, and nobody knows whether it suits this gas"
            ),
            Self::NoLubricant => f.write_str(
                "the lubricant, or that none was used (job step N --lubricant NAME --lot LOT, or --lubricant none --lot none)",
            ),
            Self::Lubricant {
                entry,
                name,
                reason,
            } => write!(
                f,
                "a lubricant that suits the gas: {name} (entry {entry}): {reason}"
            ),
            Self::GasNotSettled(why) => write!(
                f,
                "the gas, settled: {why} (job correct N 1 WHY --gas \"air\")"
            ),
            Self::SupplyAboveRating { supply_bar, rating } => write!(
                f,
                "a supply within the ratings: the unit is used with {supply_bar:.0} bar, above its rating {rating}"
            ),
            Self::LimitsNoSupply => f.write_str(
                "limits of use that name the greatest supply (--limits \"air, 200 bar, …\")",
            ),
            Self::LimitsUnread(number) => write!(
                f,
                "limits of use whose numbers have units: {number:?} has none"
            ),
            Self::LimitsAboveSupply {
                limit_bar,
                supply_bar,
            } => write!(
                f,
                "limits of use within what was tested: {limit_bar:.0} bar is above the supply of use of {supply_bar:.0} bar"
            ),
            Self::LimitsAboveRating { limit_bar, rating } => write!(
                f,
                "limits of use within the ratings: {limit_bar:.0} bar is above the rating {rating}"
            ),
            Self::LimitsGas { limit, gas } => write!(
                f,
                "limits of use for the gas of the job: the unit was worked for {gas:?}, and the limits say {limit:?}"
            ),
            Self::NoSecondPerson => {
                f.write_str("a second person who checked it (--checked-by NAME)")
            }
            Self::SecondPersonUnnamed(name) => write!(
                f,
                "a second person who checked it, by name: {name:?} names nobody"
            ),
            Self::SecondPersonWorked { name, worker } => write!(
                f,
                "a second person who did not do the work: {name:?} may be {worker:?}, who did; write names in full where two people are meant"
            ),
            Self::WorkerUnnamed(name) => write!(
                f,
                "who did the work, by name: {name:?} names nobody; withdraw the entry and enter it again with --by NAME"
            ),
        }
    }
}
