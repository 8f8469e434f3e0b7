//! Springs: the rate from two points, from wire and coils, or from the unit itself; coil bind; preload.

use super::balance::Balance;
use crate::core::quantity::{Force, Length, as_mm};
use crate::core::word::words;
use serde::{Deserialize, Serialize};

/// A spring rate with its doubt.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Rate {
    /// Newtons a millimetre.
    pub n_per_mm: f64,
    /// Standard uncertainty.
    pub sd_n_per_mm: f64,
}

impl Rate {
    /// Returns pounds-force an inch.
    pub fn lbf_per_in(&self) -> f64 {
        self.n_per_mm * MM_PER_INCH / crate::core::quantity::NEWTON_PER_LBF
    }
}

const MM_PER_INCH: f64 = 25.4;
const MPA_PER_GPA: f64 = 1e3;

/// A force at a length of the spring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForcePoint {
    pub force: Force,
    /// The length under it.
    pub length: Length,
}

/// Says why a spring cannot be worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum SpringFault {
    /// Both points have one length.
    #[error("both points have the same length: press the spring further for the second")]
    SameLength,
    /// The greater force goes with the longer spring.
    #[error(
        "the greater force goes with the longer spring: a compression spring shortens; check the points"
    )]
    Reversed,
    /// The wire is not thinner than half the outside diameter.
    #[error(
        "wire and outside diameter do not make a coil: the mean diameter must be at least twice the wire"
    )]
    NoCoil,
    /// Fewer than one active coil.
    #[error(
        "fewer than one active coil is left: count the coils again (closed ends take two off the total)"
    )]
    NoActiveCoils,
    /// The shim changed nothing.
    #[error(
        "the two settings are equal in thickness or in pressure: a rate needs a change of both"
    )]
    NoChange,
}

/// Works the rate out from two points: `k = (F2 − F1)/(L1 − L2)`.
///
/// The standard uncertainties of one force and one length are given; they add as `u²(k)/k² = 2u²(F)/ΔF² + 2u²(L)/ΔL²`.
///
/// # Errors
/// Points of one length, or a force that falls as the spring shortens.
pub fn rate_from_points(
    points: [ForcePoint; 2],
    force_sd: Force,
    length_sd: Length,
) -> Result<Rate, SpringFault> {
    let [a, b] = points;
    let travel = a.length.mm() - b.length.mm();
    let rise = b.force.newtons() - a.force.newtons();
    if travel == 0.0 {
        return Err(SpringFault::SameLength);
    }
    let rate = rise / travel;
    if rate <= 0.0 {
        return Err(SpringFault::Reversed);
    }
    let relative =
        std::f64::consts::SQRT_2 * libm::hypot(force_sd.newtons() / rise, length_sd.mm() / travel);
    Ok(Rate {
        n_per_mm: rate,
        sd_n_per_mm: rate * relative.abs(),
    })
}

/// Names how the ends of a spring are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum CoilEnds {
    /// Closed and ground flat: two coils do not work.
    #[serde(rename = "closed and ground")]
    ClosedGround,
    /// Closed, not ground: two coils do not work, and the wire's end adds one thickness.
    #[serde(rename = "closed")]
    Closed,
    /// Plain: every coil works.
    #[serde(rename = "plain")]
    Plain,
}

words!(CoilEnds {
    ClosedGround => "closed-ground",
    Closed => "closed",
    Plain => "plain",
});

/// The shape of a spring as measured.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SpringShape {
    #[serde(rename = "wire_mm", serialize_with = "as_mm")]
    pub wire: Length,
    /// Standard uncertainty of the wire; a micrometer reads to about 0.005 mm.
    #[serde(rename = "wire_sd_mm", serialize_with = "as_mm")]
    pub wire_sd: Length,
    /// Outside diameter of the coil.
    #[serde(rename = "od_mm", serialize_with = "as_mm")]
    pub od: Length,
    /// Coils in all.
    pub total_coils: f64,
    pub ends: CoilEnds,
}

/// Standard uncertainty of the count of active coils (a quarter coil as the greatest error, uniform).
const COILS_SD: f64 = 0.25 / 1.732_050_807_568_877_2;
/// Standard uncertainty of an outside diameter by caliper, in millimetres (recalled).
const OD_SD_MM: f64 = 0.02;

impl SpringShape {
    /// Returns the coils that work.
    pub fn active_coils(&self) -> f64 {
        match self.ends {
            CoilEnds::ClosedGround | CoilEnds::Closed => self.total_coils - 2.0,
            CoilEnds::Plain => self.total_coils,
        }
    }

    /// Returns the length at which the coils touch: coils times wire, one wire more where an end is not ground.
    pub fn solid_mm(&self) -> f64 {
        let ends = match self.ends {
            CoilEnds::ClosedGround => 0.0,
            CoilEnds::Closed | CoilEnds::Plain => 1.0,
        };
        (self.total_coils + ends) * self.wire.mm()
    }

    /// Works the rate out from the shape: `k = G d⁴/(8 D³ n)`, `D = OD − d`.
    ///
    /// Torsion of the wire: the torque `F D/2` twists the length `π D n` by `T L/(G J)` with `J = π d⁴/32`; the travel is
    /// the twist times `D/2`. `modulus_gpa` with its standard uncertainty. At fixed outside diameter the wire counts with
    /// `4 + 3 d/D`.
    ///
    /// # Errors
    /// A shape that is no coil, or has no active coils.
    pub fn rate(&self, modulus_gpa: f64, modulus_sd_gpa: f64) -> Result<Rate, SpringFault> {
        let (d, mean) = (self.wire.mm(), self.od.mm() - self.wire.mm());
        if d <= 0.0 || mean < 2.0 * d {
            return Err(SpringFault::NoCoil);
        }
        let coils = self.active_coils();
        if coils < 1.0 {
            return Err(SpringFault::NoActiveCoils);
        }
        let rate = modulus_gpa * MPA_PER_GPA * d.powi(4) / (8.0 * mean.powi(3) * coils);
        let shares = [
            modulus_sd_gpa / modulus_gpa,
            (4.0 + 3.0 * d / mean) * self.wire_sd.mm() / d,
            3.0 * OD_SD_MM / mean,
            COILS_SD / coils,
        ];
        let relative = libm::sqrt(shares.iter().map(|s| s * s).sum());
        Ok(Rate {
            n_per_mm: rate,
            sd_n_per_mm: rate * relative,
        })
    }
}

/// Works the rate out from the unit itself: a shim of `thickness` raised the pressure by `rise_bar`; `k = Δp E/Δt`.
///
/// # Errors
/// No change of thickness or pressure.
pub fn rate_of_unit(
    balance: &Balance,
    thickness: Length,
    rise_bar: f64,
    sd_bar: f64,
) -> Result<Rate, SpringFault> {
    if thickness.nm() <= 0 || rise_bar <= 0.0 {
        return Err(SpringFault::NoChange);
    }
    let per_bar = balance.effective_mm2 * 0.1 / thickness.mm();
    Ok(Rate {
        n_per_mm: rise_bar * per_bar,
        sd_n_per_mm: sd_bar * per_bar,
    })
}

/// Says whether a preload is plausible.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum PreloadVerdict {
    /// As springs of this use are built.
    Plausible,
    /// Seldom built so: check the rate.
    Doubtful,
    /// The coils would touch, or nearly.
    Impossible,
}

/// What a spring must do to hold a pressure.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Preload {
    /// Force that holds the pressure, in newtons.
    pub force_n: f64,
    /// Travel from the free length, in millimetres.
    pub travel_mm: f64,
    /// Length left before the coils touch, in millimetres; `None` where free or solid length is not known.
    pub left_to_bind_mm: Option<f64>,
    /// Energy in the spring, in joules.
    pub energy_j: f64,
    pub verdict: PreloadVerdict,
}

/// Travels that are plausible in millimetres: 8 mm is usual, 24 mm is not (worked examples, recalled practice).
const PLAUSIBLE_MM: std::ops::RangeInclusive<f64> = 3.0..=16.0;
/// The last share of the travel in which end coils touch and the rate climbs (use 20 to 80 %; recalled).
const END_SHARE: f64 = 0.15;

impl Preload {
    /// Judges the preload that gives `force`; `lengths`: free and solid length in millimetres, where known.
    pub fn judge(rate: Rate, force: Force, lengths: Option<(f64, f64)>) -> Self {
        let travel = force.newtons() / rate.n_per_mm;
        let left = lengths.map(|(free, solid)| free - solid - travel);
        let room = lengths.map(|(free, solid)| (free - solid) * END_SHARE);
        let verdict = match left.zip(room) {
            Some((left, _)) if left <= 0.0 => PreloadVerdict::Impossible,
            Some((left, room)) if left < room => PreloadVerdict::Doubtful,
            _ if PLAUSIBLE_MM.contains(&travel) => PreloadVerdict::Plausible,
            _ => PreloadVerdict::Doubtful,
        };
        Self {
            force_n: force.newtons(),
            travel_mm: travel,
            left_to_bind_mm: left,
            energy_j: force.newtons() * travel / 2.0 / 1e3,
            verdict,
        }
    }
}
