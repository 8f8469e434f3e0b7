//! The gases of a text with the shares that belong to each.

use super::gas_name::{Behind, GasKind, GasName};
use super::gas_word::WordRole;
use super::lexeme::{Figure, Mark};
use super::term::{Term, TermKind};
use crate::core::quantity::Span;

/// One gas of a text with its shares.
#[derive(Debug, Clone)]
pub(super) struct Component {
    pub(super) gas: &'static GasName,
    /// The term that names it.
    pub(super) at: usize,
    /// Its shares, 0 to 1: each figure that the words allow.
    pub(super) shares: Vec<f64>,
    /// Whether its share is one of the parts of a mix: with a per cent sign, or from a list.
    pub(super) is_part: bool,
    /// Whether it is put together with the gas before it, rather than another reading beside it.
    pub(super) joined: bool,
}

/// A share that belongs to no gas.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct BareShare {
    /// Each figure that the words allow.
    pub(super) shares: Vec<f64>,
    pub(super) span: Span,
}

/// The gases of a text, and which terms belong to none.
#[derive(Debug)]
pub(super) struct Components {
    pub(super) found: Vec<Component>,
    /// Shares that belong to no gas.
    pub(super) bare: Vec<BareShare>,
    /// Whether a term was understood as part of a gas.
    pub(super) used: Vec<bool>,
}

/// Parts of a mix that differ from the whole by no more than this are the whole.
pub(super) const WHOLE_WITHIN: f64 = 0.02;
/// No mix that is called nitrox has less oxygen; a smaller figure behind the name is something else.
const LEAST_ENRICHED: f64 = 0.15;

/// Finds the gases of a text.
pub(super) fn components(terms: &[Term]) -> Components {
    let gas = |(at, term): (usize, &Term)| match term.kind {
        TermKind::Gas(gas) => Some(Component {
            gas,
            at,
            shares: Vec::new(),
            is_part: false,
            joined: false,
        }),
        _ => None,
    };
    let found = terms.iter().enumerate().filter_map(gas).collect();
    let mut reader = Reader {
        terms,
        components: Components {
            found,
            bare: Vec::new(),
            used: vec![false; terms.len()],
        },
    };
    for index in 0..reader.components.found.len() {
        reader.read_behind(index);
    }
    reader.read_lists();
    reader.attach_shares();
    reader.join();
    reader.components
}

struct Reader<'t> {
    terms: &'t [Term],
    components: Components,
}

impl Reader<'_> {
    /// Returns the number at a term that nothing has used yet.
    fn number(&self, at: usize) -> Option<Figure> {
        match self.terms.get(at)?.kind {
            TermKind::Number(figure) if !self.components.used[at] => Some(figure),
            _ => None,
        }
    }

    fn is_mark(&self, at: usize, marks: &[Mark]) -> bool {
        matches!(self.terms.get(at).map(|t| &t.kind), Some(TermKind::Mark(mark)) if marks.contains(mark))
    }

    /// Returns the first term behind a gas that does not merely join a figure to it.
    fn behind(&self, gas: usize) -> usize {
        let joins = |term: &&Term| {
            matches!(
                term.kind,
                TermKind::Mark(Mark::Equals | Mark::Dash | Mark::Open)
                    | TermKind::Role(WordRole::Share)
            )
        };
        let rest = self.terms[gas + 1..].iter();
        gas + 1 + rest.take_while(joins).count()
    }

    /// Reads the figures directly behind a name that takes them.
    fn read_behind(&mut self, index: usize) {
        let (gas, at) = {
            let component = &self.components.found[index];
            (component.gas, component.at)
        };
        let from = self.behind(at);
        let Some(first) = self.number(from) else {
            return;
        };
        match gas.behind {
            Some(Behind::Oxygen) => self.read_shares(index, from),
            Some(Behind::OxygenHelium) => self.read_pair(index, from),
            Some(Behind::Either) => match self.list(from, 2) {
                Some(both) => self.take(index, from, both),
                None => self.read_shares(index, from),
            },
            Some(Behind::Grade) => self.read_grade(index, from, first),
            None => {}
        }
    }

    /// Takes figures as shares of a gas; the terms from the first to the last figure are used.
    fn take(&mut self, index: usize, from: usize, shares: Vec<f64>) {
        self.components.used[from..from + 2 * shares.len() - 1].fill(true);
        self.components.found[index].shares.extend(shares);
    }

    /// Reads one share, or several that are parted by a dash, a stroke or ±.
    fn read_shares(&mut self, index: usize, from: usize) {
        let kind = self.components.found[index].gas.kind;
        let share = |figure: Figure| {
            share_of(figure).filter(|s| kind != GasKind::Enriched || *s >= LEAST_ENRICHED)
        };
        let mut shares: Vec<f64> = Vec::new();
        let mut at = from;
        while let Some(figure) = self.number(at) {
            let spread = at > from && self.is_mark(at - 1, &[Mark::PlusMinus]);
            match (
                spread,
                shares.last().copied(),
                share_of(figure),
                share(figure),
            ) {
                (true, Some(middle), Some(spread), _) => {
                    shares[0] = middle - spread;
                    shares.push(middle + spread);
                }
                (false, _, _, Some(share)) => shares.push(share),
                _ => break,
            }
            if !self.is_mark(at + 1, &[Mark::Dash, Mark::Slash, Mark::PlusMinus]) {
                break;
            }
            at += 2;
        }
        if !shares.is_empty() {
            self.take(index, from, shares);
        }
    }

    /// Reads oxygen and helium: 18/45.
    fn read_pair(&mut self, index: usize, from: usize) {
        let second = self
            .number(from + 2)
            .filter(|_| self.is_mark(from + 1, &[Mark::Slash]));
        let pair = self
            .number(from)
            .and_then(share_of)
            .zip(second.and_then(share_of));
        if let Some((oxygen, helium)) = pair
            && oxygen + helium <= 1.0
        {
            self.components.used[from..from + 3].fill(true);
            self.components.found[index].shares.push(oxygen);
        }
    }

    /// Reads a grade of purity (4.8); a fraction behind oxygen may be its share as well as not.
    fn read_grade(&mut self, index: usize, from: usize, figure: Figure) {
        const GRADES: std::ops::Range<f64> = 1.0..8.0;
        let component = &mut self.components.found[index];
        if component.gas.kind == GasKind::Oxygen && is_fraction(figure) {
            component.shares.extend([figure.value, 1.0]);
            self.components.used[from] = true;
        } else if figure.decimals == 1 && GRADES.contains(&figure.value) {
            self.components.used[from] = true;
        }
    }

    /// Returns figures parted by strokes or dashes that together make the whole.
    fn list(&self, from: usize, count: usize) -> Option<Vec<f64>> {
        let marks = (1..count).all(|n| self.is_mark(from + 2 * n - 1, &[Mark::Slash, Mark::Dash]));
        let shares: Option<Vec<f64>> = (0..count)
            .map(|n| self.number(from + 2 * n).and_then(share_of))
            .collect();
        shares.filter(|shares| marks && (shares.iter().sum::<f64>() - 1.0).abs() <= WHOLE_WITHIN)
    }

    /// Reads lists of names and of figures beside each other: `argon/CO2 82/18`.
    fn read_lists(&mut self) {
        let mut begin = 0;
        while begin < self.components.found.len() {
            let found = &self.components.found;
            let plain = |at: usize| found[at].gas.kind.is_plain() && found[at].shares.is_empty();
            let mut end = begin + 1;
            while end < found.len()
                && plain(end)
                && found[end].at == found[end - 1].at + 2
                && self.is_mark(found[end].at - 1, &[Mark::Slash, Mark::Dash])
            {
                end += 1;
            }
            let count = end - begin;
            let from = self.behind(found[end - 1].at);
            if count > 1
                && plain(begin)
                && let Some(shares) = self.list(from, count)
            {
                self.components.used[from..from + 2 * count - 1].fill(true);
                for (component, share) in self.components.found[begin..end].iter_mut().zip(shares) {
                    component.shares.push(share);
                    component.is_part = true;
                }
            }
            begin = end;
        }
    }

    /// Gives each share to the gas that stands directly behind it; where that leaves one without a gas, to the gas before it.
    fn attach_shares(&mut self) {
        let shares: Vec<usize> = (0..self.terms.len())
            .filter(|at| matches!(self.terms[*at].kind, TermKind::Share(_)))
            .collect();
        let following: Vec<Option<usize>> = shares.iter().map(|at| self.gas_behind(*at)).collect();
        let preceding: Vec<Option<usize>> = shares.iter().map(|at| self.gas_before(*at)).collect();
        let whole = |owners: &[Option<usize>]| owners.iter().all(Option::is_some);
        let owners: Vec<Option<usize>> = if !whole(&following) && whole(&preceding) {
            preceding
        } else {
            following
                .iter()
                .zip(preceding)
                .map(|(next, last)| next.or(last))
                .collect()
        };
        for (at, owner) in shares.into_iter().zip(owners) {
            let TermKind::Share(figures) = &self.terms[at].kind else {
                continue;
            };
            self.components.used[at] = true;
            match owner {
                Some(owner) => {
                    let component = &mut self.components.found[owner];
                    component.shares.extend(figures);
                    component.is_part = true;
                }
                None => self.components.bare.push(BareShare {
                    shares: figures.clone(),
                    span: self.terms[at].span,
                }),
            }
        }
    }

    fn component_at(&self, at: usize) -> Option<usize> {
        self.components.found.iter().position(|c| c.at == at)
    }

    /// Finds the gas that a share stands directly before: "32 % medical oxygen".
    fn gas_behind(&self, share: usize) -> Option<usize> {
        let beside = |term: &&Term| {
            matches!(
                term.kind,
                TermKind::Beside(_) | TermKind::Role(WordRole::Share)
            )
        };
        let rest = self.terms[share + 1..].iter();
        self.component_at(share + 1 + rest.take_while(beside).count())
    }

    /// Finds the gas that a share stands directly behind: "oxygen content: 93 %"; a bracket parts them.
    fn gas_before(&self, share: usize) -> Option<usize> {
        let beside = |term: &&Term| {
            matches!(
                term.kind,
                TermKind::Mark(Mark::Equals | Mark::Dash)
                    | TermKind::Beside(_)
                    | TermKind::Role(WordRole::Share)
            )
        };
        let passed = self.terms[..share].iter().rev().take_while(beside).count();
        self.component_at((share - passed).checked_sub(1)?)
    }

    /// Finds which gases are put together: those with a stroke, a plus, a dash or a joining word between them, and all where
    /// parts of a mix are stated.
    fn join(&mut self) {
        let parts = self.components.found.iter().filter(|c| c.is_part).count();
        let has_rest = self
            .terms
            .iter()
            .any(|t| matches!(t.kind, TermKind::Role(WordRole::Rest)));
        for index in 1..self.components.found.len() {
            let between = self.components.found[index - 1].at + 1..self.components.found[index].at;
            let terms = &self.terms[between];
            let either = terms
                .iter()
                .any(|t| matches!(t.kind, TermKind::Role(WordRole::Either)));
            let blend = terms.iter().any(|t| {
                matches!(
                    t.kind,
                    TermKind::Role(WordRole::Blend) | TermKind::Mark(Mark::Slash | Mark::Dash)
                )
            });
            self.components.found[index].joined = parts > 1 || has_rest || (blend && !either);
        }
    }
}

fn is_fraction(figure: Figure) -> bool {
    figure.decimals > 0 && figure.value > 0.0 && figure.value < 1.0
}

/// Reads a figure as a share: 32 in per cent, or 0.32.
fn share_of(figure: Figure) -> Option<f64> {
    const PERCENT: f64 = 100.0;
    if is_fraction(figure) {
        Some(figure.value)
    } else {
        (1.0..=PERCENT)
            .contains(&figure.value)
            .then_some(figure.value / PERCENT)
    }
}
