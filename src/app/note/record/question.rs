//! What is asked of a part when it comes off, always in the same order, and the cautions at that step.

use crate::core::gland::{Duty, GlandDimension, GlandKind};
use crate::core::note::{Entry, PartKind};
use Question as Q;

/// Names a question about a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Question {
    Position,
    OnePlace,
    Quantity,
    Turns,
    Side,
    Face,
    Orientation,
    Condition,
    Fate,
    Measures,
    Readings,
    Gland,
    Groove(GlandDimension),
    Duty,
    Pressure,
    Tool,
    Photo,
    Remark,
}

/// Every question with its word, in the order in which it is asked; the dimensions of a groove follow its kind.
const ORDER: [(Question, &str); 17] = [
    (Q::Position, "position"),
    (Q::OnePlace, "place"),
    (Q::Quantity, "quantity"),
    (Q::Turns, "turns"),
    (Q::Side, "side"),
    (Q::Face, "face"),
    (Q::Orientation, "orientation"),
    (Q::Condition, "condition"),
    (Q::Fate, "fate"),
    (Q::Measures, "measures"),
    (Q::Readings, "readings"),
    (Q::Gland, "gland"),
    (Q::Duty, "duty"),
    (Q::Pressure, "pressure"),
    (Q::Tool, "tool"),
    (Q::Photo, "photo"),
    (Q::Remark, "remark"),
];

impl Question {
    /// Returns the word by which a note that is not finished names the question.
    pub(super) fn word(self) -> &'static str {
        match self {
            Q::Groove(dimension) => dimension.word(),
            _ => ORDER
                .iter()
                .find(|(q, _)| *q == self)
                .map_or("", |(_, word)| word),
        }
    }

    /// Finds the question of a word.
    pub(super) fn from_word(word: &str) -> Option<Self> {
        let known = ORDER.iter().find(|(_, w)| *w == word).map(|(q, _)| *q);
        known.or_else(|| GlandDimension::from_word(word).map(Q::Groove))
    }

    /// Lists what is asked of a part, in order.
    pub(super) fn of(entry: &Entry) -> Vec<Self> {
        let mut all = Vec::new();
        for (question, _) in ORDER.iter().filter(|(q, _)| q.is_asked_of(entry)) {
            all.push(*question);
            if let (Q::Gland, Some(gland)) = (question, &entry.gland) {
                all.extend(gland.kind.measured().map(Q::Groove));
            }
        }
        all
    }

    fn is_asked_of(self, entry: &Entry) -> bool {
        use PartKind as K;
        let kind = entry.kind;
        let is_thin = matches!(kind, K::BackupRing | K::Shim | K::Washer);
        let is_threaded = matches!(
            kind,
            K::Screw | K::Nut | K::Plug | K::Cap | K::Yoke | K::Hose | K::Body
        );
        let has_face = matches!(
            kind,
            K::Seat | K::Filter | K::Diaphragm | K::Flap | K::Gasket
        );
        let is_ring = matches!(kind, K::Ring | K::QuadRing | K::SquareRing);
        match self {
            Q::Position | Q::OnePlace | Q::Quantity | Q::Fate | Q::Photo | Q::Remark => true,
            Q::Turns => is_threaded,
            Q::Side => is_thin,
            Q::Face => is_thin || has_face,
            Q::Orientation => !(is_thin || has_face || is_ring),
            Q::Condition | Q::Readings | Q::Gland => is_ring,
            Q::Measures => !(is_ring || is_threaded),
            Q::Groove(_) | Q::Duty | Q::Pressure => is_ring && entry.gland.is_some(),
            Q::Tool => !is_thin,
        }
    }

    /// Tells whether the answer stands on the line of the gland.
    pub(super) fn is_of_gland(self) -> bool {
        matches!(self, Q::Gland | Q::Groove(_) | Q::Duty | Q::Pressure)
    }

    /// Tells whether it is to be asked: of a part that is asked for anew everything is.
    pub(super) fn is_open(self, entry: &Entry, is_edited: bool) -> bool {
        is_edited || matches!(self, Q::Readings | Q::Remark) || !self.is_said(entry)
    }

    /// Tells whether the part answers the question.
    pub(super) fn is_said(self, entry: &Entry) -> bool {
        let gland = entry.gland.as_ref();
        match self {
            Q::OnePlace => false,
            Q::Turns => entry.turns.is_some() || entry.exposed.is_some(),
            Q::Side => entry.side.is_some(),
            Q::Face => entry.face.is_some(),
            Q::Orientation => entry.orientation.is_some(),
            Q::Quantity => entry.quantity > 1,
            Q::Position => !entry.position.is_empty(),
            Q::Tool => entry.tool.is_some(),
            Q::Photo => !entry.photos.is_empty(),
            Q::Fate => !entry.fate.word().is_empty(),
            Q::Condition => entry.condition.is_some(),
            Q::Measures => !(entry.dimensions.is_empty() && entry.readings.is_empty()),
            Q::Readings => !entry.readings.is_empty(),
            Q::Remark => !entry.remarks.is_empty(),
            Q::Gland => gland.is_some(),
            Q::Groove(dimension) => gland.is_some_and(|g| !g.lacks(dimension)),
            Q::Duty => gland.is_some_and(|g| g.duty.is_some()),
            Q::Pressure => gland.is_some_and(|g| g.pressure.is_some()),
        }
    }

    /// Asks it, with what Enter takes in brackets.
    pub(super) fn prompt(self, entry: &Entry, default: &str) -> String {
        let ask = match self {
            Q::Position => "where did it sit? (at, on, under, behind …)".to_owned(),
            Q::OnePlace => "is it the same place? y joins them".to_owned(),
            Q::Quantity => "how many came off together?".to_owned(),
            Q::Turns => {
                "count before you turn it: threads showing, or turns to take it out? (3 threads, 2 1/2 turns)".to_owned()
            }
            Q::Side => "which side of what did it lie on?".to_owned(),
            Q::Face => {
                "which face was down, or towards the gas? (worn face down, printed side up)"
                    .to_owned()
            }
            Q::Orientation => {
                "which way round did it sit? (close coils to the piston, sharp edge out)".to_owned()
            }
            Q::Condition => {
                "n new, u used, f rough (flattened, hard, swollen)?".to_owned()
            }
            Q::Fate => "r replace, k keep, i inspect?".to_owned(),
            Q::Measures => {
                format!("measured? (as: {}; several between ;)", measures(entry.kind))
            }
            Q::Readings => "its readings".to_owned(),
            Q::Gland => format!("which kind of groove held it? ({})", words(&GlandKind::ALL)),
            Q::Groove(dimension) => format!("its groove: {}?", dimension.meaning()),
            Q::Duty => format!("how do the parts move? ({})", words(&Duty::ALL)),
            Q::Pressure => {
                "greatest pressure that it holds? (200 bar, or 200 bar from inside)".to_owned()
            }
            Q::Tool => "which tool took it off? (= the same as last time)".to_owned(),
            Q::Photo => "name of the photo? (+ the next number)".to_owned(),
            Q::Remark => "anything else?".to_owned(),
        };
        format!("{}: {ask} [{default}]", entry.name)
    }

    /// What Enter takes.
    pub(super) fn default(self, kind: PartKind) -> Option<&'static str> {
        match self {
            Q::Quantity => Some("1"),
            Q::OnePlace => Some("no"),
            Q::Fate if kind.is_soft() => Some("replace"),
            Q::Fate => Some("keep"),
            Q::Condition => Some("used"),
            _ => None,
        }
    }
}

fn words<T>(all: &[(T, &'static str)]) -> String {
    let words: Vec<&str> = all.iter().map(|(_, word)| *word).collect();
    words.join(", ")
}

/// Says how a part of a kind is measured; the first word is what a bare number means.
pub(super) fn measures(kind: PartKind) -> &'static str {
    match kind {
        PartKind::Shim | PartKind::Washer => "thick 0.25",
        PartKind::Spring => "length 38 ; wire 3.2 ; od 22",
        PartKind::Piston => "edge 6.0",
        PartKind::BackupRing => "width 1.4 ; od 16.0",
        PartKind::Stem | PartKind::Lever => "length 30",
        _ => "od 12.9 ; thick 2.5",
    }
}

/// Short keys for the parts that come off most.
const KEYS: [(&str, &str); 12] = [
    ("o", "o-ring"),
    ("b", "back-up ring"),
    ("t", "seat"),
    ("f", "filter"),
    ("c", "clip"),
    ("s", "spring"),
    ("h", "shim"),
    ("w", "washer"),
    ("d", "diaphragm"),
    ("n", "nut"),
    ("p", "piston"),
    ("k", "cap"),
];

/// Writes out a short key at the start of a line: `h x2` is `shim x2`.
pub(super) fn written_out(line: &str) -> String {
    let (first, rest) = match line.find([' ', ';']) {
        Some(at) => line.split_at(at),
        None => (line, ""),
    };
    let found = KEYS.iter().find(|(key, _)| first.eq_ignore_ascii_case(key));
    found.map_or_else(|| line.to_owned(), |(_, name)| format!("{name}{rest}"))
}

/// Lists the words that are understood.
pub(super) fn help() -> Vec<String> {
    let keys: Vec<String> = KEYS.iter().map(|(k, name)| format!("{k} {name}")).collect();
    vec![
        "Enter     takes what stands in brackets, or leaves it out".to_owned(),
        "skip, -   leaves it out, whatever stands in brackets".to_owned(),
        "undo      takes back the last answer, again and again; redo gives it back".to_owned(),
        "edit 3    asks everything of part 3 anew; Enter keeps what was said".to_owned(),
        "edit gas air   writes a line of the head anew: model, unit, date, lengths, gas, …"
            .to_owned(),
        "list      the parts so far, with their numbers".to_owned(),
        "done      ends the part; between parts, ends the note".to_owned(),
        "quit      stops here; the same command goes on later".to_owned(),
        "[inlet]   between parts: begins another section".to_owned(),
        format!("parts     {}", keys[..6].join(", ")),
        format!("          {}", keys[6..].join(", ")),
        "          any other name; also: shim x2 ; keep ; thick 0.25".to_owned(),
    ]
}

/// Says what can hurt somebody when a part of this kind is loosened.
pub(super) fn caution(kind: PartKind) -> Option<&'static str> {
    use PartKind as K;
    match kind {
        K::Nut | K::Screw | K::Plug | K::Cap | K::Hose | K::Yoke | K::Body => Some(
            "be sure that no pressure is behind it. If it turns harder than it should, stop and vent again: a swollen seal can hold pressure. A spring may push it off; wear eye protection.",
        ),
        K::Spring | K::Clip | K::Lever => Some(
            "it may be under load and can reach an eye: wear eye protection, lay a cloth over it, keep hold of it, and let the load off slowly.",
        ),
        K::Gasket => Some(
            "an old gasket may hold asbestos: raise no dust, and follow your local code and licensed practice.",
        ),
        _ => None,
    }
}
