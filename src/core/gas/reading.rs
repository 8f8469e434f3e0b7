//! What the words for a gas say of oxygen.

use super::AIR_SHARE;
use super::components::{BareShare, Component, Components, WHOLE_WITHIN, components};
use super::doubt::Doubt;
use super::gas_name::{GasKind, GasName};
use super::gas_word::WordRole;
use super::lexeme::Mark;
use super::term::{Term, TermKind, terms};
use crate::core::quantity::Span;

/// Says how much oxygen a reading names.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Level {
    /// A share, 0 to 1.
    Share(f64),
    /// More than in air; how much was not said.
    MoreThanAir,
    /// A mix whose share must be said and was not.
    NotSaid,
}

/// Gases that are put together.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Group {
    /// Of each gas the levels that the words allow.
    pub(super) gases: Vec<Vec<Level>>,
    /// A share that nobody named and that what was named may come to.
    pub(super) inferred: Option<f64>,
}

/// What the words for a gas say, before a threshold is laid on.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ReadGas {
    /// Each group is another reading.
    pub(super) groups: Vec<Group>,
    /// Shares that belong to no gas.
    pub(super) bare: Vec<BareShare>,
    /// Doubts that hold whatever the gases are.
    pub(super) hard: Vec<Doubt>,
    /// Doubts that an enriched gas does not care for.
    pub(super) soft: Vec<Doubt>,
    /// Whether a mix of such gases can be air.
    pub(super) may_be_air: bool,
}

/// Reads the words for a gas.
pub(super) fn read_gas(words: &str) -> ReadGas {
    let terms = terms(words);
    let components = components(&terms);
    let mut read = ReadGas {
        groups: groups(&components.found),
        bare: components.bare.clone(),
        hard: Vec::new(),
        soft: Vec::new(),
        may_be_air: may_be_air(&components.found),
    };
    for (at, term) in terms.iter().enumerate() {
        if !components.used[at] {
            read.doubt(term, &components, words);
        }
    }
    for component in &components.found {
        let span = terms[component.at].span;
        let gas = component.gas.name.as_str();
        match component.gas.kind {
            GasKind::HeliumMix if component.shares.is_empty() => {
                read.soft.push(Doubt::ShareNotSaid { gas, span });
            }
            GasKind::Oxidizer => read.hard.push(Doubt::FeedsFire { gas, span }),
            _ => {}
        }
    }
    if components.found.is_empty() {
        // Which words a name was meant by is told; the others need no naming where no gas is.
        read.soft
            .retain(|doubt| matches!(doubt, Doubt::LeftOver { near: Some(_), .. }));
        if read.soft.is_empty() {
            read.soft.push(no_gas(words));
        }
    }
    read
}

fn no_gas(words: &str) -> Doubt {
    if words.chars().any(char::is_alphanumeric) {
        Doubt::NoGas
    } else {
        Doubt::NotRecorded
    }
}

/// Nitrogen is of air only together with a share of oxygen.
fn may_be_air(found: &[Component]) -> bool {
    let kinds = || found.iter().map(|component| component.gas.kind);
    let diluted = kinds().any(|kind| kind == GasKind::Nitrogen);
    let told = |c: &Component| c.gas.kind == GasKind::Oxygen && !c.shares.is_empty();
    kinds().all(GasKind::is_of_air) && (!diluted || found.iter().any(told))
}

fn groups(found: &[Component]) -> Vec<Group> {
    let mut groups: Vec<Vec<&Component>> = Vec::new();
    for component in found {
        match groups.last_mut() {
            Some(group) if component.joined => group.push(component),
            _ => groups.push(vec![component]),
        }
    }
    let whole = groups.iter().map(|group| Group {
        gases: group.iter().map(|component| levels(component)).collect(),
        inferred: rest_of_air(group).or_else(|| rest_of_parts(group)),
    });
    whole.collect()
}

fn levels(component: &Component) -> Vec<Level> {
    let shares = || component.shares.iter().copied().map(Level::Share);
    let named = component.gas.oxygen.map(Level::Share);
    match component.gas.kind {
        GasKind::Air => named.into_iter().chain(shares()).collect(),
        GasKind::Oxygen | GasKind::Enriched | GasKind::HeliumMix => {
            let unsaid = match component.gas.kind {
                GasKind::HeliumMix => Level::NotSaid,
                _ => Level::MoreThanAir,
            };
            if component.shares.is_empty() {
                vec![named.unwrap_or(unsaid)]
            } else {
                shares().collect()
            }
        }
        GasKind::Nitrogen | GasKind::Inert | GasKind::Fuel | GasKind::Other | GasKind::Oxidizer => {
            vec![Level::Share(0.0)]
        }
    }
}

fn most(shares: &[f64]) -> f64 {
    shares.iter().copied().fold(0.0, f64::max)
}

/// Returns how much oxygen there is where a rest of air comes to a share of oxygen that was added: "10 % oxygen, rest air".
fn rest_of_air(group: &[&Component]) -> Option<f64> {
    let air = |c: &&&Component| c.gas.kind == GasKind::Air && c.shares.is_empty();
    group.iter().find(air)?;
    let parts: f64 = group.iter().map(|c| most(&c.shares)).sum();
    let oxygen: f64 = of_kind(group, GasKind::Oxygen);
    let told = group
        .iter()
        .any(|c| c.gas.kind == GasKind::Oxygen && !c.shares.is_empty());
    told.then(|| oxygen + (1.0 - parts).max(0.0) * AIR_SHARE)
}

/// Returns how much oxygen there may be where the parts that were named do not make the whole: "nitrogen 60 %".
fn rest_of_parts(group: &[&Component]) -> Option<f64> {
    let plain = |c: &&Component| c.is_part && c.gas.kind.is_plain() && c.gas.kind != GasKind::Air;
    let diluted = group.iter().any(|c| c.gas.kind != GasKind::Oxygen);
    if !diluted || !group.iter().all(plain) {
        return None;
    }
    let rest = 1.0 - group.iter().map(|c| most(&c.shares)).sum::<f64>();
    (rest > WHOLE_WITHIN).then(|| of_kind(group, GasKind::Oxygen) + rest)
}

fn of_kind(group: &[&Component], kind: GasKind) -> f64 {
    let of_it = group.iter().filter(|c| c.gas.kind == kind);
    of_it.map(|c| most(&c.shares)).sum()
}

impl ReadGas {
    /// Notes what a term that belongs to no gas makes doubtful.
    fn doubt(&mut self, term: &Term, components: &Components, text: &str) {
        let span = term.span;
        let words = text[span.range()].to_owned();
        let left_over = |near| Doubt::LeftOver {
            words: words.clone(),
            span,
            near,
        };
        match &term.kind {
            TermKind::Unknown(word) if word.chars().count() == 1 => {
                // A letter alone may be torn off the name beside it: "C O2".
                self.hard.push(left_over(None));
            }
            TermKind::Unknown(word) => match GasName::nearest(word) {
                None => self.left_over(span, text),
                near => self.soft.push(left_over(near)),
            },
            TermKind::Beside(phrase) => {
                if !components.found.iter().any(|c| c.gas.takes(phrase)) {
                    self.soft.push(left_over(None));
                }
            }
            TermKind::Number(_) => self.soft.push(Doubt::LooseNumber { words, span }),
            TermKind::Role(WordRole::Negation) => self.hard.push(Doubt::Negation { words, span }),
            TermKind::Role(
                WordRole::Most | WordRole::Least | WordRole::PerCent | WordRole::Unit,
            )
            | TermKind::Mark(Mark::Percent | Mark::Other | Mark::PlusMinus | Mark::Times) => {
                self.soft.push(left_over(None));
            }
            TermKind::Mark(Mark::Question) => self.hard.push(Doubt::Questioned { span }),
            TermKind::Gas(_)
            | TermKind::Share(_)
            | TermKind::Measured
            | TermKind::Role(_)
            | TermKind::Mark(_) => {}
        }
    }

    /// Notes a word that is not understood, together with the one before it.
    fn left_over(&mut self, span: Span, text: &str) {
        if let Some(Doubt::LeftOver {
            words,
            span: last,
            near: None,
        }) = self.soft.last_mut()
            && text
                .get(last.end..span.start)
                .is_some_and(|between| between.trim().is_empty())
        {
            *last = Span::new(last.start, span.end);
            text[last.range()].clone_into(words);
        } else {
            self.soft.push(Doubt::LeftOver {
                words: text[span.range()].to_owned(),
                span,
                near: None,
            });
        }
    }
}
