//! What several models to be rebuilt need, pooled over them.

use super::find::window_of;
use crate::app::model::find::find_model;
use crate::app::model::parts_list::{PartsQuestion, parts_list};
use crate::app::stock::kit::stock_key;
use crate::core::book::{
    LifeRule, PartAction, PartLength, PartLine, StockKey, StockLot, WantedMaterial, lengths_agree,
    name_key, pick, same_lengths,
};
use crate::core::caution::Caution;
use crate::core::elastomer::Polymer;
use crate::core::gland::Verdict;
use crate::core::note::PartKind;
use crate::core::provenance::with_shops;
use crate::core::quantity::{Hardness, Length};
use crate::core::supply::NamedRing;
use crate::store::{Book, BookPlace, BookReader, ModelId, StoreError, StoredOffer};
use serde::Serialize;
use std::collections::HashSet;

/// One thing that is needed.
#[derive(Debug, Clone, Serialize)]
pub struct Need {
    /// What it is, in words.
    pub part: String,
    pub kind: PartKind,
    /// The ring, where it is one.
    #[serde(skip)]
    pub ring: Option<NamedRing>,
    /// Polymer of a ring.
    pub polymer: Option<Polymer>,
    /// Hardness of a ring.
    pub hardness: Option<Hardness>,
    /// The polymer that the list states for a part that is no ring.
    #[serde(skip)]
    pub stated_polymer: Option<Polymer>,
    /// Lengths of a part that is no ring, as the parts list writes them.
    pub lengths: Vec<PartLength>,
    /// Where it goes.
    pub places: Vec<String>,
    /// Pieces for the units.
    pub pieces: u32,
    /// Spare pieces.
    pub spares: u32,
    /// Pieces on the shelf that are used.
    pub from_stock: u32,
    /// From which bins, as "4 from A3"; what expires first goes first.
    pub bins: Vec<String>,
    /// Pieces on the shelf whose life is over; they are passed over.
    pub expired: u32,
    /// What it is called on the shelf; several where worn parts were measured a little differently.
    #[serde(skip)]
    pub shelf_keys: Vec<StockKey>,
    /// Other shops whose records the need rests on.
    pub rests_on: Vec<String>,
    /// Rings that suit every gland of the need, by first code.
    #[serde(skip)]
    pub suits: Vec<String>,
}

impl Need {
    /// Returns the pieces to be bought.
    pub fn to_buy(&self) -> u32 {
        self.pieces
            .saturating_add(self.spares)
            .saturating_sub(self.from_stock)
    }

    /// Tells whether it is known what to buy: a ring needs a polymer and a hardness.
    pub fn is_decided(&self) -> bool {
        self.ring.is_none() || self.polymer.is_some() && self.hardness.is_some()
    }

    fn take_shelf(&mut self, shelf: &mut [StockLot], rule: LifeRule) {
        // A ring whose material is not decided is not taken: the bag would not take it either.
        if !self.is_decided() {
            return;
        }
        let material = WantedMaterial {
            polymer: self.polymer,
            hardness: self.hardness,
        };
        for key in &self.shelf_keys {
            let lacking = self.to_buy();
            let found = pick(shelf, key, material, lacking, rule);
            self.expired += found.expired;
            for part in found.taken {
                let lot = &mut shelf[part.lot];
                lot.on_hand -= part.quantity;
                self.from_stock += part.quantity;
                self.bins
                    .push(format!("{} from {}", part.quantity, lot.bin));
            }
        }
    }

    /// Tells whether another need is for the very same thing.
    fn same(&self, other: &Self) -> bool {
        self.kind == other.kind
            && self.ring == other.ring
            && self.polymer == other.polymer
            && self.hardness == other.hardness
            && same_lengths(&self.lengths, &other.lengths)
    }
}

/// The pooled needs, and what must not be ordered.
#[derive(Debug, Clone, Default)]
pub struct Needs {
    /// The needs in the order of the lists.
    pub needs: Vec<Need>,
    /// Lines that are replaced but not decided, with what they wait for.
    pub undecided: Vec<String>,
    /// Lines that are bought only where the old part fails.
    pub on_condition: Vec<String>,
    /// Cautions of the parts lists.
    pub cautions: Vec<Caution>,
}

/// Adds up the questions about one model, whatever part of its name each of them writes.
pub(super) fn added_up(
    place: &BookPlace,
    models: &[PartsQuestion],
) -> Result<Vec<PartsQuestion>, StoreError> {
    let mut book = Book::open_to_read(place)?;
    book.read(|book| {
        let mut all: Vec<(ModelId, PartsQuestion)> = Vec::new();
        for question in models {
            let model = find_model(book, &question.model)?;
            match all.iter_mut().find(|(id, _)| *id == model.id) {
                Some((_, known)) => known.build = known.build.saturating_add(question.build),
                None => all.push((model.id, question.clone())),
            }
        }
        Ok(all.into_iter().map(|(_, model)| model).collect())
    })
}

/// Gathers the needs of several models.
pub fn gather_needs(
    place: &BookPlace,
    models: &[PartsQuestion],
    spares: u32,
) -> Result<Needs, StoreError> {
    let mut all = Needs::default();
    let tied = Book::open_to_read(place)?.read(|book| book.offer_ties(None))?;
    let tied: HashSet<String> = tied.iter().map(|tie| name_key(&tie.place)).collect();
    for question in models {
        let report = parts_list(place, question)?;
        for caution in report.cautions {
            if !all.cautions.contains(&caution) {
                all.cautions.push(caution);
            }
        }
        for line in &report.list.lines {
            all.add(&report.list.model.to_string(), line, &tied);
        }
    }
    for need in &mut all.needs {
        need.spares = spares;
    }
    Ok(all)
}

impl Needs {
    fn add(&mut self, model: &str, line: &PartLine, tied: &HashSet<String>) {
        let place = place_words(model, line);
        match line.action {
            PartAction::Keep => return,
            PartAction::OnCondition => {
                return self.on_condition.push(with_shops(&place, &line.rests_on));
            }
            PartAction::Replace => {}
        }
        let tied = tied.contains(&name_key(&place));
        let Some(need) = need_of(place.clone(), line, tied) else {
            let why = match line.failed_itself() {
                Some(failed) => failed.words(),
                None if line.size.measured.is_empty() => line.size.how_sure.clone(),
                None => line.size.measured.clone(),
            };
            let place = with_shops(&place, &line.rests_on);
            self.undecided.push(format!("{place}: {why}"));
            return;
        };
        if let Some(known) = self.needs.iter_mut().find(|known| known.same(&need)) {
            known.pieces = known.pieces.saturating_add(need.pieces);
            known.places.extend(need.places);
            for shop in need.rests_on {
                if !known.rests_on.contains(&shop) {
                    known.rests_on.push(shop);
                }
            }
            for key in need.shelf_keys {
                if !known.shelf_keys.contains(&key) {
                    known.shelf_keys.push(key);
                }
            }
            // A ring may stand in only where it suits every gland.
            known.suits.retain(|code| need.suits.contains(code));
        } else {
            self.needs.push(need);
        }
    }

    /// Takes what lies on the shelf off the needs, as the bag of a unit would: what expires first goes first, nothing whose
    /// life is over, and no piece twice. A ring is taken only in the polymer and hardness that the need names.
    pub fn take_shelf(&mut self, mut shelf: Vec<StockLot>, rule: LifeRule) {
        for need in &mut self.needs {
            need.take_shelf(&mut shelf, rule);
        }
    }
}

/// Says where a line belongs, as needs name their places.
pub(super) fn place_words(model: &str, line: &PartLine) -> String {
    let words = [
        model,
        line.section.as_str(),
        line.part.as_str(),
        line.position.as_str(),
    ];
    let words: Vec<&str> = words.into_iter().filter(|w| !w.is_empty()).collect();
    words.join(" ")
}

/// Makes a need of a line; `None` where its size is not decided. A person who tied an offer to a part that is no ring has decided
/// what it is.
fn need_of(place: String, line: &PartLine, tied: bool) -> Option<Need> {
    let size = &line.size;
    if !size.decided && (line.kind == PartKind::Ring || !tied) {
        return None;
    }
    let ring = match line.kind {
        PartKind::Ring => Some(NamedRing {
            code: size.codes.first().cloned(),
            size: size.nominal()?,
        }),
        _ => None,
    };
    let good = line
        .alternates
        .iter()
        .filter(|a| a.verdict == Some(Verdict::Good));
    let part = match &ring {
        Some(ring) => {
            let code = ring.code.clone().unwrap_or_default();
            let polymer = line.material.polymer.map_or("?", Polymer::letters);
            let hardness = line
                .material
                .hardness
                .map_or_else(|| "?".to_owned(), |h| h.to_string());
            format!("{code} {polymer} {hardness}")
        }
        None => format!("{} {}", line.part, size.measured).trim().to_owned(),
    };
    Some(Need {
        part,
        kind: line.kind,
        polymer: ring.as_ref().and(line.material.polymer),
        hardness: ring.as_ref().and(line.material.hardness),
        stated_polymer: line.material.polymer.filter(|_| ring.is_none()),
        lengths: if ring.is_some() {
            Vec::new()
        } else {
            size.lengths.clone()
        },
        ring,
        places: vec![place],
        pieces: line.quantity_total,
        spares: 0,
        from_stock: 0,
        bins: Vec::new(),
        expired: 0,
        shelf_keys: stock_key(line).into_iter().map(|(key, _)| key).collect(),
        rests_on: line.rests_on.clone(),
        suits: good.filter_map(|a| a.codes.first().cloned()).collect(),
    })
}

/// The most offers that are weighed for one need.
const MOST: u32 = 2000;

/// Lists the offers that fill a need, and counts those that may: rings of the size that do not say what they are made of, or
/// offers of the kind of part.
///
/// A part that is no ring is met by its kind and all its lengths, and by what a person tied to its place.
pub fn offers_for(
    book: &BookReader<'_>,
    need: &Need,
) -> Result<(Vec<StoredOffer>, usize), StoreError> {
    if let Some(ring) = &need.ring {
        let all = book.offers_in_window(window_of(ring.size), MOST)?;
        let told = |o: &StoredOffer| o.polymer.is_some() && o.hardness.is_some();
        let silent = all.iter().filter(|o| !told(o)).count();
        let suits = |o: &StoredOffer| {
            let hardness = need.hardness.is_some_and(|h| {
                o.hardness == Some(h.value) && o.scale.as_deref() == Some(h.scale.words())
            });
            o.polymer.is_some() && o.polymer == need.polymer && hardness
        };
        let mut offers: Vec<StoredOffer> = all.into_iter().filter(suits).collect();
        add_tied(book, need, &mut offers)?;
        return Ok((offers, silent));
    }
    let wanted: Vec<Length> = need.lengths.iter().map(|own| own.length).collect();
    let offers = book.offers_of_kind(need.kind.word(), MOST)?;
    let of_kind = offers.len();
    let fits = |offer: &StoredOffer| {
        let other = need
            .stated_polymer
            .zip(offer.polymer)
            .is_some_and(|(want, have)| want != have);
        !wanted.is_empty() && !other && has_lengths(&offer.lengths, &wanted)
    };
    let mut offers: Vec<StoredOffer> = offers.into_iter().filter(fits).collect();
    add_tied(book, need, &mut offers)?;
    Ok((offers, of_kind))
}

/// Adds the offers that a person tied to a place of the need; only where they are tied to each of its places.
fn add_tied(
    book: &BookReader<'_>,
    need: &Need,
    offers: &mut Vec<StoredOffer>,
) -> Result<(), StoreError> {
    let mut tied: Option<Vec<StoredOffer>> = None;
    for place in &need.places {
        let here = book.offers_tied_to(place)?;
        tied = Some(match tied {
            None => here,
            Some(before) => before
                .into_iter()
                .filter(|offer| here.iter().any(|one| one.id == offer.id))
                .collect(),
        });
    }
    let known = |offer: &StoredOffer| offers.iter().any(|one| one.id == offer.id);
    let new: Vec<StoredOffer> = tied
        .unwrap_or_default()
        .into_iter()
        .filter(|offer| !known(offer))
        .collect();
    offers.extend(new);
    Ok(())
}

/// Tells whether every wanted length is one of those that an offer names, in whatever order, each used once.
fn has_lengths(offered: &[Length], wanted: &[Length]) -> bool {
    let mut left: Vec<Length> = offered.to_vec();
    wanted.iter().all(|want| {
        let nearest = left
            .iter()
            .enumerate()
            .filter(|(_, have)| lengths_agree(*want, **have))
            .min_by_key(|(_, have)| (have.nm() - want.nm()).abs());
        let Some((at, _)) = nearest else { return false };
        left.swap_remove(at);
        true
    })
}
