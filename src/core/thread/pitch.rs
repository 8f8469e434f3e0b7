//! A pitch as it was read: by a gauge, or by counting crests over a length.

use crate::core::quantity::{Dimension, LengthUnit, QuantityError, parse_dimension};
use crate::core::uncertainty::{log_sum_exp, normal_log_density};

/// A reading of a pitch with its doubt.
///
/// ```
/// use ringwright::core::thread::ThreadPitch;
/// let pitch = ThreadPitch::of_crests("10 over 25.4 mm", None).unwrap();
/// assert!((pitch.mm() - 2.54).abs() < 1e-9);
/// assert!((ThreadPitch::read("24 tpi", None).unwrap().mm() - 25.4 / 24.0).abs() < 1e-9);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreadPitch {
    mm: f64,
    sd_mm: f64,
    /// How many pitches were counted; `None` of a gauge.
    counted: Option<f64>,
}

/// Says why a text is no pitch.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PitchFault {
    /// A length in it cannot be read.
    #[error("{0}")]
    Length(QuantityError),
    /// The threads to the inch are no number above nought.
    #[error("{0:?} is not a number of threads to the inch: write it as \"24 tpi\"")]
    PerInch(String),
    /// The count of crests is missing.
    #[error(
        "{0:?} is not a count of crests: write how many pitches lie over a length, as \"10 over 25.4 mm\""
    )]
    Count(String),
    /// No thread has such a pitch.
    #[error(
        "a pitch of {0:.3} mm is none of a thread: from 0.1 to 10 mm are handled. Read it again"
    )]
    Beyond(f64),
}

const INCH_MM: f64 = 25.4;
/// A leaf of a pitch gauge that fits is right within this share; estimated, no source.
const GAUGE_SHARE: f64 = 0.01;
/// A length over crests is read to a tenth of a pitch and the mark of a caliper; estimated, no source.
const CREST_SHARE: f64 = 0.1;
const MARK_MM: f64 = 0.05;
/// How often both end crests are counted, so that there is one pitch less; estimated, no source.
const COUNTED_BOTH: f64 = 0.1;
const BELIEVED_MM: std::ops::RangeInclusive<f64> = 0.1..=10.0;
/// The word between a count and its length.
const OVER: &str = "over";
const PER_INCH: &str = "tpi";

impl ThreadPitch {
    /// Reads a pitch by gauge, `1.5 mm` or `24 tpi`; a stated ± is its doubt.
    pub fn read(text: &str, declared: Option<LengthUnit>) -> Result<Self, PitchFault> {
        let lower = text.trim().to_lowercase();
        if let Some(number) = lower.strip_suffix(PER_INCH) {
            let fault = || PitchFault::PerInch(text.to_owned());
            let count: f64 = number
                .trim()
                .replace(',', ".")
                .parse()
                .map_err(|_| fault())?;
            if count <= 0.0 || !count.is_finite() {
                return Err(fault());
            }
            return Self::new(INCH_MM / count, GAUGE_SHARE * INCH_MM / count, None);
        }
        let read = parse_dimension(text, declared).map_err(PitchFault::Length)?;
        let mm = read.value.nominal.mm();
        Self::new(mm, stated_sd(read.value).unwrap_or(GAUGE_SHARE * mm), None)
    }

    /// Reads a count of pitches over a length, `10 over 25.4 mm`; a stated ± is the doubt of the length.
    pub fn of_crests(text: &str, declared: Option<LengthUnit>) -> Result<Self, PitchFault> {
        let fault = || PitchFault::Count(text.to_owned());
        let lower = text.to_lowercase();
        let at = lower.find(OVER).ok_or_else(fault)?;
        let count: u32 = lower[..at].trim().parse().map_err(|_| fault())?;
        if count == 0 {
            return Err(fault());
        }
        let from = at + OVER.len();
        let read = parse_dimension(&lower[from..], declared)
            .map_err(|error| PitchFault::Length(error.shifted(from)))?;
        let count = f64::from(count);
        let mm = read.value.nominal.mm() / count;
        let length_sd = stated_sd(read.value).unwrap_or((CREST_SHARE * mm).hypot(MARK_MM));
        Self::new(mm, length_sd / count, Some(count))
    }

    fn new(mm: f64, sd_mm: f64, counted: Option<f64>) -> Result<Self, PitchFault> {
        if BELIEVED_MM.contains(&mm) {
            Ok(Self { mm, sd_mm, counted })
        } else {
            Err(PitchFault::Beyond(mm))
        }
    }

    /// Returns the pitch in millimetres.
    pub fn mm(self) -> f64 {
        self.mm
    }

    /// Returns its standard uncertainty in millimetres.
    pub fn sd_mm(self) -> f64 {
        self.sd_mm
    }

    /// Returns the logarithm of the density of this reading for a true pitch.
    pub(super) fn log_density(self, true_mm: f64) -> f64 {
        let variance = self.sd_mm * self.sd_mm;
        let plain = normal_log_density(self.mm - true_mm, variance);
        let Some(counted) = self.counted.filter(|counted| *counted > 1.0) else {
            return plain;
        };
        let one_less = true_mm * (counted - 1.0) / counted;
        let both = normal_log_density(self.mm - one_less, variance);
        log_sum_exp([
            libm::log1p(-COUNTED_BOTH) + plain,
            libm::log(COUNTED_BOTH) + both,
        ])
    }
}

/// Returns the standard uncertainty of a stated tolerance, its half over √3 (JCGM 100:2008, 4.3.7, recalled).
pub(super) fn stated_sd(value: Dimension) -> Option<f64> {
    let half = (value.greatest() - value.least()).mm() / 2.0;
    value.has_tolerance().then(|| half / libm::sqrt(3.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_pitch_is_told_with_its_remedy() {
        for text in ["0 tpi", "x tpi", "-3 tpi"] {
            let fault = ThreadPitch::read(text, None);
            assert_eq!(fault, Err(PitchFault::PerInch(text.to_owned())));
        }
        for text in ["25.4 mm", "ten over 25 mm", "0 over 9 mm"] {
            let fault = ThreadPitch::of_crests(text, None);
            assert_eq!(fault, Err(PitchFault::Count(text.to_owned())));
        }
        assert!(matches!(
            ThreadPitch::read("25 mm", None),
            Err(PitchFault::Beyond(_))
        ));
        assert!(matches!(
            ThreadPitch::of_crests("3 over 9", None),
            Err(PitchFault::Length(_))
        ));
    }

    #[test]
    fn a_stated_doubt_of_the_length_is_shared_by_the_pitches() {
        let pitch = ThreadPitch::of_crests("18 over 9.0±0.3 mm", None).expect("reads");
        assert!((pitch.mm() - 0.5).abs() < 1e-9);
        assert!((pitch.sd_mm() - 0.3 / libm::sqrt(3.0) / 18.0).abs() < 1e-9);
        // One crest too many is not ruled out, and less likely than a right count.
        let right = pitch.log_density(0.5);
        let both = pitch.log_density(0.5 * 18.0 / 17.0);
        assert!(right > both && both > pitch.log_density(0.6));
    }
}
