//! Fills the bag of one unit from the shelf: what goes into it, position by position, from which lot.

use super::add::shown;
use super::shelf::StockLine;
use crate::app::model::parts_list::{PartsQuestion, parts_list};
use crate::core::book::{
    LifeRule, LotLife, MeasuredName, PartAction, PartLine, StockKey, StockLot, WantedMaterial, pick,
};
use crate::core::caution::Caution;
use crate::core::count::counted;
use crate::core::elastomer::{Quarter, ShelfLifeSystem};
use crate::core::note::PartKind;
use crate::core::sizes::SizeTable;
use crate::core::supply::NamedRing;
use crate::store::{Book, BookPlace, BookReader, StockLotId, StoreError, StoredLot};
use serde::Serialize;

/// Says for which unit a bag is filled.
#[derive(Debug, Clone)]
pub struct KitQuestion {
    /// The model, and by which rules its parts are chosen.
    pub parts: PartsQuestion,
    /// The unit; named on the bag and in the movements.
    pub unit: String,
    /// Whether the parts are taken from the shelf; else it is only said what would be.
    pub take: bool,
    pub rule: LifeRule,
    /// The moment, ISO 8601.
    pub made_at: String,
}

/// The bag of one unit.
#[derive(Debug, Clone, Serialize)]
pub struct Kit {
    pub model: String,
    pub unit: String,
    /// The system by which lives are counted.
    pub system: ShelfLifeSystem,
    /// What goes in, in the order of the parts list.
    pub lines: Vec<KitLine>,
    /// Whether every line is filled.
    pub complete: bool,
    /// Whether what is there was taken from the shelf.
    pub taken: bool,
    /// The quarter in which the first of its parts expires: the bag is as old as its oldest member.
    pub use_before: Option<Quarter>,
    /// Whether some part's life cannot be told.
    pub undated: bool,
    /// The bag's label, line by line.
    pub label: Vec<String>,
    /// Cautions of the parts list.
    pub cautions: Vec<Caution>,
}

/// What goes into one position.
#[derive(Debug, Clone, Serialize)]
pub struct KitLine {
    /// Number in the parts list.
    pub number: usize,
    /// Section of the unit.
    pub section: String,
    /// Where it sits.
    pub position: String,
    pub part: String,
    /// Its size as it is kept on the shelf.
    pub size: String,
    pub quantity: u32,
    /// From which lots.
    pub from: Vec<KitPart>,
    /// How many are lacking.
    pub short: u32,
    /// How many were passed over because their life is over.
    #[serde(skip)]
    expired: u32,
    /// Why, where it is not filled.
    pub why: String,
    /// Other shops whose records the line rests on.
    pub rests_on: Vec<String>,
}

/// What is taken of one lot.
#[derive(Debug, Clone, Serialize)]
pub struct KitPart {
    pub quantity: u32,
    /// Whether they lie in the bag already.
    pub bagged: bool,
    /// The lot's row.
    #[serde(skip)]
    id: StockLotId,
    /// The lot; `on_hand` is what is left.
    #[serde(flatten)]
    pub line: StockLine,
}

/// Fills the bag of one unit: what was taken for it before counts, and the rest comes from the shelf, as far as it is there.
///
/// # Errors
/// Fails where the book cannot be used.
pub fn stock_kit(place: &BookPlace, question: &KitQuestion) -> Result<Kit, StoreError> {
    let report = parts_list(place, &question.parts)?;
    let lines = if question.take {
        let mut book = Book::open_to_write(place)?;
        book.write(|book| {
            let (lines, moves) = filled(book, &report.list.lines, question)?;
            for (lot, quantity) in moves {
                let gone = -i64::from(quantity);
                book.move_stock(lot, gone, &question.unit, &question.made_at)?;
            }
            Ok::<_, StoreError>(lines)
        })?
    } else {
        let mut book = Book::open_to_read(place)?;
        book.read(|book| filled(book, &report.list.lines, question))?
            .0
    };
    let undated = parts_of(&lines).any(|part| part.line.life == LotLife::Unknown);
    let mut kit = Kit {
        model: report.list.model.to_string(),
        unit: question.unit.clone(),
        system: question.rule.system,
        complete: !lines.is_empty() && lines.iter().all(|line| line.short == 0),
        taken: question.take,
        use_before: use_before(&lines),
        undated,
        label: Vec::new(),
        cautions: report.cautions,
        lines,
    };
    kit.label = label(&kit, question);
    Ok(kit)
}

fn parts_of(lines: &[KitLine]) -> impl Iterator<Item = &KitPart> {
    lines.iter().flat_map(|line| &line.from)
}

fn use_before(lines: &[KitLine]) -> Option<Quarter> {
    let ends = parts_of(lines).filter_map(|part| match part.line.life {
        LotLife::Ends { quarter, .. } => Some(quarter),
        LotLife::Unlimited | LotLife::Unknown => None,
    });
    ends.min()
}

/// Pieces of a lot that are to be moved from the shelf.
type Move = (StockLotId, u32);

/// Fills every line that gets a new part; returns what is to be moved from the shelf for it.
fn filled(
    book: &BookReader<'_>,
    lines: &[PartLine],
    question: &KitQuestion,
) -> Result<(Vec<KitLine>, Vec<Move>), StoreError> {
    let mut bag = book.bagged_lots(&question.unit)?;
    let mut shelf = book.stock_lots()?;
    let mut moves = Vec::new();
    let wanted = lines
        .iter()
        .filter(|line| line.action == PartAction::Replace);
    let filled = wanted.map(|line| {
        let mut filled = KitLine::of(line, &mut bag, question);
        if filled.short > 0 && filled.why.is_empty() {
            filled.fill(line, &mut shelf, question);
            let new = filled.from.iter().filter(|part| !part.bagged);
            moves.extend(new.map(|part| (part.id, part.quantity)));
            filled.tell_what_lacks(line);
        }
        filled
    });
    Ok((filled.collect(), moves))
}

/// Returns the material that a lot must be of to serve a line; any, where the part is no ring.
pub fn wanted_material(line: &PartLine) -> WantedMaterial {
    if line.kind == PartKind::Ring {
        WantedMaterial {
            polymer: line.material.polymer,
            hardness: line.material.hardness,
        }
    } else {
        WantedMaterial::default()
    }
}

impl KitLine {
    /// Makes a line of the bag from what lies in it already.
    fn of(line: &PartLine, bag: &mut [StoredLot], question: &KitQuestion) -> Self {
        let mut filled = Self {
            number: line.number,
            section: line.section.clone(),
            position: line.position.clone(),
            part: line.part.clone(),
            size: String::new(),
            quantity: line.quantity,
            from: Vec::new(),
            short: line.quantity,
            expired: 0,
            why: String::new(),
            rests_on: line.rests_on.clone(),
        };
        match stock_key(line) {
            Ok((_, shown)) => filled.size = shown,
            Err(why) => filled.why = why,
        }
        filled.fill(line, bag, question);
        for part in &mut filled.from {
            part.bagged = true;
        }
        filled
    }

    /// Names the lots of the bag that fill the line; `None` where they do not.
    pub fn bagged_lots(&self) -> Option<String> {
        let bagged = || self.from.iter().filter(|part| part.bagged);
        let held: u32 = bagged().map(|part| part.quantity).sum();
        let name = |part: &KitPart| match &part.line.lot.lot {
            Some(number) => number.clone(),
            None => format!("no lot number, bin {}", part.line.lot.bin),
        };
        let mut names: Vec<String> = bagged().map(name).collect();
        names.dedup();
        (held == self.quantity && held > 0).then(|| names.join(", "))
    }

    /// Takes what is still short from lots.
    fn fill(&mut self, line: &PartLine, lots: &mut [StoredLot], question: &KitQuestion) {
        let Ok((key, _)) = stock_key(line) else {
            return;
        };
        let shelf: Vec<StockLot> = lots.iter().map(|stored| stored.lot.clone()).collect();
        let rule = question.rule;
        let found = pick(&shelf, &key, wanted_material(line), self.short, rule);
        for part in &found.taken {
            let stored = &mut lots[part.lot];
            stored.lot.on_hand -= part.quantity;
            self.from.push(KitPart {
                quantity: part.quantity,
                bagged: false,
                id: stored.id,
                line: StockLine::of(&stored.lot, rule),
            });
        }
        self.short = found.short;
        self.expired = found.expired;
    }

    fn tell_what_lacks(&mut self, line: &PartLine) {
        if self.short == 0 {
            return;
        }
        let material = wanted_material(line);
        let mut asked = vec![self.size.clone()];
        asked.extend(material.polymer.map(|p| p.to_string()));
        asked.extend(material.hardness.map(|h| h.to_string()));
        self.why = format!("{} of {} not on the shelf", self.short, asked.join(" "));
        if self.expired > 0 {
            let over = format!("; {} there are past their life", self.expired);
            self.why.push_str(&over);
        }
    }
}

/// Says what a line of the parts list is called on the shelf.
///
/// # Errors
/// Says why it cannot be picked: its size is not decided.
pub fn stock_key(line: &PartLine) -> Result<(StockKey, String), String> {
    if line.kind == PartKind::Ring {
        if line.failed_itself().is_some() {
            return Err("the listed ring was tried and failed here: settle why first".to_owned());
        }
        if !line.size.decided {
            return Err("the size is not decided: measure first".to_owned());
        }
        let Some(size) = line.size.nominal() else {
            return Err("the size is not known: measure first".to_owned());
        };
        let code = line.size.codes.first();
        let listed = code.and_then(|code| SizeTable::shipped().find_code(code));
        let key = StockKey::Ring(listed.map_or(size, |id| NamedRing::listed(id).size));
        return Ok((key, code.cloned().unwrap_or_else(|| shown(size))));
    }
    let shown = format!("{} {}", line.part, line.size.measured)
        .trim()
        .to_owned();
    let name = MeasuredName::of_part(&line.part, &line.size.lengths);
    Ok((StockKey::Named(name), shown))
}

fn label(kit: &Kit, question: &KitQuestion) -> Vec<String> {
    let parts: u32 = parts_of(&kit.lines).map(|part| part.quantity).sum();
    let day = question.made_at.get(..10).unwrap_or_default();
    let mut label = vec![
        kit.model.clone(),
        format!("unit {}", kit.unit),
        format!("{}, bagged {day}", counted(parts as usize, "part", "parts")),
    ];
    if !kit.complete {
        label.push("NOT COMPLETE".to_owned());
    }
    if let Some(quarter) = kit.use_before {
        label.push(format!(
            "use before {quarter} ({}, oldest part in it)",
            kit.system.name()
        ));
    }
    if kit.undated {
        label.push("holds parts of unknown shelf life".to_owned());
    }
    label
}
