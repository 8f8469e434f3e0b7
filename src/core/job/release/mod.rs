//! Whether a unit can be released: a pure function of its state, of what its parts list has, and of how it is to be closed.

mod closing;
mod parts;
mod readings;

use super::entry::Closing;
use super::lack::Lack;
use super::place::PlaceList;
use super::state::UnitState;
use crate::core::gear::GearKind;
use crate::core::note::Header;
use crate::core::quantity::{Date, Spoken};
use crate::core::stage::{SettingLimits, SupplyRating};

/// What a unit is held against before it is released.
#[derive(Debug, Clone, Copy)]
pub struct ReleaseQuestion<'q> {
    /// The places of the unit by the parts list for its gas.
    pub places: &'q PlaceList,
    pub limits: &'q SettingLimits,
    /// What our own newest note on the unit says of it, which may be newer than the job; `None` where the book has none.
    pub noted: Option<&'q Header>,
    /// Other jobs on the unit that are open.
    pub open_beside: &'q [i64],
    /// What of the record was changed in the file.
    pub changed: Option<&'q str>,
    /// How it is to be closed; `None` where that is not asked yet.
    pub closing: Option<ClosingAsked<'q>>,
}

/// How a record is to be closed.
#[derive(Debug, Clone, Copy)]
pub struct ClosingAsked<'q> {
    /// Who closes it.
    pub person: &'q str,
    /// When, ISO 8601 in universal time.
    pub at: &'q str,
    pub closing: &'q Closing,
}

/// Lists what stands against the release of a unit; nothing where it can be released.
///
/// It needs: entries in the order of time and none of the work before the teardown; readings as found, or why none; readings as left
/// at a high and a low supply near those of use (data/jobs/release_rules.csv), taken after the last step, judged anew by every rating
/// and the limits of this kind of gear, none of them since that step rejected; lock-up and creep; a test for leaks, or who decided
/// against it; each place that the list replaces filled to its count with what is listed, or with a stated reason; cleaning,
/// lubricant and polymers fit for the gas, and the gas settled; limits of use inside rating, gas and supply; a second person.
pub fn release(state: &UnitState, question: &ReleaseQuestion<'_>) -> Vec<Lack> {
    let noted = question.noted.and_then(|noted| noted.rated.as_ref());
    let mut ratings = state.supply_ratings();
    ratings.extend(noted.map(SupplyRating::of_unit));
    let review = Review {
        state,
        question,
        gear: state.kind(),
        ratings,
    };
    let mut lacks = Vec::new();
    lacks.extend(
        question
            .changed
            .map(|fault| Lack::RecordChanged(fault.to_owned())),
    );
    review.order_of_time(&mut lacks);
    review.kind(&mut lacks);
    review.gas(&mut lacks);
    review.parts(&mut lacks);
    review.cleaning_and_lubricant(&mut lacks);
    review.readings(&mut lacks);
    review.tests(&mut lacks);
    review.supply(&mut lacks);
    review.closing(&mut lacks);
    lacks
}

struct Review<'q> {
    state: &'q UnitState,
    question: &'q ReleaseQuestion<'q>,
    gear: GearKind,
    /// Every rating: those of the record, and that of the note, whatever the record says of it.
    ratings: Vec<SupplyRating>,
}

impl Review<'_> {
    fn order_of_time(&self, lacks: &mut Vec<Lack>) {
        let moments = &self.state.moments;
        for (earlier, later) in moments.iter().zip(moments.iter().skip(1)) {
            if later.1 < earlier.1 {
                lacks.push(Lack::EntryOutOfOrder {
                    entry: later.0,
                    at: later.1.clone(),
                    before: earlier.1.clone(),
                });
            }
        }
        if let Some(closing) = self.question.closing {
            let late = moments.iter().filter(|(_, at)| at.as_str() > closing.at);
            lacks.extend(late.map(|(entry, at)| Lack::EntryInTheFuture {
                entry: *entry,
                at: at.clone(),
                now: closing.at.to_owned(),
            }));
        }
        let Some(teardown) = self.question.noted.and_then(|noted| noted.date) else {
            return;
        };
        let teardown = teardown.to_string();
        // A note is dated where its writer is, the record in universal time: clocks run up to fourteen hours apart.
        let early = |at: &str| day_after(at).is_some_and(|next| next.to_string() < teardown);
        let early = moments.iter().filter(|(_, at)| early(at));
        lacks.extend(early.map(|(entry, at)| Lack::EntryBeforeTeardown {
            entry: *entry,
            at: at.clone(),
            teardown: teardown.clone(),
        }));
    }

    /// A unit is asked for what its kind is asked for, whatever the job calls it.
    fn kind(&self, lacks: &mut Vec<Lack>) {
        let noted = self.question.noted.and_then(|noted| noted.gear);
        if let (Some(noted), Some(stated)) = (noted, self.state.gear)
            && noted != stated
        {
            lacks.push(Lack::OtherGearThanNoted { noted, stated });
        }
        lacks.extend(
            self.question
                .open_beside
                .iter()
                .map(|job| Lack::OtherJobOpen(*job)),
        );
    }

    fn gas(&self, lacks: &mut Vec<Lack>) {
        let why = self.state.gas.service.unsettled_words();
        lacks.extend(why.map(Lack::GasNotSettled));
        let Some(noted) = self.question.noted.map(Header::gas_statement) else {
            return;
        };
        let service = noted.judge(&self.state.gas.threshold);
        if noted.said().is_some() && service.asks_oxygen_care() && !self.asks_oxygen_care() {
            lacks.push(Lack::OtherGasThanNoted {
                noted: noted.words(),
                stated: self.state.gas.stated.words(),
            });
        }
    }

    fn asks_oxygen_care(&self) -> bool {
        self.state.gas.asks_oxygen_care()
    }

    fn on_supply(&self) -> impl Iterator<Item = &SupplyRating> {
        self.ratings.iter().filter(|rating| rating.on_supply)
    }

    fn supply(&self, lacks: &mut Vec<Lack>) {
        let Some(supply) = &self.state.supply else {
            return;
        };
        let used = supply.value.bar();
        let over = self.on_supply().filter(|r| used > r.rating.bar());
        lacks.extend(over.map(|rating| Lack::SupplyAboveRating {
            supply: Spoken::of([rating.text.as_str()]).say(used),
            rating: rating.text.clone(),
        }));
    }
}

/// The day after that of a moment.
fn day_after(at: &str) -> Option<Date> {
    let day: jiff::civil::Date = at.get(..10)?.parse().ok()?;
    day.tomorrow().ok().map(Date::from)
}
