//! Grooves drawn in characters: what each length is.

use crate::core::gland::{GlandDimension, GlandKind};

const PISTON: &str = "\
 /////////////////////////////   bore: across the hole, wall to wall
 ########|         |##########   piston: across it, beside the groove
 ########|    O    |##########   groove: across it, at the bottom
 ########|_________|##########   width: wall to wall
 - - - - - - - - - - - - - - -   axis";
const ROD: &str = "\
 ########|---------|##########   groove: across it, at the bottom
 ########|    O    |##########   housing: across the hole, beside the groove
 ########|         |##########   width: wall to wall
 /////////////////////////////   rod: across it
 - - - - - - - - - - - - - - -   axis";
const FACE: &str = "\
 /////////////////////////////   the other face
 ###|  O  |#########|  O  |###   depth: from the face to the bottom
 ###|_____|#########|_____|###   width: wall to wall of the groove
    |     |< inner >|     |      inner: across, between the inner walls
    |<------ outer ------>|      outer: across, between the outer walls";
const CRUSH: &str = "\
 _____________________________   head of the plug
 ##\\  O  |         |  O  /####   mouth: across the chamfer, at the face
 ###\\____|         |____/#####   chamfer: its leg, along the face
 ########|         |##########   neck: across the plug, where the ring lies";
const DOVETAIL: &str = "\
 /////////////////////////////   the other face
 #########|     |#############   width: at the mouth, corner to corner
 ########/   O   \\############   depth: from the face to the bottom
 #######/_________\\###########   centre: across, from middle to middle";
const HALF_DOVETAIL: &str = "\
 /////////////////////////////   the other face
 #########|     |#############   width: at the mouth, corner to corner
 #########|  O   \\############   depth: from the face to the bottom
 #########|_______\\###########   centre: across, from middle to middle";
const PORT: &str = "\
 _____________________________   head of the plug
 ##\\  O  |         |  O  /####   mouth: across the cone, at the face
 ###\\    |         |    /#####   depth: of the cone, from the face
 ####\\___|         |___/######   neck: across the plug, where the ring lies";
const COUNTERBORE: &str = "\
 _____________________________   head of the plug
 ###|  O  |       |  O  |#####   outer: across the counterbore
 ###|_____|       |_____|#####   depth: from the face to the bottom
 #########|       |###########   neck: across the plug, where the ring lies";
/// Draws a groove with its lengths named; the one that is asked for stands in capitals.
pub fn groove_picture(kind: GlandKind, asked: GlandDimension) -> String {
    let picture = match kind {
        GlandKind::Piston | GlandKind::Carrier => PISTON,
        GlandKind::Rod => ROD,
        GlandKind::Face => FACE,
        GlandKind::Crush => CRUSH,
        GlandKind::Dovetail => DOVETAIL,
        GlandKind::HalfDovetail => HALF_DOVETAIL,
        GlandKind::Port => PORT,
        GlandKind::Counterbore => COUNTERBORE,
    };
    // What carries the groove has the name of its kind.
    let picture = match kind {
        GlandKind::Carrier => picture.replace("piston:", "carrier:"),
        _ => picture.to_owned(),
    };
    let name = format!("{}:", asked.word());
    format!("{}\n", picture.replace(&name, &name.to_uppercase()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_length_of_every_kind_is_named_and_stands_out_when_it_is_asked_for() {
        for (kind, word) in GlandKind::ALL {
            for asked in kind.measured() {
                let picture = groove_picture(kind, asked);
                let name = format!("{}:", asked.word().to_uppercase());
                assert_eq!(picture.matches(&name).count(), 1, "{word}\n{picture}");
                assert!(picture.lines().all(|line| line.chars().count() <= 80));
            }
        }
    }
}
