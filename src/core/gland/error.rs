//! Why a gland cannot be judged.

use super::spec::{GlandDimension, GlandKind};
use crate::core::quantity::Length;

/// Lists dimensions in words.
fn listed(dimensions: &[GlandDimension]) -> String {
    let words: Vec<&str> = dimensions.iter().map(|d| d.word()).collect();
    words.join(", ")
}

/// Says why the dimensions of a gland do not make one; each message names the dimension and the remedy.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum GlandError {
    /// A dimension that the kind needs was not given.
    #[error("a {} gland needs its {}: give {} ({})", kind.word(), dimension.word(), dimension.word(), dimension.meaning())]
    Missing {
        kind: GlandKind,
        dimension: GlandDimension,
    },
    /// A dimension that the kind does not have was given.
    #[error("a {} gland has no {}: it takes {}; leave it out, or choose another kind", kind.word(), dimension.word(), listed(kind.facts().dimensions))]
    Foreign {
        kind: GlandKind,
        dimension: GlandDimension,
    },
    /// Two diameters stand the wrong way round.
    #[error("the {} ({} mm) must be larger than the {} ({} mm), with their tolerances too: measure both again", greater.word(), greater_value.mm_rounded(), lesser.word(), lesser_value.mm_rounded())]
    Order {
        greater: GlandDimension,
        /// The least it can be.
        greater_value: Length,
        lesser: GlandDimension,
        /// The greatest it can be.
        lesser_value: Length,
    },
    /// A dimension that must have a size is zero.
    #[error("the {} is zero or may be zero within its tolerance: measure it again", dimension.word())]
    Zero { dimension: GlandDimension },
    /// Outer wall, inner wall and width of a face groove do not agree.
    #[error("outer {} mm and inner {} mm make a groove {} mm wide, but width {} mm was given: leave one of the three out, or measure again", outer.mm_rounded(), inner.mm_rounded(), between.mm_rounded(), width.mm_rounded())]
    Width {
        outer: Length,
        inner: Length,
        /// Half their difference.
        between: Length,
        width: Length,
    },
    /// An angle was given to a kind that has none, or is too steep.
    #[error("a {} gland takes {}, not {degrees} deg", kind.word(), takes)]
    Angle {
        kind: GlandKind,
        takes: &'static str,
        degrees: f64,
    },
    /// A radius does not go into its groove.
    #[error("a {} of {} mm does not go into this groove: it is rounder than it is deep or wide; measure again", dimension.word(), radius.mm_rounded())]
    TooRound {
        dimension: GlandDimension,
        /// Its greatest value.
        radius: Length,
    },
    #[error("mouth and chamfer say the same: leave one of the two out")]
    ChamferTwice,
    /// A cone that closes before its depth is reached.
    #[error("a cone that narrows from {} mm meets the neck of {} mm before it is {} mm deep: check mouth, neck, depth and angle", mouth.mm_rounded(), neck.mm_rounded(), depth.mm_rounded())]
    ConeCloses {
        /// Diameter at the face.
        mouth: Length,
        neck: Length,
        depth: Length,
    },
    /// A static kind was said to move.
    #[error("the ring of a {} gland is held still: leave duty out or write static", kind.word())]
    Still { kind: GlandKind },
    /// Back-up rings were named where none belongs, or too many.
    #[error("a groove holds back-up rings where the ring could be pressed into a gap (piston, rod, carrier), and at most {}: a {} gland takes none of these; leave them out", super::MOST_BACK_UPS, kind.word())]
    BackUps { kind: GlandKind },
    #[error("a groove {} mm wide has no room for a ring beside {back_ups} back-up ring(s): measure the width again, with all rings out of it", width.mm_rounded())]
    NoRoomBesideBackUps {
        /// The least width of the groove.
        width: Length,
        back_ups: u8,
    },
    /// The groove is too wide for its outer diameter.
    #[error("a groove {} mm wide does not go into a circle of {} mm: check outer and width", width.mm_rounded(), outer.mm_rounded())]
    NoInnerWall { outer: Length, width: Length },
}

impl GlandDimension {
    /// Says what is measured, where one word is not enough.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Bore => "diameter of the bore, as 25.40+0.05/-0 mm",
            Self::Groove => "diameter at the bottom of the groove, as 22.40±0.02 mm",
            Self::Piston => "diameter of the piston beside the groove",
            Self::Rod => "diameter of the rod",
            Self::Housing => "bore of the housing beside the groove",
            Self::Outer => {
                "outer diameter of the groove: pressure from inside presses the ring against it"
            }
            Self::Inner => {
                "inner diameter of the groove: pressure from outside presses the ring against it"
            }
            Self::Depth => "depth of the groove",
            Self::Width => "width of the groove",
            Self::Neck => {
                "diameter of the plug under its head, where the ring lies: the thread relief"
            }
            Self::Mouth => {
                "diameter of the chamfer or cone at the face, or chamfer (its leg) where the kind is crush"
            }
            Self::Chamfer => "radial leg of the chamfer",
            Self::Centre => "mean diameter of the groove",
            Self::Carrier => "diameter of the carrier beside the groove",
            Self::Radius => "radius of the corners at the bottom",
            Self::Lip => "radius of the lips at the mouth",
            Self::Runout => "total runout of the groove to its part",
        }
    }
}
