//! The columns of a note as a spreadsheet, one row a part.

use super::record::LengthName;
use super::vocabulary::{self, Context};
use crate::core::measurement::Measurand;
use crate::core::quantity::LengthUnit;

/// Names one column of the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Column {
    pub(super) holds: Holds,
    /// The unit of bare lengths in the column, from its name.
    pub(super) unit: Option<LengthUnit>,
}

/// Says what a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Holds {
    /// A line of the header.
    Header(&'static str),
    Section,
    Name,
    /// A field of the part.
    Part(&'static str),
    /// A field of its gland.
    Gland(&'static str),
}

/// The columns in the order in which they are written: name without unit, and what it holds. Lengths get `_mm` or `_in`
/// behind the name where the note declares a unit.
pub(super) const COLUMNS: [(&str, Holds); 81] = [
    ("maker", Holds::Header("maker")),
    ("model", Holds::Header("model")),
    ("unit", Holds::Header("unit")),
    ("gear", Holds::Header("gear")),
    ("variant", Holds::Header("variant")),
    ("made", Holds::Header("made")),
    ("date", Holds::Header("date")),
    ("by", Holds::Header("by")),
    ("owner", Holds::Header("owner")),
    ("purpose", Holds::Header("purpose")),
    ("gas", Holds::Header("gas")),
    ("oxygen", Holds::Header("oxygen")),
    ("supply", Holds::Header("supply")),
    ("rated", Holds::Header("rated")),
    ("connection", Holds::Header("connection")),
    ("found", Holds::Header("found")),
    ("unit_photo", Holds::Header("photo")),
    ("unit_remark", Holds::Header("remark")),
    ("section", Holds::Section),
    ("name", Holds::Name),
    ("quantity", Holds::Part("quantity")),
    ("kind", Holds::Part("kind")),
    ("position", Holds::Part("position")),
    ("fate", Holds::Part("fate")),
    ("condition", Holds::Part("condition")),
    ("size", Holds::Part("size")),
    ("drawer", Holds::Part("drawer")),
    ("scan", Holds::Part("scan")),
    ("id", Holds::Part("id")),
    ("od", Holds::Part("od")),
    ("cs", Holds::Part("cs")),
    ("width", Holds::Part("width")),
    ("cut", Holds::Part("cut")),
    ("mass", Holds::Part("mass")),
    ("thick", Holds::Part("thick")),
    ("length", Holds::Part("length")),
    ("height", Holds::Part("height")),
    ("depth", Holds::Part("depth")),
    ("wire", Holds::Part("wire")),
    ("edge", Holds::Part("edge")),
    ("hole", Holds::Part("hole")),
    ("flats", Holds::Part("flats")),
    ("polymer", Holds::Part("polymer")),
    ("hardness", Holds::Part("hardness")),
    ("material", Holds::Part("material")),
    ("gland", Holds::Part("gland")),
    ("gland_bore", Holds::Gland("bore")),
    ("gland_groove", Holds::Gland("groove")),
    ("gland_piston", Holds::Gland("piston")),
    ("gland_rod", Holds::Gland("rod")),
    ("gland_housing", Holds::Gland("housing")),
    ("gland_outer", Holds::Gland("outer")),
    ("gland_inner", Holds::Gland("inner")),
    ("gland_depth", Holds::Gland("depth")),
    ("gland_width", Holds::Gland("width")),
    ("gland_neck", Holds::Gland("neck")),
    ("gland_mouth", Holds::Gland("mouth")),
    ("gland_chamfer", Holds::Gland("chamfer")),
    ("gland_centre", Holds::Gland("centre")),
    ("gland_carrier", Holds::Gland("carrier")),
    ("gland_radius", Holds::Gland("radius")),
    ("gland_lip", Holds::Gland("lip")),
    ("gland_runout", Holds::Gland("runout")),
    ("gland_angle", Holds::Gland("angle")),
    ("gland_back_ups", Holds::Gland("back-ups")),
    ("gland_duty", Holds::Gland("duty")),
    ("gland_pressure", Holds::Gland("pressure")),
    ("gland_from", Holds::Gland("from")),
    ("tool", Holds::Part("tool")),
    ("torque", Holds::Part("torque")),
    ("turns", Holds::Part("turns")),
    ("thread", Holds::Part("thread")),
    ("exposed", Holds::Part("exposed")),
    ("orientation", Holds::Part("orientation")),
    ("side", Holds::Part("side")),
    ("face", Holds::Part("face")),
    ("colour", Holds::Part("colour")),
    ("marking", Holds::Part("marking")),
    ("photo", Holds::Part("photo")),
    ("remark", Holds::Part("remark")),
    ("lengths", Holds::Header("lengths")),
];

impl Holds {
    /// Tells whether the column holds lengths, so that its name carries their unit.
    pub(super) fn is_length(self) -> bool {
        match self {
            Self::Part("mass") => false,
            Self::Part(key) => {
                Measurand::from_word(key).is_some() || LengthName::from_word(key).is_some()
            }
            Self::Gland(key) => !matches!(key, "angle" | "back-ups" | "duty" | "pressure" | "from"),
            _ => false,
        }
    }
}

impl Column {
    /// Finds the column of a head such as `od_mm`, `OD (mm)`, `part`, `gland width in`.
    pub(super) fn of_head(head: &str) -> Option<Self> {
        let lower = head.to_lowercase().replace(['(', ')', '[', ']'], " ");
        let words: Vec<&str> = lower.split([' ', '_']).filter(|w| !w.is_empty()).collect();
        let unit = words.last().and_then(|word| LengthUnit::from_word(word));
        let unit = unit.filter(|_| words.len() > 1);
        let named = &words[..words.len() - usize::from(unit.is_some())];
        let holds = holds_of(&named.join("_"), &named.join(" "))?;
        (unit.is_none() || holds.is_length()).then_some(Self { holds, unit })
    }
}

fn holds_of(name: &str, spelled: &str) -> Option<Holds> {
    if let Some((_, holds)) = COLUMNS.iter().find(|(column, _)| *column == name) {
        return Some(*holds);
    }
    if name == "part" {
        return Some(Holds::Name);
    }
    if let Some(dimension) = spelled.strip_prefix("gland ") {
        return vocabulary::whole(Context::Gland, dimension)
            .filter(|key| *key != "remark")
            .map(Holds::Gland);
    }
    vocabulary::whole(Context::Part, spelled)
        .map(Holds::Part)
        .or_else(|| vocabulary::whole(Context::Header, spelled).map(Holds::Header))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_column_reads_back_and_every_key_has_one() {
        for (name, holds) in COLUMNS {
            assert_eq!(Column::of_head(name), Some(Column { holds, unit: None }));
            if holds.is_length() {
                let head = format!("{name}_mm");
                assert_eq!(
                    Column::of_head(&head).and_then(|c| c.unit),
                    Some(LengthUnit::Mm)
                );
            }
        }
        let has = |holds: Holds| COLUMNS.iter().any(|(_, h)| *h == holds);
        for key in vocabulary::keys(Context::Header) {
            assert!(has(Holds::Header(key)), "{key}");
        }
        for key in vocabulary::keys(Context::Part) {
            assert!(has(Holds::Part(key)), "{key}");
        }
        for key in vocabulary::keys(Context::Gland)
            .into_iter()
            .filter(|k| *k != "remark")
        {
            assert!(has(Holds::Gland(key)), "{key}");
        }
    }

    #[test]
    fn heads_are_read_as_people_write_them() {
        let holds = |head: &str| Column::of_head(head).map(|c| (c.holds, c.unit));
        assert_eq!(
            holds("OD (mm)"),
            Some((Holds::Part("od"), Some(LengthUnit::Mm)))
        );
        assert_eq!(holds("Serial number"), Some((Holds::Header("unit"), None)));
        assert_eq!(
            holds("gland width in"),
            Some((Holds::Gland("width"), Some(LengthUnit::In)))
        );
        assert_eq!(holds("section"), Some((Holds::Section, None)));
        assert_eq!(holds("model_mm"), None);
        assert_eq!(holds("banana"), None);
        assert_eq!(holds(""), None);
    }
}
