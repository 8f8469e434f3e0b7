//! What is asked of each kind of part when it comes off, and the cautions at that step.

use crate::core::note::{Entry, PartKind};

/// Names a question about a part; what is lost once the part has moved is asked first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Question {
    Turns,
    Side,
    Face,
    Orientation,
    Quantity,
    Position,
    Tool,
    Photo,
    Fate,
    Condition,
    Measures,
    Readings,
    Gland,
    Remark,
}

use Question as Q;

impl Question {
    const ALL: [(Self, &'static str); 14] = [
        (Q::Turns, "turns"),
        (Q::Side, "side"),
        (Q::Face, "face"),
        (Q::Orientation, "orientation"),
        (Q::Quantity, "quantity"),
        (Q::Position, "position"),
        (Q::Tool, "tool"),
        (Q::Photo, "photo"),
        (Q::Fate, "fate"),
        (Q::Condition, "condition"),
        (Q::Measures, "measures"),
        (Q::Readings, "readings"),
        (Q::Gland, "gland"),
        (Q::Remark, "remark"),
    ];

    pub(super) fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(q, _)| *q == self)
            .map_or("", |(_, word)| word)
    }

    pub(super) fn from_word(word: &str) -> Option<Self> {
        Self::ALL.iter().find(|(_, w)| *w == word).map(|(q, _)| *q)
    }

    /// Lists what is asked of a kind, in order.
    pub(super) fn of(kind: PartKind) -> &'static [Self] {
        use PartKind as K;
        match kind {
            K::Ring | K::QuadRing | K::SquareRing => &[
                Q::Position,
                Q::Tool,
                Q::Photo,
                Q::Fate,
                Q::Condition,
                Q::Readings,
                Q::Gland,
                Q::Remark,
            ],
            K::BackupRing | K::Shim | K::Washer => &[
                Q::Quantity,
                Q::Side,
                Q::Face,
                Q::Position,
                Q::Photo,
                Q::Fate,
                Q::Measures,
                Q::Remark,
            ],
            K::Seat | K::Filter | K::Diaphragm | K::Flap | K::Gasket => &[
                Q::Face,
                Q::Position,
                Q::Tool,
                Q::Photo,
                Q::Fate,
                Q::Measures,
                Q::Remark,
            ],
            K::Spring | K::Clip | K::Piston | K::Stem | K::Lever | K::Other => &[
                Q::Orientation,
                Q::Position,
                Q::Tool,
                Q::Photo,
                Q::Fate,
                Q::Measures,
                Q::Remark,
            ],
            K::Screw | K::Nut | K::Plug | K::Cap | K::Yoke | K::Hose | K::Body => &[
                Q::Turns,
                Q::Quantity,
                Q::Orientation,
                Q::Tool,
                Q::Photo,
                Q::Fate,
                Q::Remark,
            ],
        }
    }

    /// Tells whether the part answers the question already.
    pub(super) fn is_answered(self, entry: &Entry) -> bool {
        match self {
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
            Q::Readings | Q::Remark => false,
            Q::Gland => entry.gland.is_some(),
        }
    }

    /// Asks it, with what Enter takes in brackets.
    pub(super) fn prompt(self, entry: &Entry) -> String {
        let name = &entry.name;
        let ask = match self {
            Q::Turns => {
                "count before you turn it: threads showing, or turns to take it out? (3 threads, 2 1/2 turns)"
            }
            Q::Side => "which side of what did it lie on?",
            Q::Face => "which face was down, or towards the gas? (worn face down, printed side up)",
            Q::Orientation => {
                "which way round did it sit? (close coils to the piston, sharp edge out)"
            }
            Q::Quantity => "how many came off together?",
            Q::Position => "where did it sit? (at, on, under, behind …)",
            Q::Tool => "which tool took it off? (= the same as last time)",
            Q::Photo => "name of the photo? (+ the next number)",
            Q::Fate => "r replace, k keep, i inspect?",
            Q::Condition => "n new, u used, f rough (flattened, hard, swollen)?",
            Q::Measures => {
                return format!(
                    "{name}: measured? (as: {}; several between ;) [leave out]",
                    measures(entry.kind)
                );
            }
            Q::Readings => "its readings",
            Q::Gland => {
                "its groove? (as: piston ; bore 30.0 ; groove 25.4 ; width 3.6 ; static ; pressure 10 bar)"
            }
            Q::Remark => "anything else?",
        };
        let default = self.default(entry.kind).unwrap_or("leave out");
        format!("{name}: {ask} [{default}]")
    }

    /// What Enter takes.
    pub(super) fn default(self, kind: PartKind) -> Option<&'static str> {
        match self {
            Q::Quantity => Some("1"),
            Q::Fate if kind.is_soft() => Some("replace"),
            Q::Fate => Some("keep"),
            Q::Condition => Some("used"),
            _ => None,
        }
    }
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
        "-         leaves it out, whatever stands in brackets".to_owned(),
        "undo      takes back the last answer; between parts, the last part".to_owned(),
        "done      ends the part; between parts, ends the note".to_owned(),
        "quit      stops here; the same command goes on later".to_owned(),
        "list      between parts: the parts so far".to_owned(),
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
