//! What a gland says of the ring that it was made for.
//!
//! A designer takes a ring and makes the groove for it: a squeeze, a stretch and a fill within the limits that are
//! published. Turned round, a measured groove makes each ring more or less likely. The law of each figure is a narrow band
//! (what the tables prefer) within a wide one (what they allow), both with edges softened by the doubt of the measurements.
//! Any subset of a gland's dimensions counts for what it tells.

use super::candidates::{Candidate, Candidates};
use super::evidence::BAND_95;
use super::gland_bands::{Bands, Design};
use super::wear::Squeeze;
use crate::core::gland::{
    Direction, Duty, GlandDimension as D, GlandKind, GlandSpec, constant_volume_inside, geometry,
};
use crate::core::quantity::Dimension;
use crate::core::uncertainty::{log_sum_exp, normal_cdf, normal_log_density};

/// Standard deviation in millimetres by which a made gland differs from the one that was thought of even where everything
/// is exactly known: a designer rounds to a whole thousandth of an inch, 0.0254/√12. It is a length and not a share of the
/// figure: on a groove of 50 mm it is nothing, on a section of 1.78 mm 0.4 %.
const ROUNDED_SD_MM: f64 = 0.007_33;
/// Standard uncertainty of a gland's length that was given without tolerance: what careful hands reach with a caliper
/// (diameter and depth 0.03 mm, width 0.05 mm).
const PLAIN_SD_MM: (f64, f64) = (0.03, 0.05);

/// A measured length: value and standard deviation in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Measured {
    value: f64,
    sd: f64,
}

/// A measured gland as evidence of the ring that it was made for.
#[derive(Debug, Clone, PartialEq)]
pub struct GlandEvidence {
    kind: GlandKind,
    /// How the parts move; where nobody said, every way that the kind allows is weighed.
    duty: Option<Duty>,
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
        let facts = spec.kind.facts();
        let outside = facts.outside.and_then(get);
        let inside = facts.inside.and_then(get).filter(|_| outside.is_none());
        let evidence = Self {
            kind: spec.kind,
            duty: spec.duty,
            inside,
            outside,
            centre: facts.centre.and_then(get),
            depth: match (facts.across, facts.direction) {
                (Some([outer, inner]), _) => half(get(outer), get(inner)),
                (None, Direction::Both) => depth_of_seat(spec),
                (None, _) => get(D::Depth),
            },
            // Fill is left out where the walls lean: a width tells it of square walls alone.
            width: match facts.width {
                [width] => get(*width),
                [outer, inner] => half(get(*outer), get(*inner)),
                _ => None,
            },
            far_wall: facts
                .across
                .and_then(|[far, _]| get(far))
                .filter(|_| inside.is_none()),
        };
        let tells = evidence.inside.or(evidence.outside).or(evidence.centre);
        tells
            .or(evidence.depth)
            .or(evidence.far_wall)
            .map(|_| evidence)
    }

    /// Stands for a gland that was not measured but thought of: the wall on which the ring lies (in which it lies, of a face gland),
    /// depth and width in millimetres.
    pub(super) fn thought_of(
        kind: GlandKind,
        duty: Duty,
        wall: f64,
        depth: f64,
        width: f64,
    ) -> Self {
        let made = |value| {
            Some(Measured {
                value,
                sd: ROUNDED_SD_MM,
            })
        };
        let of_face = kind == GlandKind::Face;
        Self {
            kind,
            duty: Some(duty),
            inside: made(wall).filter(|_| !of_face),
            outside: made(wall).filter(|_| of_face),
            centre: None,
            depth: made(depth),
            width: made(width),
            far_wall: None,
        }
    }

    /// Gives a gland that was thought of the doubt that a caliper leaves.
    pub(super) fn read_by_hand(mut self) -> Self {
        let lengths = [
            &mut self.inside,
            &mut self.outside,
            &mut self.depth,
            &mut self.width,
        ];
        for length in lengths.into_iter().flatten() {
            length.sd = length.sd.hypot(PLAIN_SD_MM.0);
        }
        self
    }

    /// Returns the direction in which this gland squeezes a ring; a cone squeezes it both ways.
    pub(crate) fn squeeze(&self) -> Squeeze {
        match self.kind.facts().direction {
            Direction::Radial => Squeeze::Radial,
            Direction::Axial => Squeeze::Axial,
            Direction::Both => Squeeze::Unknown,
        }
    }

    /// Returns the gland depth in millimetres with its standard deviation, where it is known.
    pub fn depth(&self) -> Option<(f64, f64)> {
        self.depth.map(|depth| (depth.value, depth.sd))
    }

    /// Takes what several units say of one gland: the mean of each dimension, weighted by how well it was measured.
    pub fn pooled(glands: &[Self]) -> Option<Self> {
        let first = glands.first()?;
        let pool = |of: fn(&Self) -> Option<Measured>| {
            let weight = |one: &Measured| 1.0 / (one.sd * one.sd);
            let all: Vec<Measured> = glands.iter().filter_map(of).collect();
            let total: f64 = all.iter().map(weight).sum();
            let mean = all.iter().map(|one| one.value * weight(one)).sum::<f64>() / total;
            // However often it is measured, the gland is not made more exactly than it is.
            let sd = libm::sqrt(1.0 / total).max(ROUNDED_SD_MM);
            (!all.is_empty()).then_some(Measured { value: mean, sd })
        };
        let inside = pool(|gland| gland.inside);
        Some(Self {
            kind: first.kind,
            duty: glands.iter().find_map(|gland| gland.duty),
            far_wall: pool(|gland| gland.far_wall).filter(|_| inside.is_none()),
            inside,
            outside: pool(|gland| gland.outside),
            centre: pool(|gland| gland.centre),
            depth: pool(|gland| gland.depth),
            width: pool(|gland| gland.width),
        })
    }

    /// Lists the duties that the gland can have with their shares.
    fn duties(&self) -> &'static [(Duty, f64)] {
        /// A groove round a piston or in a bore is as often one that moves: judgement, no source.
        const EITHER: [(Duty, f64); 2] = [(Duty::Static, 0.5), (Duty::Moving, 0.5)];
        match (self.duty, self.kind.facts().direction) {
            (Some(Duty::Moving), _) => &[(Duty::Moving, 1.0)],
            (Some(Duty::Rotary), _) => &[(Duty::Rotary, 1.0)],
            (None, Direction::Radial) => &EITHER,
            (Some(Duty::Static) | None, _) => &[(Duty::Static, 1.0)],
        }
    }

    /// Returns the log density with which a designer who took a ring of these dimensions (mm) would have made this gland.
    pub fn log_suit(&self, d1: f64, d2: f64) -> f64 {
        let one = |&(duty, share): &(Duty, f64)| {
            libm::log(share) + self.log_suit_in(&Bands::of(self.kind, duty, d1, d2), d1, d2)
        };
        log_sum_exp(self.duties().iter().map(one))
    }

    /// Returns the chance that a ring seals here by the limits of the rule set: that every figure lies within what is allowed, over
    /// the doubt of the measurements and the tolerances of the ring. `None` where the gland does not say enough.
    pub(crate) fn seals(&self, ring: &Candidate) -> Option<f64> {
        let one = |&(duty, share): &(Duty, f64)| {
            let bands = Bands::of(self.kind, duty, ring.d1, ring.d2);
            Some(share * self.seals_in(&bands, ring)?)
        };
        self.duties().iter().map(one).sum()
    }

    pub(super) fn seals_in(&self, bands: &Bands, ring: &Candidate) -> Option<f64> {
        let (d1, d2) = (ring.d1, ring.d2);
        let (sd1, sd2) = (libm::sqrt(ring.var1), libm::sqrt(ring.var2));
        let depth = self.depth?;
        let inside = self.inside_of(d2);
        let outside = self.outside;
        if inside.is_none() && outside.is_none() {
            return None;
        }
        let within = |value: f64, (low, high): (f64, f64), sd: f64| {
            normal_cdf((value - low) / sd) - normal_cdf((value - high) / sd)
        };
        let seated = match inside {
            Some(inside) if inside.value > d1 => constant_volume_inside(d1, d2, inside.value),
            _ => d2,
        };
        let squeeze = 100.0 * (seated - depth.value) / seated;
        let mut chance = within(
            squeeze,
            bands.squeeze.allowed,
            100.0 * depth.sd.hypot(sd2) / seated,
        );
        if let Some(inside) = inside {
            let stretch = 100.0 * (inside.value - d1) / d1;
            chance *= within(
                stretch,
                bands.inside.allowed,
                100.0 * inside.sd.hypot(sd1) / d1,
            );
        }
        if let Some(outside) = outside {
            let od = d1 + 2.0 * d2;
            let compression = 100.0 * (od - outside.value) / od;
            let sd = outside.sd.hypot(sd1).hypot(2.0 * sd2);
            chance *= within(compression, bands.outside.allowed, 100.0 * sd / od);
        }
        if let Some((width, volume)) = self.width.zip(self.annulus(d1, d2)) {
            let fill = 100.0 * torus(d1, d2) / (volume * width.value);
            let sd = fill * (width.sd / width.value).hypot(2.0 * sd2 / d2);
            // Too little fill does no harm.
            chance *= normal_cdf((bands.fill.allowed.1 - fill) / sd);
        }
        Some(chance.clamp(0.0, 1.0))
    }

    /// Returns the diameter that the inside of a ring of this section lies on.
    fn inside_of(&self, d2: f64) -> Option<Measured> {
        let by_centre = |centre: Measured| Measured {
            value: centre.value - d2,
            sd: centre.sd,
        };
        self.inside.or(self.centre.map(by_centre))
    }

    pub(super) fn log_suit_in(&self, bands: &Bands, d1: f64, d2: f64) -> f64 {
        let inside = self.inside_of(d2);
        let seated = match inside {
            Some(inside) if inside.value > d1 => constant_volume_inside(d1, d2, inside.value),
            _ => d2,
        };
        let mut design = Design::default();
        let mut log = 0.0;
        if let Some(depth) = self.depth {
            // The printed ranges leave stretch out, the service range counts it.
            let of = |section: f64| 100.0 * (section - depth.value) / section;
            let sd = 100.0 * depth.sd / seated;
            design.hold_squeeze(&bands.squeeze, of(d2), of(seated), sd);
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

pub(super) fn torus(d1: f64, d2: f64) -> f64 {
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
        plus / BAND_95
    } else {
        // A drawing tolerance: evenly likely between its ends.
        (plus + minus) / libm::sqrt(12.0)
    };
    Measured {
        value: dimension.nominal.mm() + 0.5 * (plus - minus),
        sd: sd.hypot(ROUNDED_SD_MM),
    }
}

/// By how much a gland changes the odds of each ring that it may have been made for.
#[derive(Debug, PartialEq)]
pub(crate) struct GlandFactors {
    pub(crate) gland: GlandEvidence,
    /// Log density of the gland for each listed ring, less that of a gland made for any ring at all.
    pub(crate) listed: Vec<f64>,
    /// What the gland's density for any ring at all is, as a logarithm.
    any: f64,
}

/// Share of glands that were measured, or written down, so wrong that they say nothing of the ring. Judgement, no source.
const MISTAKEN: f64 = 0.01;

impl GlandFactors {
    pub(crate) fn new(gland: &GlandEvidence, candidates: &Candidates) -> Self {
        let mut listed = vec![f64::NEG_INFINITY; candidates.listed.len()];
        for (duty, share) in gland.duties() {
            let bands = Bands::of_listed(gland.kind, *duty, &candidates.listed);
            let pairs = candidates.listed.iter().zip(bands);
            for (log, (c, bands)) in listed.iter_mut().zip(pairs) {
                let own = libm::log(*share) + gland.log_suit_in(bands, c.d1, c.d2);
                *log = log_sum_exp([*log, own]);
            }
        }
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

    /// Returns by how much more (as a factor) the gland speaks for a listed ring than for any.
    pub(crate) fn of_listed(&self, ring: usize) -> f64 {
        Self::allowing_for_mistakes(self.listed[ring])
    }

    /// The same for a ring of any size.
    pub(crate) fn of_size(&self, d1: f64, d2: f64) -> f64 {
        if d1 > 0.0 && d2 > 0.0 {
            Self::allowing_for_mistakes(self.gland.log_suit(d1, d2) - self.any)
        } else {
            MISTAKEN
        }
    }

    /// Returns the chance that the gland was measured rightly, if it was made for this ring.
    pub(crate) fn trust(&self, ring: usize) -> f64 {
        1.0 - MISTAKEN / self.of_listed(ring)
    }

    fn allowing_for_mistakes(suit: f64) -> f64 {
        (1.0 - MISTAKEN) * libm::exp(suit) + MISTAKEN
    }
}
