//! Numbers that are no size: part numbers, positions, pressures, prices, threads, parts of words that are not known.

use super::item::{Item, Items, What};
use super::lexicon::Role;

/// Marks every number that something beside it makes no size.
pub(super) fn mark(items: &mut Items<'_>) {
    for at in 0..items.list.len() {
        match items.list[at].what {
            _ if items.list[at].taken => {}
            What::Letters => mark_glued(items, at),
            What::Word(meaning) => match meaning.role {
                Role::NotASize => {
                    mark_behind(items, at, true);
                }
                Role::Standard => {
                    let end = mark_behind(items, at, false);
                    items.take(at..end);
                }
                Role::OtherUnit if !is_before_number(items, at) => mark_before(items, at, false),
                Role::OtherUnit | Role::OtherLength if is_before_number(items, at) => {
                    mark_glued(items, at);
                }
                Role::OtherLength => mark_before(items, at, true),
                Role::Currency => {
                    mark_before(items, at, false);
                    mark_behind(items, at, false);
                }
                _ => {}
            },
            _ => {}
        }
    }
}

/// "M10": the letter is glued to the number behind it, so that it is no unit of the number before.
fn is_before_number(items: &Items<'_>, at: usize) -> bool {
    items.is_glued(at + 1) && items.list[at + 1].is_number() && !items.is_glued(at)
}

fn is_free(item: &Item<'_>) -> bool {
    item.is_number() && !item.taken
}

/// A number glued to letters that are not known is a part of their word: "KF40", "2Q12".
fn mark_glued(items: &mut Items<'_>, at: usize) {
    let mut before = at;
    while before > 0 && items.is_glued(before) && is_free(&items.list[before - 1]) {
        before -= 1;
        items.list[before].no_size = true;
    }
    let mut behind = at + 1;
    while items.is_glued(behind)
        && matches!(
            items.list[behind].what,
            What::Number | What::Letters | What::Sign('-' | '.' | '/')
        )
    {
        items.list[behind].no_size |= is_free(&items.list[behind]);
        behind += 1;
    }
}

/// Marks the number behind a word, with what hangs on it: "P/N 100-214-3"; `goes_on` takes a further number behind a space.
fn mark_behind(items: &mut Items<'_>, at: usize, goes_on: bool) -> usize {
    let mut place = items.skip(at + 1, &['.', ':', '#', '=', '-', '°', '/']);
    let mut first = true;
    while let Some(item) = items.get(place) {
        let glued = items.is_glued(place);
        let goes = match item.what {
            What::Number => !items.is(place + 1, Item::is_times) && (first || glued || goes_on),
            What::Letters => glued || first && item.text.len() == 1,
            What::Word(_) => glued && !first && item.text.len() == 1,
            What::Sign(sign) => glued && matches!(sign, '-' | '.' | '/'),
        };
        // "ISO 3601 9.25 x 1.78", "GB 3452.1-82 16x2.4": a number with a sign of times behind it is a dimension.
        if !goes {
            break;
        }
        first &= !item.is_number();
        items.list[place].no_size |= is_free(&items.list[place]);
        place += 1;
    }
    place
}

/// Marks the number before a unit and the one that a sign joins to it: "-30 +100 °C", "7/16-20 UNF". A dimension keeps its
/// place save before a unit of length, which then is one that no ring is written in.
fn mark_before(items: &mut Items<'_>, at: usize, dimensions: bool) {
    let mut place = at;
    while place > 0 {
        let item = &items.list[place - 1];
        let number = is_free(item) && (dimensions || !items.is_dimension(place - 1));
        let sign = matches!(item.what, What::Sign('-' | '+' | '.' | '°' | '/' | '±'));
        if !number && !sign {
            break;
        }
        items.list[place - 1].no_size |= number;
        place -= 1;
        if dimensions && number {
            break;
        }
    }
}
