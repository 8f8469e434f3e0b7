//! Rings measured from the picture of a flatbed scanner: pixels in, rings out.
//!
//! What is seen is the silhouette of each ring at the equator of its tube. The paper that lies on the rings is found as the
//! commonest colour (`ground`); what it shows through is a `hole`; the surroundings of each hole are laid out along 720 rays
//! (`polar`), the edges are found roughly (`coarse`: the first rise of the light on the way out, since the shadow of the ring
//! on the paper lies outside its edge), then to a fraction of a point (`edge`: a blurred step, penumbra and shading apart), and
//! joined to outlines that nicks and neighbours do not move (`series`, `outline`). Diameters are lengths of outlines over pi, so that a bent ring
//! keeps its size (`ring`). Scanners with a lens over the bed see tubes aslant; how far the lens is shows in the rings (`lens`).
//!
//! Everything was worked out on simulated scans and 15 photographs, and never yet on a real scanner.
//!
//! Each figure has its own standard uncertainty. Errors of one page are one group: its scale and the look of its edges are
//! common to all of its rings, and to both diameters of each.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_possible_wrap,
    reason = "places between pixels are made whole numbers all the time; pictures are bounded far below these types"
)]

mod calibration;
mod coarse;
mod defect;
mod edge;
mod ground;
mod hole;
mod lens;
mod line;
mod outline;
mod page;
mod polar;
mod profile;
mod reading;
mod ring;
mod scale;
mod series;
mod trace;

pub use calibration::{Axis, AxisScale, CalibrationRefusal, Standard, calibrate, joined};
pub use defect::{Defect, DefectKind, DefectSide};
pub use page::Page;
pub use polar::NoRing;
pub use profile::ScannerProfile;
pub use reading::{PageReading, PageRefusal, RefusedPlace, read_page};
pub use ring::{Doubt, Measured, ScannedRing};
pub use scale::{Lens, Pitch, Scale, ScaleSource};
pub use series::Series;
