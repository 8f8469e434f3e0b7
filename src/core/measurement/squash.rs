//! How much a measuring contact squashes a rubber section.

use crate::core::gland::{Modulus, lindley_factor};
use crate::core::quantity::{Force, Hardness, HardnessScale, Length};

/// A section pinched between two parallel faces.
///
/// The law is that of a ring squeezed between plates, taken for the length that the faces touch:
/// F = L d E (1.25 C^1.5 + 50 C^6), with C the squash as a share of the section d, L the length in contact and E the
/// modulus of Gent's law. Sources: Lindley 1967 and Gent 1958, both recalled. Measured forces are said to be higher than
/// Lindley's, so that the squash is the upper side of what happens; friction and the length next to the jaw are left out,
/// which makes it larger still.
///
/// ```
/// use ringwright::core::measurement::Pinch;
/// use ringwright::core::quantity::{Force, Hardness, Length};
/// let pinch = Pinch {
///     section: Length::from_mm(1.78).unwrap(),
///     contact: Length::from_mm(3.0).unwrap(),
///     hardness: Hardness::shore_a(70.0).unwrap(),
/// };
/// let squash = pinch.squash(Force::from_newtons(0.5).unwrap()).unwrap();
/// assert!((squash.mm() - 0.10).abs() < 0.005);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pinch {
    /// The section before it is touched.
    pub section: Length,
    /// Length of the section in contact: the width of a jaw, or the whole mean circumference.
    pub contact: Length,
    /// Hardness of the rubber, on the Shore A scale.
    pub hardness: Hardness,
}

/// Says why the squash of a section cannot be given.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SquashError {
    /// The hardness is on another scale, or outside the modulus law.
    #[error(
        "{0} is outside the hardness for which the modulus is known: write 20A to 95A (Shore A; no scale is turned into another)"
    )]
    Hardness(Hardness),
    /// Section or contact is no length.
    #[error("a section of {section} mm touched over {contact} mm cannot be: check the lengths")]
    NoContact {
        /// The section in millimetres.
        section: f64,
        /// The contact in millimetres.
        contact: f64,
    },
    /// The rubber gives way by more than the law covers.
    #[error(
        "rubber of {hardness} gives way by more than {} % of its section there: measure it by scan or loupe, which do not touch it", LARGEST_SHARE * 100.0
    )]
    TooSoft { hardness: Hardness },
}

/// Lindley's law is stated up to about this squeeze.
const LARGEST_SHARE: f64 = 0.3;
/// Halvings of the range 0 to 0.3: the squash is then known to far below a nanometre.
const HALVINGS: usize = 50;

impl Pinch {
    /// Returns how much smaller the section reads under a force.
    ///
    /// # Errors
    /// The hardness is unknown to the law, a length is missing, or the rubber gives way too much.
    pub fn squash(&self, force: Force) -> Result<Length, SquashError> {
        let factor = force.newtons().max(0.0) / self.stiffness()?;
        if factor > lindley_factor(LARGEST_SHARE) {
            return Err(SquashError::TooSoft {
                hardness: self.hardness,
            });
        }
        let (mut low, mut high) = (0.0, LARGEST_SHARE);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if lindley_factor(middle) < factor {
                low = middle;
            } else {
                high = middle;
            }
        }
        let share = 0.5 * (low + high);
        Ok(Length::from_mm(share * self.section.mm()).unwrap_or(Length::ZERO))
    }

    /// Returns the force under which the section reads smaller by `squash`.
    ///
    /// # Errors
    /// As [`squash`](Self::squash).
    pub fn force(&self, squash: Length) -> Result<Force, SquashError> {
        let stiffness = self.stiffness()?;
        let share = squash.mm() / self.section.mm();
        let too_soft = SquashError::TooSoft {
            hardness: self.hardness,
        };
        if share > LARGEST_SHARE {
            return Err(too_soft);
        }
        Force::from_newtons(stiffness * lindley_factor(share)).ok_or(too_soft)
    }

    /// Section × contact × modulus, in newtons.
    fn stiffness(&self) -> Result<f64, SquashError> {
        let (section, contact) = (self.section.mm(), self.contact.mm());
        if section <= 0.0 || contact <= 0.0 {
            return Err(SquashError::NoContact { section, contact });
        }
        if self.hardness.scale != HardnessScale::ShoreA {
            return Err(SquashError::Hardness(self.hardness));
        }
        let modulus =
            Modulus::of_shore_a(self.hardness.value).ok_or(SquashError::Hardness(self.hardness))?;
        Ok(section * contact * modulus.gent)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn squash(contact: f64, newtons: f64, shore: f64) -> f64 {
        let pinch = Pinch {
            section: Length::from_mm(1.78).expect("a length"),
            contact: Length::from_mm(contact).expect("a length"),
            hardness: Hardness::shore_a(shore).expect("a hardness"),
        };
        let force = Force::from_newtons(newtons).expect("a force");
        pinch.squash(force).expect("within the law").mm()
    }

    #[test]
    fn a_jaw_of_three_millimetres_squashes_a_small_section_by_the_worked_values() {
        // Worked for a 1.78 mm section in the notes on bench practice that the instrument table came from (line contact):
        // 0.5 N 0.10 mm at 70 Shore A and 0.04 at 90; 1 N 0.16 and 0.07. Half a printed digit is allowed.
        for (newtons, shore, printed) in [
            (0.5, 70.0, 0.10),
            (0.5, 90.0, 0.04),
            (1.0, 70.0, 0.16),
            (1.0, 90.0, 0.07),
        ] {
            let found = squash(3.0, newtons, shore);
            assert!(
                (found - printed).abs() <= 0.005,
                "{newtons} N {shore}: {found}"
            );
        }
    }

    #[test]
    fn the_same_force_over_a_whole_ring_hardly_squashes_it() {
        // The same notes: 0.5 N over a whole ring of 20 mm mean diameter reads 0.013 mm small at 70, 0.005 at 90.
        let round = 20.0 * std::f64::consts::PI;
        for (shore, printed) in [(70.0, 0.013), (90.0, 0.005)] {
            let found = squash(round, 0.5, shore);
            assert!((found - printed).abs() <= 0.0005, "{shore}: {found}");
        }
    }

    #[test]
    fn force_and_squash_undo_each_other() {
        let pinch = Pinch {
            section: Length::from_mm(3.53).expect("a length"),
            contact: Length::from_mm(3.0).expect("a length"),
            hardness: Hardness::shore_a(80.0).expect("a hardness"),
        };
        for newtons in [0.01, 0.3, 2.0, 10.0] {
            let force = Force::from_newtons(newtons).expect("a force");
            let back = pinch
                .force(pinch.squash(force).expect("within the law"))
                .expect("within the law");
            // A squash is kept to the nanometre, so that the smallest force comes back to about one part in a thousand.
            assert!((back.newtons() / newtons - 1.0).abs() < 1e-3, "{newtons}");
        }
    }

    #[test]
    fn what_the_law_does_not_cover_is_refused() {
        let pinch = |shore, scale| Pinch {
            section: Length::from_mm(1.78).expect("a length"),
            contact: Length::from_mm(3.0).expect("a length"),
            hardness: Hardness::new(shore, scale).expect("a hardness"),
        };
        let force = Force::from_newtons(5.0).expect("a force");
        let soft = pinch(30.0, HardnessScale::ShoreA).squash(force);
        assert!(matches!(soft, Err(SquashError::TooSoft { .. })));
        let other = pinch(70.0, HardnessScale::Irhd).squash(force);
        assert!(matches!(other, Err(SquashError::Hardness(_))));
        let hard = pinch(99.0, HardnessScale::ShoreA).squash(force);
        assert!(matches!(hard, Err(SquashError::Hardness(_))));
    }
}
