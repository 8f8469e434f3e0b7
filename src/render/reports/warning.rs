//! The words of what is to be seen before a judged setting is relied on.

use super::setting::small;
use crate::core::gear::GearKind;
use crate::core::quantity::Spoken;
use crate::core::stage::{CreepWarning, SettingWarning};
use crate::render::fixed;

pub(super) fn words(warning: &SettingWarning, spoken: Spoken) -> String {
    match warning {
        SettingWarning::KindAssumed { judged_as } => format!(
            "the kind of gear is not stated, so it is judged as a {judged_as}; state another with --gear"
        ),
        SettingWarning::NoLimitsOfKind { gear } => no_limits(*gear),
        SettingWarning::NothingBounds { gear } => nothing_bounds(*gear),
        SettingWarning::NoSetPressure { gear } => format!(
            "a {gear} has no pressure to set: measure its cracking effort, and judge the stage before it by itself"
        ),
        SettingWarning::AnotherDesign { pointed } => format!(
            "the readings fall or rise with the supply as a stage of another design would ({}): other internals than \
                stated, a worn edge, or a misreading",
            pointed.word()
        ),
        SettingWarning::DesignUntold => {
            "these readings do not show the design: read again with supplies further apart (near full, and \
                nearly empty)".to_owned()
        }
        SettingWarning::OneSupply => {
            "one supply only: read at a high and a low supply; the difference shows the design and a worn seat".to_owned()
        }
        SettingWarning::LockUpUntimed => {
            "lock-up not timed: purge, and count until the needle stands still".to_owned()
        }
        SettingWarning::Creep(found) => creep(*found, spoken),
    }
}

fn creep(found: CreepWarning, spoken: Spoken) -> String {
    match found {
        CreepWarning::SeriesApart => {
            "the watched series is far from the readings and was left out: check its unit, or watch again".to_owned()
        }
        CreepWarning::Unwatched => {
            "creep not watched: read after 1, 5 and 15 minutes, overnight for gear from store".to_owned()
        }
        CreepWarning::Unlimited {
            rise_bar,
            watched_s,
        } => format!(
            "it moved by {} in {} min, and no limit for that is known here: compare it with the unit's papers",
            small(rise_bar, spoken),
            fixed(watched_s / 60.0, 1)
        ),
        CreepWarning::Creeps => {
            "it creeps: a dirty or ringed seat makes it creep and then free-flow; piston and spring hardly wear (common practice, no source)".to_owned()
        }
        CreepWarning::Falls => {
            "it falls: gas is lost downstream; look at hose, second stage and gauge before the seat".to_owned()
        }
    }
}

fn no_limits(gear: GearKind) -> String {
    let paper = gear.governed_by().map_or_else(
        || "the unit's papers govern it".to_owned(),
        |document| format!("{document} and the unit's papers govern it"),
    );
    format!(
        "no limits are known for gear of the kind \"{gear}\": only recorded ratings count; {paper}"
    )
}

fn nothing_bounds(gear: GearKind) -> String {
    format!(
        "nothing bounds the {}: no rating of a part downstream of the seat is recorded; read it off the unit and \
            give it, as --rated \"gauge 10 bar\"",
        gear.set_pressure()
    )
}
