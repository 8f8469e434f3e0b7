//! The cautions that pages, rows, labels and sheets carry; each sentence stands here once.
//!
//! A report names the cautions that belong to it as [`Caution`]s; what shows a report takes their words from here, and JSON
//! holds them as these words. The facts are common practice of work on breathing gear, put into words for this program; none
//! of them replaces local codes or licensed practice. Which of them belong to a step of the work: [`Step`](super::stage::Step).

use serde::{Serialize, Serializer};

/// Ends a caution of a page with who decides and what comes first.
macro_rules! decided_by_people {
    ($words:literal) => {
        concat!(
            "Breathing gas is life support. ",
            $words,
            " A competent person decides; local codes and licensed practice come first."
        )
    };
}

/// Names a caution that a whole report, a row or a step carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Caution {
    /// Of a unit, a model or a list, and of every printed page.
    Standing,
    /// The same of gear that nobody breathes from.
    StandingOther,
    /// Of a ring that was named from readings.
    Named,
    /// Of a ring in a gland, its material and its care.
    Gland,
    /// Of a part in the place of another one.
    StandIn,
    /// Of a listed size beside the one that was asked for.
    NearSize,
    /// Of what a supplier offers.
    Offered,
    /// Of what lies on the shelf.
    Shelf,
    /// Of a thread that was named from readings.
    Thread,
    /// Of a part that is made because it cannot be bought.
    MadePart,
    /// Of a list with rings at high pressure.
    HighPressure,
    /// Of a list with sizes that are not settled.
    Undecided,
    /// Of a list with lines that rest on another shop's record.
    OtherShops,
    /// Of a row or a label, which leaves its page.
    Row,
    /// Of every step at which the work can hurt somebody.
    Step,
    /// Of taking apart: pressure that is left.
    Strip,
    /// Of taking apart: springs.
    Springs,
    /// Of cleaning.
    Clean,
    /// Of dressing a seat.
    Seat,
    /// Of greasing.
    Lubricate,
    /// Of loading a spring.
    SpringLoad,
    /// Of putting pressure on.
    Pressurise,
    /// Of changing the setting.
    Adjust,
    /// Of gas with more oxygen.
    Oxygen,
    /// Of giving breathing gear back.
    Release,
    /// Of the first use.
    FirstUse,
    /// Of giving other gear back.
    ReleaseOther,
}

impl Caution {
    /// Returns the words.
    #[allow(clippy::too_many_lines, reason = "a table of sentences")]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Standing => {
                "Breathing gas is life support. A rebuilt obsolete unit has no maker's approval; what stands here are estimates \
                 from measurement, not approvals. A competent person decides and signs; local codes and licensed practice come \
                 first."
            }
            Self::StandingOther => {
                "A rebuilt obsolete unit has no maker's approval; what stands here are estimates from measurement, not approvals. A \
                 competent person decides and signs; local codes and licensed practice come first."
            }
            Self::Named => decided_by_people!(
                "These odds come from measurements of a worn part and are no approval: check the ring in its gland."
            ),
            Self::Gland => {
                "Breathing gas is life support. A ring that fits its groove is not thereby safe at high pressure: hardness, gap, \
                 material and condition decide too. These are estimates from measurement, not approvals; a competent person \
                 decides, and local codes and licensed practice come first."
            }
            Self::StandIn => decided_by_people!(
                "A substitute is a proposal until it was tried in the unit; what sealed in one unit can fail in another."
            ),
            Self::NearSize => decided_by_people!(
                "A ring of a near size is another ring: check it in its gland before you use it."
            ),
            Self::Offered => decided_by_people!(
                "A list says what a part is sold as, and approves it for nothing: check size and material when it comes."
            ),
            Self::Shelf => decided_by_people!(
                "A bin says what was put into it, and approves it for nothing: look at size, material and age before it goes in."
            ),
            Self::Thread => decided_by_people!(
                "A near thread can be screwed in by hand and lets go under pressure: prove a thread with a gauge before anything is \
                 screwed into it."
            ),
            Self::MadePart => decided_by_people!(
                "A part made from this drawing is a new part that nobody has tried: its material must suit gas, pressure and duty, and \
                 it is tested in the unit before use."
            ),
            Self::HighPressure => {
                "A ring that fits its groove is not thereby safe at high pressure: hardness, gap and material decide too. A ring \
                 of the wrong hardness in a high-pressure place can blow out within one dive. Never fit a softer ring than the \
                 list names, and none from an unknown assortment."
            }
            Self::Undecided => {
                "Lines marked NOT DECIDED must not be ordered from this list: measure what they ask for first."
            }
            Self::OtherShops => {
                "Lines marked \"from\" rest on the record of another shop and not on units of yours: look at the part itself before you \
                 order or fit by them."
            }
            Self::Row => {
                "An estimate from measurement, not an approval; a competent person decides."
            }
            Self::Step => {
                "Local codes and licensed practice come first: where they say otherwise, do as they say, and leave to licensed \
                 hands what they reserve."
            }
            Self::Strip => {
                "Shut the supply, vent, and disconnect before a cap is loosened. A cap that turns harder than it should may still \
                 hold pressure behind a swollen seal: stop and vent again."
            }
            Self::Springs => {
                "Springs leave with force: wear glasses, hold a cloth over the opening, keep hold of the clip."
            }
            Self::Clean => {
                "Ventilate and wear gloves; keep acid off aluminium and plated parts (recalled); rinse until nothing is left."
            }
            Self::Seat => {
                "Dressing a seat or an edge moves its sealing circle, and with it the level and the supply effect (the force \
                 balance of `setting expect`): read again at two supplies afterwards."
            }
            Self::Lubricate => {
                "Grease sparingly. Silicone grease is for air alone, and swells silicone rubber (recalled); above the oxygen \
                 threshold take a halogenated grease rated for oxygen; never mineral oil, never spray."
            }
            Self::SpringLoad => {
                "A preloaded spring holds about 2 J (worked out for a common one: half of rate by travel squared), enough to \
                 blind an eye (recalled): wear glasses, and release it with the tool that holds it."
            }
            Self::Pressurise => {
                "Point it away, open the valve over several seconds (recalled) with a hand on it, have a relief valve or a second \
                 stage fitted, and protect the ears. Fast opening heats the gas."
            }
            Self::Adjust => {
                "Close the supply and vent before you change a shim or open the cap. After each change read at a high and a low \
                 supply, and after some twenty cycles (recalled) once more: new seats bed in."
            }
            Self::Oxygen => {
                "Clean and compatible, and kept so: one use on a dirty cylinder undoes it. Filling by partial pressure puts pure \
                 oxygen on the parts whatever the final mix."
            }
            Self::Release => {
                "Breathing gas is life support. A rebuilt obsolete unit has no maker's support and no present conformity; a \
                 competent person decides and signs, and local codes and licensed practice come first."
            }
            Self::FirstUse => {
                "First use is shallow, with somebody at hand, and by nobody but the person who answers for it."
            }
            Self::ReleaseOther => {
                "A rebuilt obsolete unit has no maker's support and no present conformity; a competent person decides and signs, \
                 and local codes and licensed practice come first."
            }
        }
    }
}

impl Caution {
    /// The point of the caution in a few words, for the one line under an answer on a screen.
    const fn point(self) -> &'static str {
        match self {
            Self::Standing | Self::StandingOther => "no maker's approval",
            Self::Named => "check the ring in its gland",
            Self::Gland => "a fit alone is not yet safe at pressure",
            Self::StandIn => "a substitute is a proposal until tried in the unit",
            Self::NearSize => "a near size is another ring",
            Self::Offered => "check size and material when it comes",
            Self::Shelf => "look at size, material and age",
            Self::Thread => "a near thread lets go under pressure",
            Self::MadePart => "a made part is untried",
            Self::HighPressure => "at high pressure fit no softer ring than the list names",
            Self::Undecided => "do not order lines marked NOT DECIDED",
            Self::OtherShops => "lines marked \"from\" rest on another shop's record",
            Self::Row => "an estimate, no approval",
            Self::Step => "leave to licensed hands what local codes reserve",
            Self::Strip => {
                "shut the supply and vent before a cap is loosened; stop where it turns hard"
            }
            Self::Springs => "springs leave with force, wear glasses",
            Self::Clean => "ventilate, wear gloves, rinse until nothing is left",
            Self::Seat => "a dressed seat moves the level: read at two supplies",
            Self::Lubricate => {
                "grease sparingly, silicone for air alone, never mineral oil or spray"
            }
            Self::SpringLoad => "a loaded spring can blind, wear glasses and hold it with its tool",
            Self::Pressurise => {
                "point it away, open the valve slowly, relief valve fitted, protect the ears"
            }
            Self::Adjust => "shut off and vent before you change a shim, then read at two supplies",
            Self::Oxygen => "keep every part clean for oxygen",
            Self::Release | Self::ReleaseOther => "no maker's support",
            Self::FirstUse => {
                "first use shallow, with somebody at hand, by the person who answers for it"
            }
        }
    }

    /// Tells whether the caution says that breathing gas is life support.
    const fn is_of_breathing(self) -> bool {
        matches!(
            self,
            Self::Standing
                | Self::Named
                | Self::Gland
                | Self::StandIn
                | Self::NearSize
                | Self::Offered
                | Self::Shelf
                | Self::Thread
                | Self::MadePart
                | Self::Release
                | Self::FirstUse
        )
    }
}

/// Says several cautions in one line; `--full`, JSON and every sheet say them whole.
pub fn in_short(cautions: &[Caution]) -> String {
    let mut points: Vec<&str> = Vec::new();
    for caution in cautions {
        if !points.contains(&caution.point()) {
            points.push(caution.point());
        }
    }
    let breathing = cautions.iter().any(|caution| caution.is_of_breathing());
    format!(
        "{}{}; a competent person decides, local codes first.",
        if breathing { "life support: " } else { "" },
        points.join("; ")
    )
}

impl Serialize for Caution {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.words())
    }
}

/// Points to see before an answer is relied on, and the cautions that stand on every such answer.
///
/// JSON has them as one list of sentences, the cautions last; a page shows them apart.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Warnings {
    /// Points that this answer alone has.
    pub points: Vec<String>,
    /// What stands on every answer of its kind.
    pub cautions: Vec<Caution>,
}

impl Warnings {
    /// Puts a caution after the points.
    pub fn new(points: Vec<String>, caution: Caution) -> Self {
        Self {
            points,
            cautions: vec![caution],
        }
    }
}

impl Serialize for Warnings {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let points = self.points.iter().map(String::as_str);
        let cautions = self.cautions.iter().map(|caution| caution.words());
        serializer.collect_seq(points.chain(cautions))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn warnings_are_one_list_of_sentences_the_caution_last() {
        let warnings = Warnings::new(vec!["measure again".to_owned()], Caution::Row);
        let json = serde_json::to_value(&warnings).expect("serializes");
        assert_eq!(
            json,
            serde_json::json!(["measure again", Caution::Row.words()])
        );
    }

    #[test]
    fn every_caution_of_a_page_says_what_is_at_stake_and_what_comes_first() {
        for caution in [
            Caution::Standing,
            Caution::Named,
            Caution::Gland,
            Caution::StandIn,
            Caution::NearSize,
            Caution::Offered,
            Caution::Shelf,
            Caution::Thread,
            Caution::MadePart,
        ] {
            let words = caution.words();
            assert!(
                words.starts_with("Breathing gas is life support."),
                "{words}"
            );
            assert!(
                words.ends_with("local codes and licensed practice come first."),
                "{words}"
            );
        }
    }
}
