//! Which way round a part sits, read from the words of a note.

use serde::Serialize;

/// Says which way round a part sits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Facing {
    /// The face that is named lies up.
    Up,
    /// It lies down.
    Down,
    /// It, or a lip, points towards the pressure.
    ToPressure,
    /// It points away from the pressure.
    FromPressure,
    /// It lies on the side of high pressure.
    HighSide,
    /// It lies on the side of low pressure.
    LowSide,
}

impl Facing {
    /// Reads the words of a note, such as `flat side up`, `lip towards pressure` or `low pressure side`; `None` where they say
    /// none of these, or more than one, or deny one.
    pub fn of(words: &str) -> Option<Self> {
        let lower = words.to_lowercase();
        let words: Vec<&str> = lower
            .split(|c: char| !c.is_alphabetic())
            .filter(|word| !word.is_empty())
            .collect();
        let has = |known: &[&str]| words.iter().any(|word| known.contains(word));
        let pressure_is = |known: &str| words.windows(2).any(|pair| pair == [known, "pressure"]);
        let points = |known: &[&str]| has(&["pressure"]) && has(known);
        let ways = [
            (Self::LowSide, pressure_is("low")),
            (Self::HighSide, pressure_is("high")),
            (
                Self::ToPressure,
                points(&["to", "towards", "toward", "facing"]),
            ),
            (Self::FromPressure, points(&["away", "from"])),
            (Self::Up, has(&["up", "upwards", "upward"])),
            (Self::Down, has(&["down", "downwards", "downward"])),
        ];
        let said = ways.into_iter().filter(|(_, said)| *said);
        let mut said = said.map(|(facing, _)| facing);
        let first = said.next()?;
        (said.next().is_none() && !has(&["not", "no", "either", "both"])).then_some(first)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_that_say_one_way_round_are_read_and_others_are_not() {
        for (words, facing) in [
            ("flat side up", Some(Facing::Up)),
            ("lip towards pressure", Some(Facing::ToPressure)),
            ("lip away from the pressure", Some(Facing::FromPressure)),
            ("low pressure side", Some(Facing::LowSide)),
            ("chamfer down", Some(Facing::Down)),
            ("flat side not up", None),
            ("up or down", None),
            ("towards the low pressure side", None),
            ("cupped", None),
        ] {
            assert_eq!(Facing::of(words), facing, "{words}");
        }
    }
}
