//! Dimensions: figures with signs of times between them, and figures that words name.

use super::figure::{Figure, Label};
use super::fold::DIAMETER;
use super::item::{Item, Items, What};
use super::label::{Named, name};
use super::lexicon::Role;
use super::material::is_sold;
use super::size::{Reading, agree, of_three, of_two};
use crate::core::quantity::Length;

/// A length that was converted and rounded differs by less than this share.
const CONVERTED: f64 = 0.03;

/// What stands in a text as far as dimensions go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Token {
    /// The figure of this place among the figures.
    Figure(usize),
    Times,
    Label(Label),
    /// Anything that parts dimensions.
    Gap,
}

/// Figures with signs of times between them, as places among the figures.
#[derive(Debug, Clone, Default)]
pub(super) struct Chain {
    pub(super) figures: Vec<usize>,
    /// A number among them is no dimension: it is none of a ring.
    bad: bool,
    /// A dash stands for the sign of times.
    dashed: bool,
}

/// The dimensions of a text.
#[derive(Debug, Default)]
pub(super) struct Dimensions {
    /// What each group of figures can mean.
    pub(super) groups: Vec<Vec<Reading>>,
    /// Two decimals side by side, which are dimensions only beside a code.
    pub(super) beside_code: Vec<Reading>,
    /// Lengths with a unit.
    pub(super) lengths: Vec<Length>,
    /// A word for cord names a section, and nothing names a diameter.
    pub(super) cord_alone: bool,
    /// Dimensions that cannot be read stand in the text: what is left may be a part of them.
    broken: bool,
}

/// Collects tokens and chains.
#[derive(Debug, Default)]
struct Scan<'t> {
    figures: Vec<Figure<'t>>,
    tokens: Vec<Token>,
    chains: Vec<Chain>,
    open: Chain,
    /// A sign of times stands behind the last figure.
    linked: bool,
    /// Dimensions that cannot be read stand in the text: what is left may be a part of them.
    broken: bool,
}

impl Dimensions {
    pub(super) fn read(items: &mut Items<'_>) -> Self {
        let mut scan = Scan::default();
        let mut at = 0;
        while at < items.list.len() {
            at = scan.step(items, at);
        }
        scan.close();
        let mut read = Self {
            broken: scan.broken,
            ..Self::default()
        };
        read.lengths_of(&scan, items);
        let named = name(&scan.tokens, &scan.figures, &scan.chains);
        read.cord_alone = named.cord_alone;
        read.broken |= named.broken;
        read.gather(&scan, named, items);
        read.side_by_side(&scan);
        if read.broken {
            read.groups.clear();
        }
        read
    }

    /// Lengths with a unit; that of a chain holds for each of its figures.
    fn lengths_of(&mut self, scan: &Scan<'_>, items: &Items<'_>) {
        for chain in &scan.chains {
            let unit = chain.figures.iter().find_map(|f| scan.figures[*f].unit);
            for figure in &chain.figures {
                let figure = scan.figures[*figure].or_unit(unit);
                self.lengths
                    .extend(figure.length().filter(|_| !items.list[figure.at].no_size));
            }
        }
    }

    fn gather(&mut self, scan: &Scan<'_>, named: Named, items: &mut Items<'_>) {
        let mut used = named.figures;
        if !named.readings.is_empty() {
            self.groups.push(named.readings);
        }
        for chain in &scan.chains {
            if chain.bad || chain.figures.iter().any(|f| used.contains(f)) {
                continue;
            }
            let figures: Vec<&Figure<'_>> =
                chain.figures.iter().map(|f| &scan.figures[*f]).collect();
            let mut readings = match figures.as_slice() {
                [first, second] => of_two(first, second),
                [first, second, third] => of_three([first, second, third]),
                [_] => continue,
                _ => Vec::new(),
            };
            if chain.dashed {
                readings.retain(|reading| reading.ring.code.is_some());
            }
            if !readings.is_empty() {
                self.groups.push(readings);
                used.extend(&chain.figures);
            }
        }
        for figure in used {
            items.list[scan.figures[figure].at].taken = true;
        }
    }

    /// "12.37 17.61 2.62": three decimals side by side that agree, or two.
    fn side_by_side(&mut self, scan: &Scan<'_>) {
        let runs = scan
            .tokens
            .split(|token| !matches!(token, Token::Figure(_)));
        for run in runs {
            let figures: Vec<&Figure<'_>> = run
                .iter()
                .filter_map(|t| match t {
                    Token::Figure(f) => Some(&scan.figures[*f]),
                    _ => None,
                })
                .collect();
            if figures.iter().any(|figure| figure.places < 2) {
                continue;
            }
            match figures.as_slice() {
                [first, second] => self.beside_code = of_two(first, second),
                [first, second, third] if self.groups.is_empty() => {
                    let readings = of_three([first, second, third]);
                    if !readings.is_empty() {
                        self.groups.push(readings);
                    }
                }
                _ => {}
            }
        }
    }
}

impl<'t> Scan<'t> {
    /// Reads the item at a place; gives the place behind it.
    fn step(&mut self, items: &Items<'t>, at: usize) -> usize {
        let item = &items.list[at];
        if item.taken {
            // "10 x 100 pcs", "16x1.5 x 10 pcs": what stands behind the sign is no dimension.
            if self.linked && item.is_number() {
                self.open.bad |= self.open.figures.len() < 2;
                self.linked = false;
            }
            return self.gap(at);
        }
        match item.what {
            What::Number => self.number(items, at),
            _ if item.is_times() => self.times(items, at),
            What::Sign('±' | '+') => self.tolerance(items, at),
            What::Sign('-') => self.dash(items, at),
            What::Sign(DIAMETER | '.' | '=' | ':' | '(' | ')' | '[' | ']' | '"') => at + 1,
            What::Word(meaning) => match meaning.role {
                Role::UnitMm | Role::UnitIn | Role::Diameter => at + 1,
                role => {
                    let Some(label) = Label::of(role) else {
                        return self.gap(at);
                    };
                    self.tokens.push(Token::Label(label));
                    at + 1
                }
            },
            _ => self.gap(at),
        }
    }

    fn gap(&mut self, at: usize) -> usize {
        self.close();
        self.tokens.push(Token::Gap);
        at + 1
    }

    fn close(&mut self) {
        let chain = std::mem::take(&mut self.open);
        self.broken |= self.linked && chain.figures.len() > 1;
        self.linked = false;
        if !chain.figures.is_empty() {
            self.chains.push(chain);
        }
    }

    fn number(&mut self, items: &Items<'t>, at: usize) -> usize {
        let (figure, end) =
            whole_and_fraction(items, at).unwrap_or_else(|| (Figure::of(items, at), at + 1));
        self.broken |= is_torn(items, at) || is_range(items, at);
        let Some(figure) = figure.filter(|_| !items.list[at].no_size) else {
            self.broken |= !items.list[at].no_size && self.linked;
            self.unread(items, at);
            return end;
        };
        if self.is_conversion(items, &figure) {
            return items.skip(end, &['.', ')']).max(end);
        }
        let place = self.figures.len();
        self.figures.push(figure);
        if self.linked && self.is_count(items, place, at) {
            self.linked = false;
            self.gap(at);
            return end;
        }
        if !self.linked {
            self.close();
        }
        self.linked = false;
        self.open.figures.push(place);
        self.tokens.push(Token::Figure(place));
        end
    }

    /// A number that is no dimension, in a chain or alone.
    fn unread(&mut self, items: &Items<'t>, at: usize) {
        if !self.linked {
            self.close();
        }
        self.linked = false;
        self.open.bad = true;
        if !items.is(at + 1, Item::is_times) {
            let bad = std::mem::take(&mut self.open);
            self.chains
                .extend(Some(bad).filter(|chain| !chain.figures.is_empty()));
        }
        self.tokens.push(Token::Gap);
    }

    /// "16x1.5 x10": a whole number with its sign of times glued to it alone is a count, where it does not fit as a dimension.
    fn is_count(&self, items: &Items<'t>, place: usize, at: usize) -> bool {
        let glued = items.is_glued(at) && items.before(at).is_some_and(|times| times.spaced);
        let [first, second] = self.open.figures.as_slice() else {
            return false;
        };
        let [a, b, c] = [*first, *second, place].map(|f| self.figures[f].nm_or_mm());
        glued && self.figures[place].is_whole() && !agree(a.min(b), a.max(b), c)
    }

    /// ".984 in (25.0 mm)": the same length in the other unit.
    fn is_conversion(&self, items: &Items<'t>, figure: &Figure<'t>) -> bool {
        let before = self.figures.last();
        let (Some(before), Some(unit)) = (before, figure.unit) else {
            return false;
        };
        let opened = items.before(figure.at).is_some_and(|i| i.is_sign('('));
        let (one, other) = (before.nm(unit), figure.nm(unit));
        opened
            && before.unit.is_some_and(|known| known != unit)
            && (one - other).abs() as f64 <= CONVERTED * one as f64
    }

    fn times(&mut self, items: &Items<'t>, at: usize) -> usize {
        let word = |place: Option<usize>| {
            place
                .and_then(|p| items.role(p))
                .is_some_and(|role| Label::of(role).is_some())
        };
        let header =
            word(at.checked_sub(1)) && word(Some(at + 1)) && !items.is(at + 2, Item::is_number);
        if header || self.open.figures.is_empty() && !self.open.bad {
            // "ID x OD": a sign of times between words.
            self.tokens.push(Token::Times);
            return at + 1;
        }
        // A sign behind the sign of times: what follows is no dimension.
        self.broken |=
            self.linked || items.is(at + 1, |i| matches!(i.what, What::Sign('+' | '-' | '±')));
        self.linked = true;
        self.tokens.push(Token::Times);
        at + 1
    }

    /// "9.25±0.13": the number behind the sign is none of the dimensions.
    fn tolerance(&mut self, items: &Items<'t>, at: usize) -> usize {
        let number = items.skip(at + 1, &['/', '-']);
        let decimals = self
            .open
            .figures
            .last()
            .is_some_and(|f| self.figures[*f].places > 0)
            && !self.linked;
        let glued = (at..=number).all(|p| items.is_glued(p));
        let read = items.is(number, |i| i.is_number() && !i.text.starts_with(['.', ',']));
        self.broken |= !(decimals && glued && read);
        if items.is(number, Item::is_number) {
            number + 1
        } else {
            at + 1
        }
    }

    /// "9.25-1.78": between two decimals a dash may stand for the sign of times.
    fn dash(&mut self, items: &Items<'t>, at: usize) -> usize {
        let decimals = |figure: Option<Figure<'_>>| figure.is_some_and(|figure| figure.places > 0);
        let before = at.checked_sub(1).and_then(|p| Figure::of(items, p));
        if self.open.figures.len() == 1 && decimals(before) && decimals(Figure::of(items, at + 1)) {
            self.open.dashed = true;
            self.linked = true;
            self.tokens.push(Token::Times);
            return at + 1;
        }
        self.gap(at)
    }
}

/// "1 1/16": the whole and the fraction of one number; a number that compounds are sold in may be a hardness, and three digits a
/// dash number.
fn whole_and_fraction<'t>(items: &Items<'t>, at: usize) -> Option<(Option<Figure<'t>>, usize)> {
    let (whole, part) = (items.get(at)?, items.get(at + 1)?);
    let one = whole.count().is_some() && whole.text.len() <= 2 && !is_sold(whole.text);
    let fraction =
        part.is_number() && part.text.contains('/') && !part.text.contains('-') && !part.taken;
    if !one || !fraction || part.no_size {
        return None;
    }
    let sum = Figure::of(items, at + 1)
        .zip(Figure::of(items, at))
        .map(|(part, whole)| part.with_whole(&whole));
    Some((sum, at + 2))
}

/// "10-12", "10..12": one of two ends, and no dimension; between two decimals a dash stands for the sign of times.
fn is_range(items: &Items<'_>, at: usize) -> bool {
    let dots = items.is(at + 1, |i| i.is_sign('.')) && items.is(at + 2, |i| i.is_sign('.'));
    let end = if dots {
        items.skip(at + 1, &['.'])
    } else {
        at + 2
    };
    let dash = items.is(at + 1, |i| i.is_sign('-'));
    let glued = (at + 1..=end).all(|p| items.is_glued(p));
    let number = items.is(end, |i| i.is_number() && !i.taken && !i.no_size);
    let whole = [at, end]
        .iter()
        .any(|p| items.is(*p, |i| i.count().is_some()));
    (dots || dash) && glued && number && whole && !items.list[at].no_size
}

/// Tells whether a number stands where it may belong to another: a fraction behind a loose whole, a comma that opens a number.
fn is_torn(items: &Items<'_>, at: usize) -> bool {
    let item = &items.list[at];
    let Some(before) = items.before(at) else {
        return false;
    };
    let unit = matches!(items.role(at + 1), Some(Role::UnitMm | Role::UnitIn))
        || items.is(at + 1, |i| i.is_sign('"'));
    let begins = items.is_dimension(at) || unit && items.is(at + 2, Item::is_times);
    let opened = before.is_sign(',')
        && !item.spaced
        && (before.spaced || at < 2 || items.list[at - 2].is_sign(DIAMETER))
        && begins;
    let loose = before.is_number() && !before.taken && !before.no_size && item.text.contains('/');
    let whole = before.text.bytes().all(|b| b.is_ascii_digit())
        && (before.text.len() < 3 || items.is_dimension(at - 1));
    // "8x8/8": a fraction that is none below one.
    let over = items.is(at + 1, |i| i.is_sign('/') && !i.spaced)
        && items.is_glued(at + 2)
        && items.list[at + 2].is_number()
        && !items.list[at + 2].taken
        && !items.is(at + 3, Item::is_times);
    let under = before.is_sign('/')
        && (at - 1..=at).all(|p| items.is_glued(p))
        && at > 1
        && items.list[at - 2].is_number()
        && !items.list[at - 2].taken
        && !items.is_dimension(at - 2)
        && begins;
    opened || loose && whole || over && before.is_times() || under
}
