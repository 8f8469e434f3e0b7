//! What stands in a description, word by word, and what became of each.

use super::atom::{Atom, AtomKind, atoms};
use super::fold::DIAMETER;
use super::lexicon::{Meaning, Role, find};

/// What an item is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum What {
    Number,
    /// A word of the table.
    Word(Meaning),
    /// Letters that the table does not have.
    Letters,
    Sign(char),
}

/// One item of a description.
#[derive(Debug, Clone, Copy)]
pub(super) struct Item<'t> {
    pub(super) text: &'t str,
    pub(super) what: What,
    /// White space stands before it.
    pub(super) spaced: bool,
    /// It was understood.
    pub(super) taken: bool,
    /// It is a number that is no size: a count, a thread, a price, a part of a word that is not known.
    pub(super) no_size: bool,
}

impl Item<'_> {
    pub(super) fn role(&self) -> Option<Role> {
        match self.what {
            What::Word(meaning) => Some(meaning.role),
            _ => None,
        }
    }

    pub(super) fn is_sign(&self, sign: char) -> bool {
        self.what == What::Sign(sign)
    }

    pub(super) fn is_one_of(&self, signs: &[char]) -> bool {
        matches!(self.what, What::Sign(sign) if signs.contains(&sign))
    }

    pub(super) fn is_number(&self) -> bool {
        self.what == What::Number
    }

    /// Tells whether it stands between two dimensions.
    pub(super) fn is_times(&self) -> bool {
        matches!(self.what, What::Sign('X' | '*')) || self.role() == Some(Role::Times)
    }

    /// Tells whether it is a whole number as a count is written.
    pub(super) fn count(&self) -> Option<u32> {
        let count = self.is_number()
            && !self.text.starts_with('0')
            && self.text.bytes().all(|b| b.is_ascii_digit());
        count
            .then(|| self.text.parse().ok())
            .flatten()
            .filter(|n| *n <= 100_000)
    }
}

/// The items of a description.
#[derive(Debug)]
pub(super) struct Items<'t> {
    pub(super) list: Vec<Item<'t>>,
}

impl<'t> Items<'t> {
    /// Finds the words of a folded text.
    pub(super) fn of(folded: &'t str) -> Self {
        let atoms = atoms(folded);
        let mut list: Vec<Item<'t>> = Vec::with_capacity(atoms.len());
        let mut at = 0;
        while at < atoms.len() {
            let (what, length) = understand(&atoms[at..], list.last());
            let last = &atoms[at + length - 1];
            list.push(Item {
                text: &folded[atoms[at].begin..last.begin + last.text.len()],
                what,
                spaced: atoms[at].spaced,
                taken: false,
                no_size: false,
            });
            at += length;
        }
        unquote(&mut list);
        Self { list }
    }

    pub(super) fn get(&self, at: usize) -> Option<&Item<'t>> {
        self.list.get(at)
    }

    /// Tells whether there is an item at a place for which this holds.
    pub(super) fn is(&self, at: usize, holds: impl FnOnce(&Item<'t>) -> bool) -> bool {
        self.list.get(at).is_some_and(holds)
    }

    pub(super) fn before(&self, at: usize) -> Option<&Item<'t>> {
        self.list.get(at.checked_sub(1)?)
    }

    /// Tells whether an item stands right behind the one before it.
    pub(super) fn is_glued(&self, at: usize) -> bool {
        at > 0 && self.list.get(at).is_some_and(|item| !item.spaced)
    }

    pub(super) fn take(&mut self, places: std::ops::Range<usize>) {
        self.list[places]
            .iter_mut()
            .for_each(|item| item.taken = true);
    }

    pub(super) fn role(&self, at: usize) -> Option<Role> {
        self.list.get(at)?.role()
    }

    /// The place behind signs that part a word from its number: "=", ":", ".".
    pub(super) fn skip(&self, mut at: usize, signs: &[char]) -> usize {
        while self.is(at, |item| item.is_one_of(signs)) {
            at += 1;
        }
        at
    }

    /// Tells whether a number is one of a run of dimensions.
    pub(super) fn is_dimension(&self, at: usize) -> bool {
        let times = |item: Option<&Item<'_>>| item.is_some_and(Item::is_times);
        times(self.before(at)) || times(self.get(at + 1))
    }
}

/// A mark that opens before a number quotes: neither it nor the one that closes is an inch.
fn unquote(list: &mut [Item<'_>]) {
    let mut open = false;
    for at in 0..list.len() {
        let opens = list[at].is_sign('"')
            && list[at].spaced
            && list.get(at + 1).is_some_and(|next| !next.spaced);
        if opens || open && list[at].is_sign('"') {
            list[at].what = What::Sign('|');
            open = opens && !open;
        }
    }
}

/// Finds the word with which the atoms begin; a letter between numbers may be a sign.
fn understand(atoms: &[Atom<'_>], before: Option<&Item<'_>>) -> (What, usize) {
    let atom = &atoms[0];
    let behind = atoms.get(1);
    let before_number =
        behind.is_some_and(|next| next.kind == AtomKind::Number || next.text.starts_with(DIAMETER));
    if let Some((meaning, length)) = find(atoms) {
        // "012" is a number, though "1A" is a word of the table.
        if atom.kind != AtomKind::Number || length > 1 {
            return (What::Word(meaning), length);
        }
    }
    let after_number = before.is_some_and(Item::is_number);
    let glued_number = after_number && !atom.spaced;
    match (atom.text, atom.kind) {
        ("X", _) => (What::Sign('X'), 1),
        ("D", _) if before_number && !glued_number => (What::Sign(DIAMETER), 1),
        (_, AtomKind::Number) => (What::Number, 1),
        (_, AtomKind::Letters) => (What::Letters, 1),
        (text, AtomKind::Sign) => (What::Sign(text.chars().next().unwrap_or(' ')), 1),
    }
}
