//! A threshold laid on what the words for a gas say.

use super::LEAST_AIR_SHARE;
use super::doubt::{Doubt, per_cent};
use super::reading::{Group, Level, ReadGas};
use super::service::{GasService, GasStatement};

impl ReadGas {
    /// Adds a stated share: it fills in what a name left open, and is a reading of its own.
    pub(super) fn state(&mut self, stated: f64) {
        let gases = self.groups.iter_mut().flat_map(|group| &mut group.gases);
        for level in gases.flatten() {
            if !matches!(level, Level::Share(_)) {
                *level = Level::Share(stated);
            }
        }
        self.soft
            .retain(|doubt| !matches!(doubt, Doubt::ShareNotSaid { .. }));
        self.groups.push(Group {
            gases: vec![vec![Level::Share(stated)]],
            inferred: None,
        });
    }

    fn levels(&self) -> impl Iterator<Item = Level> + '_ {
        let gases = self.groups.iter().flat_map(|group| &group.gases);
        let bare = self.bare.iter().flat_map(|bare| &bare.shares);
        gases
            .flatten()
            .copied()
            .chain(bare.copied().map(Level::Share))
    }

    /// Returns the shares that were named, lowest first.
    fn named(&self) -> Vec<f64> {
        let mut named: Vec<f64> = self
            .levels()
            .filter_map(|level| match level {
                Level::Share(share) => Some(share),
                Level::MoreThanAir | Level::NotSaid => None,
            })
            .collect();
        named.sort_by(f64::total_cmp);
        named
    }
}

/// Lays a threshold on what was read.
pub(super) struct Judge<'r> {
    pub(super) read: &'r ReadGas,
    pub(super) threshold: f64,
}

impl Judge<'_> {
    fn is_above(&self, level: Level) -> bool {
        match level {
            Level::Share(share) => share > self.threshold,
            Level::MoreThanAir => true,
            Level::NotSaid => false,
        }
    }

    /// A mix is surely enriched where one of its gases is.
    fn is_surely_enriched(&self, group: &Group) -> bool {
        let surely = |levels: &Vec<Level>| levels.iter().all(|level| self.is_above(*level));
        group.gases.iter().any(surely)
    }

    fn inferred(&self) -> Option<f64> {
        let inferred = self.read.groups.iter().filter_map(|group| group.inferred);
        inferred
            .filter(|share| *share > self.threshold)
            .max_by(f64::total_cmp)
    }

    /// Returns the highest share above the threshold: one that was named, else what a rest may come to.
    fn highest(&self) -> Option<f64> {
        let named = self.read.named().last().copied();
        named
            .filter(|share| *share > self.threshold)
            .or_else(|| self.inferred())
    }

    pub(super) fn service(&self, statement: &GasStatement) -> GasService {
        let groups = &self.read.groups;
        let share = self.highest();
        let all_sure =
            !groups.is_empty() && groups.iter().all(|group| self.is_surely_enriched(group));
        if all_sure && self.read.hard.is_empty() {
            return GasService::Enriched { share };
        }
        let mut doubts = self.read.hard.clone();
        if !all_sure {
            doubts.extend(self.straddling());
        }
        doubts.extend(self.read.soft.iter().cloned());
        doubts.extend(self.loose_shares());
        if doubts.is_empty() {
            return self.not_enriched(statement);
        }
        GasService::Unsettled { share, doubts }
    }

    /// Says which readings lie on both sides of the threshold.
    fn straddling(&self) -> Option<Doubt> {
        let named = self.read.named();
        let above = self.read.levels().any(|level| self.is_above(level));
        let low = named.first().copied().filter(|low| *low <= self.threshold);
        if !above {
            return self.inferred().map(|_| Doubt::RestNotSaid);
        }
        let low = low.filter(|_| !self.read.groups.is_empty())?;
        let high = self.highest();
        let mut gases = self.read.groups.iter().flat_map(|group| &group.gases);
        let is_range = gases.any(|levels| {
            levels.iter().any(|level| self.is_above(*level))
                && !levels.iter().all(|level| self.is_above(*level))
        });
        Some(match high.filter(|_| is_range) {
            Some(high) => Doubt::Range { low, high },
            None => Doubt::Contradiction { low, high },
        })
    }

    /// Lists the shares below the threshold that belong to no gas and are not that of air.
    fn loose_shares(&self) -> Vec<Doubt> {
        let fits = |share: &f64| {
            *share > self.threshold || (self.read.may_be_air && *share >= LEAST_AIR_SHARE)
        };
        let loose = self
            .read
            .bare
            .iter()
            .filter(|bare| !bare.shares.iter().all(fits));
        loose
            .map(|bare| Doubt::LooseNumber {
                words: per_cent(bare.shares[0]),
                span: bare.span,
            })
            .collect()
    }

    /// Names a gas without doubt and with no more oxygen than the threshold.
    fn not_enriched(&self, statement: &GasStatement) -> GasService {
        let top = self.read.named().last().copied().unwrap_or_default();
        if self.read.may_be_air && top >= LEAST_AIR_SHARE {
            return GasService::Air;
        }
        GasService::Other {
            words: statement.words(),
        }
    }
}
