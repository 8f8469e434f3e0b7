//! Whether a unit can be released: a pure function of its state, of what its parts list has, and of how it is to be closed.

use super::entry::{FittedPart, OtherTest, ReadState, TestResult};
use super::fitness;
use super::lack::Lack;
use super::limits_of_use::LimitsOfUse;
use super::mentioned::mentioned;
use super::person::PersonName;
use super::place::{Fit, PartPlace, PlaceList};
use super::rules::ReleaseRule;
use super::state::{PlaceState, PlaceWork, ReadingState, Said, UnitState};
use crate::core::book::PartAction;
use crate::core::gear::GearKind;
use crate::core::gland::Verdict;
use crate::core::quantity::{Date, Pressure, PressureUnit};
use crate::core::stage::{
    CreepCall, SettingLimits, SettingReport, SupplyRating, judge_setting,
};

/// Holds what a unit is held against before it is released.
#[derive(Debug, Clone, Copy)]
pub struct ReleaseQuestion<'q> {
    /// The places of the unit by the parts list for its gas.
    pub places: &'q PlaceList,
    /// The limits of a setting.
    pub limits: &'q SettingLimits,
    /// The day of the unit's newest note, where it has one.
    pub teardown: Option<Date>,
    /// What of the record was changed in the file.
    pub changed: Option<&'q str>,
    /// How it is to be closed; `None` where that is not asked yet.
    pub closing: Option<ClosingAsked<'q>>,
}

/// Holds how a record is to be closed.
#[derive(Debug, Clone, Copy)]
pub struct ClosingAsked<'q> {
    /// Who closes it.
    pub person: &'q str,
    /// The second person.
    pub checked_by: Option<&'q str>,
    /// Limits of use.
    pub limits: &'q str,
    /// When, ISO 8601 in universal time.
    pub at: &'q str,
}

/// Lists what stands against the release of a unit; nothing where it can be released.
///
/// It needs: entries in the order of time and none of the work before the teardown; readings as found, or why none; readings as left
/// at a high and a low supply near those of use (data/jobs/release_rules.csv), taken after the last step, judged anew by every rating
/// and the limits of this kind of gear, none of them since that step rejected; lock-up and creep; a test for leaks, or who decided
/// against it; each place that the list replaces filled to its count with what is listed, or with a stated reason; cleaning,
/// lubricant and polymers fit for the gas, and the gas settled; limits of use inside rating, gas and supply; a second person.
pub fn release(state: &UnitState, question: &ReleaseQuestion<'_>) -> Vec<Lack> {
    let review = Review {
        state,
        question,
        gear: state.gear.unwrap_or(GearKind::ASSUMED),
    };
    let mut lacks = Vec::new();
    lacks.extend(question.changed.map(|fault| Lack::Changed(fault.to_owned())));
    review.order_of_time(&mut lacks);
    review.gas(&mut lacks);
    review.parts(&mut lacks);
    review.cleaning_and_lubricant(&mut lacks);
    review.readings(&mut lacks);
    review.tests(&mut lacks);
    review.supply(&mut lacks);
    review.closing(&mut lacks);
    lacks
}

fn bar(pressure: Pressure) -> f64 {
    pressure.gauge_in(PressureUnit::Bar)
}

struct Review<'q> {
    state: &'q UnitState,
    question: &'q ReleaseQuestion<'q>,
    gear: GearKind,
}

impl Review<'_> {
    fn order_of_time(&self, lacks: &mut Vec<Lack>) {
        let moments = &self.state.moments;
        for (earlier, later) in moments.iter().zip(moments.iter().skip(1)) {
            if later.1 < earlier.1 {
                lacks.push(Lack::OutOfOrder {
                    entry: later.0,
                    at: later.1.clone(),
                    before: earlier.1.clone(),
                });
            }
        }
        if let Some(closing) = self.question.closing {
            let late = moments.iter().filter(|(_, at)| at.as_str() > closing.at);
            lacks.extend(late.map(|(entry, at)| Lack::InTheFuture {
                entry: *entry,
                at: at.clone(),
                now: closing.at.to_owned(),
            }));
        }
        let Some(teardown) = self.question.teardown else {
            return;
        };
        let teardown = teardown.to_string();
        // A note is dated where its writer is, the record in universal time: clocks run up to fourteen hours apart.
        let early = |at: &str| day_after(at).is_some_and(|next| next.to_string() < teardown);
        let early = moments.iter().filter(|(_, at)| early(at));
        lacks.extend(early.map(|(entry, at)| Lack::BeforeTeardown {
            entry: *entry,
            at: at.clone(),
            teardown: teardown.clone(),
        }));
    }

    fn gas(&self, lacks: &mut Vec<Lack>) {
        let why = fitness::unsettled(&self.state.gas.service);
        lacks.extend(why.map(Lack::GasNotSettled));
    }

    fn asks_oxygen_care(&self) -> bool {
        self.state.gas.asks_oxygen_care()
    }

    fn parts(&self, lacks: &mut Vec<Lack>) {
        let places = &self.question.places.places;
        if places.is_empty() {
            lacks.push(Lack::NoPartsList);
        }
        let open = places.iter().filter(|place| {
            place.action == PartAction::Replace && self.state.place(place.number).is_none()
        });
        let open: Vec<String> = open.map(|place| place.name.clone()).collect();
        if !open.is_empty() {
            lacks.push(Lack::Unrecorded(open));
        }
        for filled in &self.state.places {
            let listed = places.iter().find(|place| Some(place.number) == filled.line);
            match listed {
                Some(listed) => self.place(listed, filled, lacks),
                None if places.is_empty() => {}
                None => lacks.push(Lack::UnknownPlace {
                    entry: filled.now.entry,
                    part: filled.name.clone(),
                }),
            }
        }
    }

    fn place(&self, listed: &PartPlace, filled: &PlaceState, lacks: &mut Vec<Lack>) {
        let (entry, place) = (filled.now.entry, || listed.name.clone());
        let fitted = match &filled.now.what {
            PlaceWork::Fitted(fitted) => fitted,
            PlaceWork::Kept(_) => {
                if self.asks_oxygen_care() && listed.kind.is_soft() {
                    lacks.push(Lack::OldSoftPart {
                        entry,
                        place: place(),
                    });
                }
                return;
            }
        };
        let meant = fitted.deviation.is_some();
        lacks.extend(as_listed(listed, entry, fitted).filter(|_| !meant));
        if fitted.count != listed.quantity && !meant {
            lacks.push(Lack::Count {
                entry,
                place: place(),
                listed: listed.quantity,
                recorded: fitted.count,
            });
        }
        if let Some(polymer) = listed.polymer_of(fitted)
            && let Some(reason) = fitness::polymer_unfit(polymer, &self.state.gas.service)
        {
            lacks.push(Lack::Polymer {
                entry,
                place: place(),
                polymer,
                reason,
            });
        }
        if self.asks_oxygen_care() && !fitted.oxygen_clean {
            lacks.push(Lack::PartNotOxygenClean {
                entry,
                place: place(),
            });
        }
    }

    fn cleaning_and_lubricant(&self, lacks: &mut Vec<Lack>) {
        let cleaning = &self.state.cleaning;
        if cleaning.is_empty() {
            lacks.push(Lack::NoCleaning);
        }
        if self.asks_oxygen_care() && !cleaning.iter().any(|said| said.what.for_oxygen) {
            lacks.push(Lack::NotOxygenClean);
        }
        if self.state.lubricants.is_empty() {
            lacks.push(Lack::NoLubricant);
        }
        for used in &self.state.lubricants {
            let unfit = fitness::lubricant_unfit(&used.what.name, &self.state.gas.service);
            lacks.extend(unfit.map(|reason| Lack::Lubricant {
                entry: used.entry,
                name: used.what.name.clone(),
                reason,
            }));
        }
    }

    fn readings(&self, lacks: &mut Vec<Lack>) {
        if self.state.last_reading(ReadState::AsFound).is_none() {
            lacks.push(Lack::NoAsFound);
        }
        let left = self.state.last_reading(ReadState::AsLeft);
        for reading in &self.state.readings {
            if self.state.is_since_last_step(reading) || left == Some(reading) {
                self.not_rejected(reading, lacks);
            }
        }
        if !self.gear.needs_two_supplies() {
            return;
        }
        let Some(left) = left else {
            lacks.push(Lack::NoAsLeft);
            return;
        };
        let entry = left.said.entry;
        if !left.said.what.is_taken() {
            lacks.push(Lack::AsLeftNotTested(entry));
            return;
        }
        if let Some(step) = self.state.last_step.as_ref().filter(|step| step.entry > entry) {
            lacks.push(Lack::AsLeftBeforeStep {
                entry,
                step: step.entry,
                kind: step.kind,
            });
        }
        self.near_use(left, lacks);
        self.as_left(left, lacks);
    }

    fn judge(&self, reading: &ReadingState) -> SettingReport {
        let ratings = self.state.supply_ratings();
        let read = &reading.said.what;
        judge_setting(&read.question(ratings, self.question.limits, self.state.gear))
    }

    fn not_rejected(&self, reading: &ReadingState, lacks: &mut Vec<Lack>) {
        let read = &reading.said.what;
        if read.state == ReadState::AsFound || !read.is_taken() {
            return;
        }
        let entry = reading.said.entry;
        let report = self.judge(reading);
        let stops = report.stops.iter().map(|stop| stop.words.clone());
        // What stopped the work on that day happened, whatever limits are asked now.
        let mut stops = stops.chain(read.stops.iter().cloned());
        let rejects = |verdict: Verdict| verdict == Verdict::Reject;
        if let Some(words) = stops.next() {
            lacks.push(Lack::Stops { entry, words });
        } else if report.verdict.is_some_and(rejects) || read.verdict.is_some_and(rejects) {
            let checks = report.checks.iter().filter(|c| rejects(c.verdict));
            lacks.push(Lack::Rejected {
                entry,
                checks: checks.map(|check| check.name.words()).collect(),
            });
        }
    }

    fn near_use(&self, left: &ReadingState, lacks: &mut Vec<Lack>) {
        let Some(supply) = &self.state.supply else {
            lacks.push(Lack::NoSupply);
            return;
        };
        let (entry, used) = (left.said.entry, bar(supply.value));
        let supplies = || left.said.what.readings.iter().map(|r| r.supply_bar());
        let least = used * ReleaseRule::HighSupplyShare.share();
        if !supplies().any(|read| read >= least) {
            lacks.push(Lack::NotReadHigh {
                entry,
                supply_bar: used,
                least_bar: least,
            });
        }
        let most = used * ReleaseRule::LowSupplyShare.share();
        if !supplies().any(|read| read <= most) {
            lacks.push(Lack::NotReadLow {
                entry,
                most_bar: most,
            });
        }
    }

    fn as_left(&self, left: &ReadingState, lacks: &mut Vec<Lack>) {
        let (entry, read) = (left.said.entry, &left.said.what);
        let report = self.judge(left);
        // Where nothing limits this kind of gear, the recorded ratings alone judge it.
        if report.verdict.is_none() && self.question.limits.know(self.gear) {
            lacks.push(Lack::NotJudged(entry));
        }
        let known = |standing: &crate::core::stage::GaugeStanding| standing.is_known();
        if !read.standing.as_ref().map_or(read.gauge_known, known) {
            lacks.push(Lack::NoGauge(entry));
        }
        if self.gear.needs_lock_up_and_creep() {
            if read.lock_up_s.is_none() {
                lacks.push(Lack::NoLockUp(entry));
            }
            let call = report.creep.as_ref().map(|creep| creep.call);
            let unlimited = self.question.limits.creep_bar_per_min(self.gear).is_none();
            let watched = unlimited && !read.creep.is_empty();
            if call != Some(CreepCall::Still) && !watched {
                lacks.push(Lack::NoCreep { entry, call });
            }
        }
    }

    fn tests(&self, lacks: &mut Vec<Lack>) {
        for test in self.state.tested.iter().filter(|test| test.what.failed) {
            lacks.push(Lack::TestFailed(test.entry));
        }
        for test in &self.state.tested {
            self.within_ratings(test.entry, mentioned(&test.what.words).greatest(), lacks);
        }
        let cracked = |test: &&Said<OtherTest>| {
            test.what.cracking_effort && self.state.last_step.as_ref().is_none_or(|s| s.entry < test.entry)
        };
        if self.gear.needs_cracking_effort() && !self.state.tested.iter().any(|t| cracked(&t)) {
            lacks.push(Lack::NoCrackingEffort);
        }
        let Some(leak) = &self.state.leak_test else {
            if self.gear.needs_leak_test() {
                lacks.push(Lack::NoLeakTest);
            }
            return;
        };
        let entry = leak.entry;
        self.within_ratings(entry, leak.what.supply, lacks);
        if leak.what.result == Some(TestResult::Failed) {
            lacks.push(Lack::Leaks(entry));
        }
        // Who decided against the test decided for the unit as it stood then as well.
        if let Some(step) = self.state.last_step.as_ref().filter(|step| step.entry > entry) {
            lacks.push(Lack::LeakTestBeforeStep {
                entry,
                step: step.entry,
                kind: step.kind,
            });
        }
        if let (Some(_), Some(supply)) = (leak.what.result, &self.state.supply) {
            let least = bar(supply.value) * ReleaseRule::HighSupplyShare.share();
            if leak.what.supply.is_none_or(|tested| bar(tested) < least) {
                lacks.push(Lack::LeakTestLow {
                    entry,
                    least_bar: least,
                });
            }
        }
    }

    fn on_supply(&self) -> impl Iterator<Item = &Said<SupplyRating>> {
        self.state.ratings.iter().filter(|said| said.what.on_supply)
    }

    fn within_ratings(&self, entry: u32, tested: Option<Pressure>, lacks: &mut Vec<Lack>) {
        let Some(tested) = tested else { return };
        let over = self.on_supply().find(|r| bar(tested) > bar(r.what.rating));
        lacks.extend(over.map(|rating| Lack::TestAboveRating {
            entry,
            bar: bar(tested),
            rating: rating.what.text.clone(),
        }));
    }

    fn supply(&self, lacks: &mut Vec<Lack>) {
        let Some(supply) = &self.state.supply else { return };
        let used = bar(supply.value);
        let over = self.on_supply().filter(|r| used > bar(r.what.rating));
        lacks.extend(over.map(|rating| Lack::SupplyAboveRating {
            supply_bar: used,
            rating: rating.what.text.clone(),
        }));
    }

    fn closing(&self, lacks: &mut Vec<Lack>) {
        let Some(closing) = self.question.closing else { return };
        self.limits_of_use(closing.limits, lacks);
        let people = self.state.people.iter().map(String::as_str);
        let worked: Vec<&str> = people.chain([closing.person]).collect();
        for name in &worked {
            if PersonName::read(name).is_none() {
                lacks.push(Lack::WorkerUnnamed((*name).to_owned()));
            }
        }
        let Some(second) = closing.checked_by.filter(|name| !name.trim().is_empty()) else {
            lacks.push(Lack::NoSecondPerson);
            return;
        };
        let Some(name) = PersonName::read(second).filter(PersonName::is_full) else {
            lacks.push(Lack::SecondPersonUnnamed(second.to_owned()));
            return;
        };
        let same = |worker: &&&str| PersonName::read(worker).is_some_and(|w| w.may_be(&name));
        if let Some(worker) = worked.iter().find(same) {
            lacks.push(Lack::SecondPersonWorked {
                name: second.to_owned(),
                worker: (*worker).to_owned(),
            });
        }
    }

    fn limits_of_use(&self, words: &str, lacks: &mut Vec<Lack>) {
        let gas = &self.state.gas;
        let limits = LimitsOfUse::read(words, &gas.threshold);
        let wider = limits
            .gases
            .iter()
            .find(|(_, service)| fitness::asks_oxygen_care(service) && !self.covers(service));
        lacks.extend(wider.map(|(limit, _)| Lack::LimitsGas {
            limit: limit.clone(),
            gas: gas.words.clone(),
        }));
        lacks.extend(limits.unread.into_iter().map(Lack::LimitsUnread));
        let Some(limit) = limits.supply.map(bar) else {
            lacks.push(Lack::LimitsNoSupply);
            return;
        };
        if let Some(used) = self.state.supply.as_ref().map(|s| bar(s.value))
            && limit > used * ROUND_OFF
        {
            lacks.push(Lack::LimitsAboveSupply {
                limit_bar: limit,
                supply_bar: used,
            });
        }
        let over = self.on_supply().find(|r| limit > bar(r.what.rating));
        lacks.extend(over.map(|rating| Lack::LimitsAboveRating {
            limit_bar: limit,
            rating: rating.what.text.clone(),
        }));
    }

    /// Tells whether the gas of the job asks for as much care as another one.
    fn covers(&self, other: &crate::core::elastomer::GasService) -> bool {
        fitness::share_of(&self.state.gas.service) >= fitness::share_of(other)
    }
}

/// 3000 psi and 207 bar are one supply.
const ROUND_OFF: f64 = 1.005;

/// What of a fitted part is not as listed.
fn as_listed(listed: &PartPlace, entry: u32, fitted: &FittedPart) -> Option<Lack> {
    let place = listed.name.clone();
    match listed.compare(fitted) {
        Fit::AsListed | Fit::Nothing => None,
        Fit::NotDecided { listed } => Some(Lack::NotDecided {
            entry,
            place,
            listed,
        }),
        Fit::Unlike {
            listed,
            decided,
            how,
        } => Some(Lack::NotAsListed {
            entry,
            place,
            listed,
            decided,
            spec: fitted.spec.clone(),
            how,
        }),
    }
}

/// The day after that of a moment.
fn day_after(at: &str) -> Option<Date> {
    let day: jiff::civil::Date = at.get(..10)?.parse().ok()?;
    day.tomorrow().ok().map(Date::from)
}
