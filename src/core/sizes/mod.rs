//! Listed ring sizes by family, the ways people write them, and the same ring in other families.

mod class_b;
mod class_b_formula;
mod equivalent;
mod nominal_size;
mod notation;
mod ring_size;
mod short_code;
mod standard;
mod table;

pub use class_b::{class_b_inside_diameter, class_b_section};
pub use equivalent::{Equivalent, NearGrade};
pub use nominal_size::NominalSize;
pub use notation::{
    Designated, DesignationError, DesignationReading, RingTextError, read_designation,
    read_one_ring,
};
pub(crate) use notation::{nominal_ring, number_series};
pub use ring_size::{RingSize, ToleranceBasis};
pub use short_code::ShortCode;
pub use standard::Standard;
pub use table::{ListedRing, SizeId, SizeTable};
