//! What a gland says of the ring that it was made for.
//!
//! A designer takes a ring and makes the groove for it: a squeeze, a stretch and a fill within the limits that are
//! published. Turned round, a measured groove makes each ring more or less likely. The law of each figure is a narrow band
//! (what the tables prefer) within a wide one (what they allow), both with edges softened by the doubt of the measurements.
//! Any subset of a gland's dimensions counts for what it tells.

use super::candidates::{Candidate, Candidates};
use super::wear::Squeeze;
use crate::core::gland::{
    Application, Duty, Figure, GlandDimension as D, GlandKind, GlandSpec, Limit, RuleSet,
    constant_volume_inside, geometry,
};
use crate::core::quantity::Dimension;
use crate::core::uncertainty::{log_sum_exp, normal_cdf, normal_log_density};
use std::sync::OnceLock;

/// Share of worn rings that are not the ones their gland was made for, because someone fitted what came to hand.
/// Recalled from practice, no source.
pub const FOREIGN_SHARE: f64 = 0.05;
/// Share of designs whose figures lie in the preferred band: most designers copy a table. No source. At this share the odds are
/// within 1.5 % of the truth where every simulated designer copies the tables, and within 4 % where each draws freely from
/// textbook ranges (`tests/bench`); at 0.95 the second are 5 % too sure, at 0.8 the first 2 % too modest.
const PREFERRED_SHARE: f64 = 0.86;
/// Standard deviation in millimetres by which a made gland differs from the one that was thought of even where everything
/// is exactly known: a designer rounds to a whole thousandth of an inch, 0.0254/√12. It is a length and not a share of the
/// figure: on a groove of 50 mm it is nothing, on a section of 1.78 mm 0.4 %.
const ROUNDED_SD_MM: f64 = 0.007_33;
/// Least fill that the preferred and the wide band reach down to: tables print an upper end only. Recalled, no source.
const LEAST_FILL_PCT: (f64, f64) = (60.0, 40.0);
/// Standard uncertainty of a gland's length that was given without tolerance: what careful hands reach with a caliper
/// (diameter and depth 0.03 mm, width 0.05 mm).
const PLAIN_SD_MM: (f64, f64) = (0.03, 0.05);
/// Half the width of a 95 % band in standard deviations.
const BAND: f64 = 1.959_964;

/// Holds a measured length: value and standard deviation in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Measured {
    value: f64,
    sd: f64,
}

/// Holds a measured gland as evidence of the ring that it was made for.
#[derive(Debug, Clone, PartialEq)]
pub struct GlandEvidence {
    kind: GlandKind,
    duty: Duty,
    /// The diameter that the inside of the ring lies on.
    inside: Option<Measured>,
    /// The diameter that the outside of the ring lies in.
    outside: Option<Measured>,
    /// The mean diameter of a groove whose walls the ring touches on neither side.
    centre: Option<Measured>,
    depth: Option<Measured>,
    width: Option<Measured>,
    /// Bore or rod alone, where the groove was not measured.
    far_wall: Option<Measured>,
}

impl GlandEvidence {
    /// Takes what was measured of a gland; `None` where no dimension was given that says anything of the ring.
    pub fn new(spec: &GlandSpec) -> Option<Self> {
        let get = |which: D| spec.dimension(which).map(|d| measured(which, d));
        let half = |a: Option<Measured>, b: Option<Measured>| {
            a.zip(b).map(|(a, b)| Measured {
                value: 0.5 * (a.value - b.value),
                sd: 0.5 * a.sd.hypot(b.sd),
            })
        };
        let mut evidence = Self {
            kind: spec.kind,
            duty: spec.duty.unwrap_or(Duty::Static),
            inside: None,
            outside: None,
            centre: None,
            depth: None,
            width: get(D::Width),
            far_wall: None,
        };
        match spec.kind {
            GlandKind::Piston | GlandKind::Carrier => {
                evidence.inside = get(D::Groove);
                evidence.depth = half(get(D::Bore), get(D::Groove));
                evidence.far_wall = get(D::Bore).filter(|_| evidence.inside.is_none());
            }
            GlandKind::Rod => {
                evidence.inside = get(D::Rod);
                evidence.depth = half(get(D::Groove), get(D::Rod));
                evidence.far_wall = get(D::Groove).filter(|_| evidence.inside.is_none());
            }
            GlandKind::Face => {
                evidence.outside = get(D::Outer);
                evidence.inside = get(D::Inner).filter(|_| evidence.outside.is_none());
                evidence.depth = get(D::Depth);
            }
            GlandKind::Counterbore => {
                evidence.outside = get(D::Outer);
                evidence.depth = get(D::Depth);
                evidence.width = half(get(D::Outer), get(D::Neck));
            }
            // Fill is left out where the walls lean: a width tells it of square walls alone.
            GlandKind::Crush | GlandKind::Port => {
                evidence.inside = get(D::Neck);
                evidence.depth = depth_of_seat(spec);
            }
            GlandKind::Dovetail | GlandKind::HalfDovetail => {
                evidence.centre = get(D::Centre);
                evidence.depth = get(D::Depth);
                evidence.width = None;
            }
        }
        let tells = evidence.inside.or(evidence.outside).or(evidence.centre);
        tells
            .or(evidence.depth)
            .or(evidence.far_wall)
            .map(|_| evidence)
    }

    /// Returns the direction in which this gland squeezes a ring; a cone squeezes it both ways.
    pub(crate) fn squeeze(&self) -> Option<Squeeze> {
        match self.kind {
            GlandKind::Piston | GlandKind::Rod | GlandKind::Carrier => Some(Squeeze::Radial),
            GlandKind::Face
            | GlandKind::Counterbore
            | GlandKind::Dovetail
            | GlandKind::HalfDovetail => Some(Squeeze::Axial),
            GlandKind::Crush | GlandKind::Port => None,
        }
    }

    /// Returns the gland depth in millimetres with its standard deviation, where it is known.
    pub fn depth(&self) -> Option<(f64, f64)> {
        self.depth.map(|depth| (depth.value, depth.sd))
    }

    /// Returns the log density with which a designer who took a ring of these dimensions (mm) would have made this gland.
    pub fn log_suit(&self, d1: f64, d2: f64) -> f64 {
        self.log_suit_in(&Bands::of(self.kind, self.duty, (d1, d2)), d1, d2)
    }

    fn log_suit_in(&self, bands: &Bands, d1: f64, d2: f64) -> f64 {
        let inside = self.inside.or(self.centre.map(|centre| Measured {
            value: centre.value - d2,
            sd: centre.sd,
        }));
        let seated = match inside {
            Some(inside) if inside.value > d1 => constant_volume_inside(d1, d2, inside.value),
            _ => d2,
        };
        let mut design = Design::default();
        let mut log = 0.0;
        if let Some(depth) = self.depth {
            // The printed ranges leave stretch out, the service range counts it.
            let of = |section: f64| 100.0 * (section - depth.value) / section;
            design.hold_both(
                bands.squeeze,
                (of(d2), of(seated)),
                100.0 * depth.sd / seated,
            );
            log -= libm::log(seated);
        }
        if let Some(inside) = inside {
            let stretch = 100.0 * (inside.value - d1) / d1;
            design.hold(bands.inside, stretch, 100.0 * inside.sd / d1);
            log -= libm::log(d1);
        }
        let od = d1 + 2.0 * d2;
        if let Some(outside) = self.outside {
            let compression = 100.0 * (od - outside.value) / od;
            design.hold(bands.outside, compression, 100.0 * outside.sd / od);
            log -= libm::log(od);
        }
        if let Some((width, volume)) = self.width.zip(self.annulus(d1, d2)) {
            let fill = 100.0 * torus(d1, d2) / (volume * width.value);
            design.hold(bands.fill, fill, fill * width.sd / width.value);
            log += libm::log(fill / width.value);
        }
        if let Some(wall) = self.far_wall {
            log += far_wall_log_density(wall, d1, d2);
        }
        log + design.log_density()
    }

    /// Returns the volume of the gland a millimetre of its open side: what the width is multiplied with.
    fn annulus(&self, d1: f64, d2: f64) -> Option<f64> {
        let depth = self.depth?.value;
        let middle = match (self.inside, self.outside) {
            (Some(inside), _) if self.kind == GlandKind::Face => inside.value + d2,
            (Some(inside), _) => inside.value + depth,
            (None, Some(outside)) => outside.value - d2,
            (None, None) => d1 + d2,
        };
        // A section as large as the gland leaves no middle line; such a ring is far off by its other figures.
        Some(std::f64::consts::PI * middle.max(depth) * depth)
    }
}

/// The space into which a section is squeezed, where it follows from all dimensions of the gland together; its doubt is that
/// of each dimension times how much the space changes with it.
fn depth_of_seat(spec: &GlandSpec) -> Option<Measured> {
    const STEP_MM: f64 = 0.001;
    let gland = geometry(spec).ok()?;
    let dimensions = gland.dimensions().iter();
    let measured: Vec<Measured> = dimensions.map(|(which, d)| measured(*which, *d)).collect();
    let mut mm: Vec<f64> = measured.iter().map(|one| one.value).collect();
    let value = gland.seat(&mm).depth;
    let mut variance = 0.0;
    for (at, one) in measured.iter().enumerate() {
        mm[at] = one.value + STEP_MM;
        let slope = (gland.seat(&mm).depth - value) / STEP_MM;
        mm[at] = one.value;
        variance += slope * slope * one.sd * one.sd;
    }
    (value > 0.0).then(|| Measured {
        value,
        sd: libm::sqrt(variance),
    })
}

/// Bore or groove alone: it lies about two sections, less their squeeze, beyond a slightly stretched inside diameter.
fn far_wall_log_density(wall: Measured, d1: f64, d2: f64) -> f64 {
    /// Middle and standard deviation of stretch and squeeze over static and moving tables.
    const STRETCH: (f64, f64) = (0.025, 0.02);
    const SQUEEZE: (f64, f64) = (0.20, 0.06);
    let middle = d1 * (1.0 + STRETCH.0) + 2.0 * d2 * (1.0 - SQUEEZE.0);
    let variance =
        wall.sd * wall.sd + d1 * d1 * STRETCH.1 * STRETCH.1 + 4.0 * d2 * d2 * SQUEEZE.1 * SQUEEZE.1;
    normal_log_density(wall.value - middle, variance)
}

fn torus(d1: f64, d2: f64) -> f64 {
    std::f64::consts::PI * std::f64::consts::PI / 4.0 * d2 * d2 * (d1 + d2)
}

fn measured(which: D, dimension: Dimension) -> Measured {
    let (plus, minus) = (dimension.plus.mm(), dimension.minus.mm());
    let plain = if which == D::Width {
        PLAIN_SD_MM.1
    } else {
        PLAIN_SD_MM.0
    };
    let sd = if !dimension.has_tolerance() {
        plain
    } else if dimension.plus == dimension.minus {
        plus / BAND
    } else {
        // A drawing tolerance: evenly likely between its ends.
        (plus + minus) / libm::sqrt(12.0)
    };
    Measured {
        value: dimension.nominal.mm() + 0.5 * (plus - minus),
        sd: sd.hypot(ROUNDED_SD_MM),
    }
}

/// Holds the preferred and the allowed range of one figure in per cent.
#[derive(Debug, Clone, Copy)]
struct Band {
    preferred: (f64, f64),
    allowed: (f64, f64),
}

/// Holds how densely the figures of one gland lie under each of two kinds of design.
///
/// A designer either copies a table, and then every figure lies in its preferred band, or works freely within what is
/// allowed, and then none need to: the share of either is one for the whole gland and not one a figure.
#[derive(Debug, Clone, Copy)]
struct Design {
    copied: f64,
    free: f64,
}

impl Default for Design {
    fn default() -> Self {
        Self {
            copied: PREFERRED_SHARE,
            free: 1.0 - PREFERRED_SHARE,
        }
    }
}

impl Design {
    /// Counts one figure (per cent), the edges of its bands softened by `sd` (per cent).
    fn hold(&mut self, band: Band, value: f64, sd: f64) {
        self.hold_both(band, (value, value), sd);
    }

    /// The same where the preferred band speaks of one figure and the allowed band of another.
    fn hold_both(&mut self, band: Band, (preferred, allowed): (f64, f64), sd: f64) {
        /// The law never says that something cannot be: one design in a thousand lies anywhere within ±100 %.
        const STRAY: f64 = 0.001 / 200.0;
        // By the figure as a share, not per cent.
        let density = |value: f64, (low, high): (f64, f64)| {
            let inside = normal_cdf((value - low) / sd) - normal_cdf((value - high) / sd);
            100.0 * (inside / (high - low) + STRAY)
        };
        self.copied *= density(preferred, band.preferred);
        self.free *= density(allowed, band.allowed);
    }

    fn log_density(self) -> f64 {
        libm::log(self.copied + self.free)
    }
}

/// Holds the bands that hold for one ring in one gland.
#[derive(Debug)]
struct Bands {
    squeeze: Band,
    inside: Band,
    outside: Band,
    fill: Band,
}

impl Bands {
    /// Returns the bands of every listed ring; they are read once for each kind and duty.
    fn of_listed(kind: GlandKind, duty: Duty, listed: &[Candidate]) -> &'static [Self] {
        const MOST_KINDS: usize = 16;
        static MADE: [[OnceLock<Vec<Bands>>; 3]; MOST_KINDS] =
            [const { [const { OnceLock::new() }; 3] }; MOST_KINDS];
        let kind_at = GlandKind::ALL.iter().position(|(k, _)| *k == kind);
        let duty_at = Duty::ALL.iter().position(|(d, _)| *d == duty);
        MADE[kind_at.unwrap_or(0)][duty_at.unwrap_or(0)].get_or_init(|| {
            let of = |c: &Candidate| Self::of(kind, duty, (c.d1, c.d2));
            listed.iter().map(of).collect()
        })
    }

    /// Reads the bands out of the published limits of the industrial rule set.
    fn of(kind: GlandKind, duty: Duty, (d1, d2): (f64, f64)) -> Self {
        let application = Application {
            kind,
            duty,
            section_mm: d2,
            id_mm: d1,
        };
        let rows: Vec<&Limit> = Limit::of(RuleSet::Industrial, application).collect();
        let range = |figure: Figure, binding: bool, otherwise: (f64, f64)| {
            let own = rows
                .iter()
                .filter(|row| row.figure == figure && row.severity.binds() == binding);
            own.fold((otherwise.0, otherwise.1), |(low, high), row| {
                (row.low.unwrap_or(low), row.high.unwrap_or(high))
            })
        };
        let squeeze = range(Figure::SqueezePct, true, (5.0, 34.0));
        let loosest = range(Figure::InsideFitPct, true, (-2.0, 5.0)).0;
        let tightest = range(Figure::StretchPct, true, (-2.0, 5.0)).1;
        let inside = (loosest, tightest.max(loosest + 1.0));
        let least = range(Figure::StretchPct, false, (0.0, 5.0));
        let outside = range(Figure::OutsideCompressionPct, true, (-2.0, 5.0));
        let fill = range(Figure::FillPct, true, (LEAST_FILL_PCT.1, 95.0));
        let within = |(low, high): (f64, f64), wide: (f64, f64)| {
            (
                low.clamp(wide.0, wide.1 - 0.5),
                high.clamp(wide.0 + 0.5, wide.1),
            )
        };
        Self {
            squeeze: Band {
                preferred: within(range(Figure::PrintedSqueezePct, false, squeeze), squeeze),
                allowed: squeeze,
            },
            inside: Band {
                preferred: within(least, inside),
                allowed: inside,
            },
            outside: Band {
                preferred: within((0.0, 3.0), outside),
                allowed: outside,
            },
            fill: Band {
                preferred: range(Figure::FillPct, false, (LEAST_FILL_PCT.0, 90.0)),
                allowed: fill,
            },
        }
    }
}

/// Holds by how much a gland (and whatever else speaks of a size) changes the odds of each ring.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct GlandFactors {
    /// The gland.
    pub(crate) gland: GlandEvidence,
    /// Log density of the gland for each listed ring, less that of a gland made for any ring at all.
    pub(crate) listed: Vec<f64>,
    /// What the gland's density for any ring at all is, as a logarithm.
    pub(crate) any: f64,
}

impl GlandFactors {
    pub(crate) fn new(gland: &GlandEvidence, candidates: &Candidates) -> Self {
        let bands = Bands::of_listed(gland.kind, gland.duty, &candidates.listed);
        let pairs = candidates.listed.iter().zip(bands);
        let mut listed: Vec<f64> = pairs
            .map(|(c, bands)| gland.log_suit_in(bands, c.d1, c.d2))
            .collect();
        let weighted = candidates.listed.iter().zip(&listed);
        let any = log_sum_exp(weighted.clone().map(|(c, suit)| c.log_prior + suit))
            - log_sum_exp(weighted.map(|(c, _)| c.log_prior));
        for suit in &mut listed {
            *suit -= any;
        }
        Self {
            gland: gland.clone(),
            listed,
            any,
        }
    }

    /// Turns a log density ratio into the factor on the odds, the ring being a foreign one with [`FOREIGN_SHARE`].
    pub(crate) fn factor(suit: f64) -> f64 {
        libm::log((1.0 - FOREIGN_SHARE) * libm::exp(suit) + FOREIGN_SHARE)
    }
}
