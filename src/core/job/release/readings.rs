//! The readings and tests of a unit before its release.

use super::Review;
use crate::core::gland::Verdict;
use crate::core::job::entry::{JobReading, OtherTest, ReadState, TestResult};
use crate::core::job::lack::Lack;
use crate::core::job::limits_of_use::ReleaseRule;
use crate::core::job::mentioned::mentioned;
use crate::core::job::state::{ReadingState, Said};
use crate::core::quantity::{Pressure, Spoken};
use crate::core::stage::{
    CreepCall, GaugeStanding, READING_SD_BAR, SettingReading, SettingReport, StageDesign,
    judge_setting,
};

impl Review<'_> {
    pub(super) fn readings(&self, lacks: &mut Vec<Lack>) {
        if self.state.last_reading(ReadState::AsFound).is_none() {
            lacks.push(Lack::NoAsFound);
        }
        let left = self.state.last_reading(ReadState::AsLeft);
        for reading in &self.state.readings {
            if self.state.step_after(reading.said.entry).is_none() || left == Some(reading) {
                self.not_rejected(reading, lacks);
            }
        }
        if !self.gear.needs_two_supplies() {
            return;
        }
        let Some(left) = left else {
            return lacks.push(Lack::NoAsLeft);
        };
        let entry = left.said.entry;
        if !left.said.what.is_taken() {
            return lacks.push(Lack::AsLeftNotTested { entry });
        }
        if let Some(step) = self.state.step_after(entry) {
            lacks.push(Lack::AsLeftBeforeLastStep { entry, step });
        }
        self.near_use(left, lacks);
        self.as_left(left, lacks);
    }

    fn judge(&self, reading: &ReadingState) -> SettingReport {
        let read = &reading.said.what;
        judge_setting(&read.question(self.ratings.clone(), self.question.limits, self.state.gear))
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
            lacks.push(Lack::ReadingStops { entry, words });
        } else if report.verdict.is_some_and(rejects) {
            let checks = report.checks.iter().filter(|c| rejects(c.verdict));
            lacks.push(Lack::ReadingRejected {
                entry,
                checks: checks.map(|check| check.name.word()).collect(),
            });
        }
    }

    fn near_use(&self, left: &ReadingState, lacks: &mut Vec<Lack>) {
        let Some(supply) = &self.state.supply else {
            return lacks.push(Lack::NoSupply);
        };
        let (entry, used) = (left.said.entry, supply.value.bar());
        let spoken = Spoken::of([supply.text.as_str()]);
        let supplies = || {
            left.said
                .what
                .readings
                .iter()
                .map(SettingReading::supply_bar)
        };
        let least = used * ReleaseRule::HighSupplyShare.value();
        if !supplies().any(|read| read >= least) {
            lacks.push(Lack::NotReadAtHighSupply {
                entry,
                supply: spoken.say(used),
                least: spoken.say(least),
            });
        }
        let most = used * ReleaseRule::LowSupplyShare.value();
        if !supplies().any(|read| read <= most) {
            lacks.push(Lack::NotReadAtLowSupply {
                entry,
                most: spoken.say(most),
            });
        }
    }

    fn as_left(&self, left: &ReadingState, lacks: &mut Vec<Lack>) {
        let (entry, read) = (left.said.entry, &left.said.what);
        let report = self.judge(left);
        // Where nothing limits this kind of gear, the recorded ratings alone judge it.
        if report.verdict.is_none() && self.question.limits.know(self.gear) {
            lacks.push(Lack::ReadingNotJudged { entry });
        }
        let known = |standing: &GaugeStanding| standing.is_known();
        if !read.standing.as_ref().map_or(read.gauge_known, known) {
            lacks.push(Lack::NoKnownGauge { entry });
        }
        if let Some(slope) = self.odd_supply_effect(left) {
            lacks.push(Lack::OddSupplyEffect { entry, slope });
        }
        if self.gear.needs_lock_up_and_creep() {
            if !watched_from_lock_up(read) {
                lacks.push(Lack::CreepNotFromLockUp { entry });
            }
            if read.lock_up_s.is_none() {
                lacks.push(Lack::NoLockUp { entry });
            }
            let call = report.creep.as_ref().map(|creep| creep.call);
            let unlimited = self.question.limits.creep_bar_per_min(self.gear).is_none();
            let watched = unlimited && !read.creep.is_empty();
            if call != Some(CreepCall::Still) && !watched {
                lacks.push(Lack::NoCreep { entry, call });
            }
        }
    }

    pub(super) fn tests(&self, lacks: &mut Vec<Lack>) {
        for test in self.state.tested.iter().filter(|test| test.what.failed) {
            lacks.push(Lack::TestFailed { entry: test.entry });
        }
        for test in &self.state.tested {
            self.within_ratings(test.entry, mentioned(&test.what.words).greatest(), lacks);
        }
        let cracked = |test: &&Said<OtherTest>| {
            test.what.cracking_effort && self.state.step_after(test.entry).is_none()
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
            lacks.push(Lack::Leaks { entry });
        }
        // Who decided against the test decided for the unit as it stood then as well.
        if let Some(step) = self.state.step_after(entry) {
            lacks.push(Lack::LeakTestBeforeLastStep { entry, step });
        }
        if let (Some(_), Some(supply)) = (leak.what.result, &self.state.supply) {
            let least = supply.value.bar() * ReleaseRule::HighSupplyShare.value();
            if leak.what.supply.is_none_or(|tested| tested.bar() < least) {
                lacks.push(Lack::LeakTestAtLowSupply {
                    entry,
                    least: Spoken::of([supply.text.as_str()]).say(least),
                });
            }
        }
    }

    fn within_ratings(&self, entry: u32, tested: Option<Pressure>, lacks: &mut Vec<Lack>) {
        let Some(tested) = tested else { return };
        let over = self.on_supply().find(|r| tested.bar() > r.rating.bar());
        lacks.extend(over.map(|rating| Lack::TestAboveRating {
            entry,
            tested: Spoken::of([rating.text.as_str()]).say(tested.bar()),
            rating: rating.text.clone(),
        }));
    }

    /// The supply effect of readings, in bar a bar, where it lies outside the limits of every design.
    fn odd_supply_effect(&self, left: &ReadingState) -> Option<f64> {
        let points = left.said.what.corrected_bar();
        let by_supply = |a: &&(f64, f64), b: &&(f64, f64)| a.0.total_cmp(&b.0);
        let (low, high) = (
            points.iter().min_by(by_supply)?,
            points.iter().max_by(by_supply)?,
        );
        let apart = high.0 - low.0;
        if apart <= 0.0 {
            return None;
        }
        let rows = StageDesign::ALL
            .iter()
            .filter_map(|design| self.question.limits.row("slope", self.gear, Some(*design)));
        let ends = rows.fold(None, |ends: Option<(f64, f64)>, row| {
            let (low, high) = ends.unwrap_or((row.low, row.high));
            Some((low.min(row.low), high.max(row.high)))
        });
        let (least, most) = ends?;
        // Twice the doubt of two readings is allowed.
        let slack = 2.0 * std::f64::consts::SQRT_2 * READING_SD_BAR / apart;
        let slope = (high.1 - low.1) / apart;
        (!(least - slack..=most + slack).contains(&slope)).then_some(slope)
    }
}

/// Tells whether a watched series begins where and when the needle stood after a purge; one that was not watched does.
fn watched_from_lock_up(read: &JobReading) -> bool {
    let Some((seconds, begin)) = read.creep.first() else {
        return true;
    };
    let near = |reading: &SettingReading| {
        (reading.bar() - begin).abs() <= ReleaseRule::CreepStartBar.value()
    };
    *seconds <= ReleaseRule::CreepStartS.value() && read.readings.iter().any(near)
}
