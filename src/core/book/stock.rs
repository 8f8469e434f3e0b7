//! What lies on the shelf: lots in bins, how long they last, and which goes out first.

use super::name::MeasuredName;
use crate::core::elastomer::{Polymer, Quarter, ShelfLife, ShelfLifeSystem};
use crate::core::quantity::Hardness;
use crate::core::sizes::NominalSize;
use serde::Serialize;

/// Says what a part is matched by.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum StockKey {
    /// A ring, by its dimensions.
    Ring(NominalSize),
    /// Any other part, by its name with its lengths.
    Named(MeasuredName),
}

impl StockKey {
    /// Tells whether both are one part.
    pub fn is_same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Named(a), Self::Named(b)) => a.is_same(b),
            (Self::Ring(a), Self::Ring(b)) => a == b,
            (Self::Named(_), Self::Ring(_)) | (Self::Ring(_), Self::Named(_)) => false,
        }
    }
}

/// One lot: one bin, one part, one material, one hardness, one lot number, one quarter of cure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StockLot {
    pub bin: String,
    /// The part as it is shown.
    pub part: String,
    /// What it is matched by.
    #[serde(skip)]
    pub key: StockKey,
    pub polymer: Option<Polymer>,
    pub hardness: Option<Hardness>,
    /// The maker's or supplier's lot number.
    pub lot: Option<String>,
    pub cured: Option<Quarter>,
    /// Who sold it.
    pub supplier: Option<String>,
    /// How many lie in the bin.
    pub on_hand: u32,
}

/// Says how long a lot may still be used by one published system.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case", tag = "life")]
pub enum LotLife {
    /// The first life ends on the first day of this quarter.
    Ends { quarter: Quarter, over: bool },
    /// The system sets no limit for the polymer.
    Unlimited,
    /// The polymer or the quarter of cure is not known, or the system does not name the polymer: nobody can tell.
    Unknown,
}

/// Says what of a bin is taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Picked {
    /// Place of the lot in the list.
    pub lot: usize,
    pub quantity: u32,
}

/// What can be taken for a need.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Pick {
    /// From which lots, the one that expires first first.
    pub taken: Vec<Picked>,
    /// How many are lacking.
    pub short: u32,
    /// How many were passed over because their life is over.
    pub expired: u32,
}

/// Says by which system shelf lives are counted, and up to when.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LifeRule {
    pub system: ShelfLifeSystem,
    pub now: Quarter,
}

/// Says what a need asks for beyond the part itself.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WantedMaterial {
    /// The polymer; `None` takes any.
    pub polymer: Option<Polymer>,
    /// The hardness; `None` takes any.
    pub hardness: Option<Hardness>,
}

/// Two hardnesses within the usual manufacturing tolerance are the same: ±5 points.
const HARDNESS_TOLERANCE: f64 = 5.0;

impl StockLot {
    /// Tells how long the lot may be used, by one system.
    pub fn life(&self, system: ShelfLifeSystem, now: Quarter) -> LotLife {
        let rule = self.polymer.and_then(|polymer| {
            let rules = ShelfLife::of(polymer);
            rules.into_iter().find(|rule| rule.system == system)
        });
        match (rule, self.cured) {
            (Some(rule), _) if rule.is_unlimited() => LotLife::Unlimited,
            (Some(rule), Some(cured)) => match rule.ends(cured) {
                Some(quarter) => LotLife::Ends {
                    quarter,
                    over: now >= quarter,
                },
                None => LotLife::Unlimited,
            },
            _ => LotLife::Unknown,
        }
    }

    /// Tells whether the lot is of the wanted material; a lot whose material is not known is not.
    pub fn suits(&self, wanted: WantedMaterial) -> bool {
        let hard = |wanted: Hardness| {
            self.hardness.is_some_and(|own| {
                own.scale == wanted.scale && (own.value - wanted.value).abs() <= HARDNESS_TOLERANCE
            })
        };
        wanted.polymer.is_none_or(|p| self.polymer == Some(p)) && wanted.hardness.is_none_or(hard)
    }
}

/// Takes a need out of lots: what expires first goes first, then what has no end, then what nobody can date; nothing whose
/// life is over.
///
/// Lots of equal life go out oldest cure first, then by bin, so that the answer is always the same.
pub fn pick(
    lots: &[StockLot],
    key: &StockKey,
    wanted: WantedMaterial,
    quantity: u32,
    rule: LifeRule,
) -> Pick {
    let mut order: Vec<(u8, Option<Quarter>, &str, usize)> = Vec::new();
    let mut expired = 0;
    for (at, lot) in lots.iter().enumerate() {
        if !lot.key.is_same(key) || !lot.suits(wanted) || lot.on_hand == 0 {
            continue;
        }
        match lot.life(rule.system, rule.now) {
            LotLife::Ends { over: true, .. } => expired += lot.on_hand,
            LotLife::Ends { quarter, .. } => order.push((0, Some(quarter), &lot.bin, at)),
            LotLife::Unlimited => order.push((1, lot.cured, &lot.bin, at)),
            LotLife::Unknown => order.push((2, lot.cured, &lot.bin, at)),
        }
    }
    order.sort();
    let (mut taken, mut short) = (Vec::new(), quantity);
    for (_, _, _, lot) in order {
        let from_it = short.min(lots[lot].on_hand);
        if from_it > 0 {
            short -= from_it;
            taken.push(Picked {
                lot,
                quantity: from_it,
            });
        }
    }
    Pick {
        taken,
        short,
        expired,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::quantity::Length;

    const NOW: Quarter = Quarter {
        year: 2026,
        quarter: 4,
    };

    fn lot(bin: &str, cured: &str, on_hand: u32) -> StockLot {
        StockLot {
            bin: bin.to_owned(),
            part: "AS568-012".to_owned(),
            key: key(),
            polymer: Some(Polymer::Nbr),
            hardness: Hardness::shore_a(70.0),
            lot: None,
            cured: Quarter::from_code(cured, 2026),
            supplier: None,
            on_hand,
        }
    }

    fn by(system: ShelfLifeSystem) -> LifeRule {
        LifeRule { system, now: NOW }
    }

    fn key() -> StockKey {
        StockKey::Ring(NominalSize {
            id: Length::from_nm(9_245_600),
            section: Length::from_nm(1_778_000),
        })
    }

    #[test]
    fn what_expires_first_goes_out_first_and_what_is_over_stays() {
        // ISO 2230:2002 gives nitrile 7 years: 2Q17 ended on 1 July 2024, 3Q20 ends on 1 October 2027, 1Q24 in 2031.
        let lots = [
            lot("C", "1Q24", 9),
            lot("B", "3Q20", 4),
            lot("A", "2Q17", 50),
        ];
        let any = WantedMaterial::default();
        let found = pick(&lots, &key(), any, 6, by(ShelfLifeSystem::Iso));
        let taken: Vec<_> = found.taken.iter().map(|p| (p.lot, p.quantity)).collect();
        assert_eq!(taken, [(1, 4), (0, 2)]);
        assert_eq!((found.short, found.expired), (0, 50));
        // SAE gives 15 years: the oldest is then still good, and goes first.
        let sae = pick(&lots, &key(), any, 6, by(ShelfLifeSystem::Sae));
        assert_eq!((sae.taken[0].lot, sae.expired), (2, 0));
    }

    #[test]
    fn another_hardness_or_polymer_is_another_part() {
        let lots = [lot("A", "1Q24", 9)];
        let wanted = |polymer, hardness| {
            let material = WantedMaterial {
                polymer: Some(polymer),
                hardness: Hardness::shore_a(hardness),
            };
            pick(&lots, &key(), material, 1, by(ShelfLifeSystem::Iso)).short
        };
        assert_eq!(wanted(Polymer::Nbr, 70.0), 0);
        assert_eq!(wanted(Polymer::Nbr, 90.0), 1);
        assert_eq!(wanted(Polymer::Fkm, 70.0), 1);
    }

    #[test]
    fn what_nobody_can_date_goes_last() {
        let mut undated = lot("A", "", 3);
        undated.cured = None;
        let lots = [undated, lot("B", "1Q24", 1)];
        let found = pick(
            &lots,
            &key(),
            WantedMaterial::default(),
            2,
            by(ShelfLifeSystem::Iso),
        );
        let taken: Vec<_> = found.taken.iter().map(|p| (p.lot, p.quantity)).collect();
        assert_eq!(taken, [(1, 1), (0, 1)]);
    }
}
