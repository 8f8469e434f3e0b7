//! The groove to cut for a ring, as the published tables print it.

use super::groove_table::{PrintedGroove, PrintedHousing};
use super::ring::GlandRing;
use super::spec::{Duty, GlandDimension as D, GlandKind, GlandSpec, PressureSide};
use crate::core::confidence::Confidence;
use crate::core::quantity::{Dimension, Length, Typed};

/// What a groove is to be cut for.
#[derive(Debug, Clone)]
pub struct CutOrder {
    /// Piston, rod or face.
    pub kind: GlandKind,
    pub duty: Duty,
    /// The bore (piston), the rod (rod) or the wall (face) that is there already.
    pub fixed: Option<Dimension>,
    /// Side of the pressure (face).
    pub from: PressureSide,
    /// Number of back-up rings, 0 to 2.
    pub back_ups: u8,
    /// Whether a face groove is cut to the narrower width printed for vacuum and gases.
    pub narrow: bool,
    /// Stretch of the inside to aim at where nothing is fixed, in per cent; of a face ring in an outer wall, how much its
    /// outside is pressed together.
    pub stretch_pct: f64,
    /// Share of the printed tolerance of depth and width that is used, above 0 to 1.
    pub share: f64,
    /// From which end of it.
    pub end: PrintedEnd,
}

/// Names an end of the printed tolerance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PrintedEnd {
    /// Deep and wide.
    Roomy,
    /// Shallow and narrow.
    Tight,
}

/// Gives a groove to cut: diameters and widths as a gland, and what is printed beside them.
#[derive(Debug, Clone)]
pub struct CutGroove {
    /// The gland with tolerances, ready to be checked.
    pub spec: GlandSpec,
    /// Diameter in millimetres at which the lead-in chamfer begins, for a ring that is pushed in.
    pub lead_in_mm: Option<f64>,
    pub printed: CutPrint,
}

/// Says why no groove can be given.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum CutError {
    /// Only three kinds can be cut.
    #[error("gland cut gives grooves for piston, rod and face, not for a {} gland", .0.word())]
    Kind(GlandKind),
    /// Turning shafts are in no table.
    #[error(
        "no published table for {use_} rings of section {section_mm} mm is known: sections .070, .103, .139, .210 \
            and .275 in are, and metric ones from 0.5 to 8 mm for static and reciprocating rings"
    )]
    NoTable {
        use_: &'static str,
        section_mm: String,
    },
    /// The part that is there varies more than the table allows for the depth.
    #[error("the {word} varies by {} mm, and the printed depth allows {} mm in all: hold it closer or measure it", varies.mm_rounded(), allowed.mm_rounded())]
    TooLoose {
        /// The part.
        word: &'static str,
        varies: Length,
        allowed: Length,
    },
    /// No groove of the width is printed with back-up rings.
    #[error("no groove width with {0} back-up ring(s) is printed for this section")]
    NoBackUpWidth(u8),
}

/// Tells what the tables print for a groove; depth, width and clearance in nanometres.
#[derive(Debug, Clone)]
pub struct CutPrint {
    depth: (i64, i64),
    width: (i64, i64),
    clearance: Option<(i64, i64)>,
    /// Radius at the bottom, least and greatest.
    pub radius_mm: (f64, f64),
    /// Greatest total runout, where printed.
    pub runout_mm: Option<f64>,
    /// What was assumed.
    pub notes: Vec<String>,
    /// Where depth and width come from.
    pub source: String,
    pub confidence: Confidence,
}

const MM_PER_INCH: f64 = 25.4;

/// Returns the nanometres of a table's length, which lies below a metre.
fn nm(mm: f64) -> i64 {
    Length::from_mm(mm).unwrap_or(Length::ZERO).nm()
}

impl CutOrder {
    /// Gives the groove for a ring.
    ///
    /// Depth and width are those printed for the section and the duty. Bore (or rod) and groove share the printed span of the
    /// depth, so that the gland depth stays within the print whatever is made within tolerance.
    ///
    /// # Errors
    /// Says which kind, section or width is in no table, or that the part varies too much for the printed depth.
    pub fn cut(&self, ring: &GlandRing) -> Result<CutGroove, CutError> {
        let mut printed = self.printed(ring)?;
        printed.depth = self.used(printed.depth.0, printed.depth.1);
        printed.width = self.used(printed.width.0, printed.width.1);
        let mut spec = GlandSpec::new(self.kind);
        spec.duty = Some(self.duty);
        spec.back_ups = self.back_ups;
        let lead_in = match self.kind {
            GlandKind::Piston | GlandKind::Rod => Some(self.radial(ring, &printed, &mut spec)?),
            _ => {
                self.face(ring, &printed, &mut spec);
                None
            }
        };
        put(
            &mut spec,
            D::Width,
            spanning(printed.width.0, printed.width.1),
        );
        Ok(CutGroove {
            spec,
            lead_in_mm: lead_in.map(|l| l as f64 / 1e6),
            printed,
        })
    }

    /// Returns the part of a printed range that is used.
    #[allow(
        clippy::cast_possible_truncation,
        reason = "table values lie below a metre"
    )]
    fn used(&self, low: i64, high: i64) -> (i64, i64) {
        let span = ((high - low) as f64 * self.share).round() as i64;
        match self.end {
            PrintedEnd::Roomy => (high - span, high),
            PrintedEnd::Tight => (low, low + span),
        }
    }

    /// Cuts a groove into a piston, or a housing, beside the bore or rod that it faces; returns where the lead-in begins.
    fn radial(
        &self,
        ring: &GlandRing,
        printed: &CutPrint,
        spec: &mut GlandSpec,
    ) -> Result<i64, CutError> {
        let facts = self.kind.facts();
        let which = facts.dimensions[0];
        // A rod is a bore seen from the other side: what grows there, shrinks here.
        let sign = if facts.inside == Some(which) { -1 } else { 1 };
        let (shallow, deep) = printed.depth;
        let face = self.fixed.unwrap_or_else(|| {
            let seat = nm(ring.id.nominal.mm() * (1.0 + self.stretch_pct / 100.0));
            let face = rounded(if sign > 0 { seat + 2 * shallow } else { seat });
            spanning(face, face + sign * (deep - shallow))
        });
        let (mut near, mut far) = (face.least().nm(), face.greatest().nm());
        if sign < 0 {
            std::mem::swap(&mut near, &mut far);
        }
        let (top, bottom) = (near - sign * 2 * shallow, far - sign * 2 * deep);
        if sign * (top - bottom) <= 0 {
            return Err(CutError::TooLoose {
                word: which.word(),
                varies: face.plus + face.minus,
                allowed: Length::from_nm(2 * (deep - shallow)),
            });
        }
        put(spec, which, face);
        put(spec, D::Groove, spanning(top, bottom));
        if let (Some((tight, loose)), Some(part)) = (printed.clearance, facts.beside) {
            let close = near - sign * tight;
            let wide = far - sign * loose;
            let wide = if sign * (close - wide) > 0 {
                wide
            } else {
                close
            };
            put(spec, part, spanning(close, wide));
        }
        Ok((top + sign * 2 * ring.section.greatest().nm()).max(0))
    }

    fn face(&self, ring: &GlandRing, printed: &CutPrint, spec: &mut GlandSpec) {
        /// The tolerance of the wall: it moves the ring, not the squeeze. This program's choice.
        const WALL_NM: i64 = 100_000;
        let outside = ring.id.nominal.mm() + 2.0 * ring.section.nominal.mm();
        spec.from = Some(self.from);
        let (which, wall) = match self.from {
            PressureSide::Inside => {
                let wall = rounded(nm(outside * (1.0 - self.stretch_pct / 200.0)));
                (D::Outer, spanning(wall, wall + WALL_NM))
            }
            PressureSide::Outside => {
                let wall = rounded(nm(ring.id.nominal.mm() * (1.0 + self.stretch_pct / 200.0)));
                (D::Inner, spanning(wall, wall - WALL_NM))
            }
        };
        put(spec, which, self.fixed.unwrap_or(wall));
        put(spec, D::Depth, spanning(printed.depth.0, printed.depth.1));
    }

    fn printed(&self, ring: &GlandRing) -> Result<CutPrint, CutError> {
        let section = ring.section.nominal.mm();
        let (inch, metric, use_) = match (self.kind, self.duty) {
            (GlandKind::Piston | GlandKind::Rod, Duty::Static) => {
                ("static_radial", "radial_static", "static")
            }
            (GlandKind::Piston | GlandKind::Rod, Duty::Moving) => {
                ("reciprocating", "radial_dynamic", "moving")
            }
            (GlandKind::Face, Duty::Static) if self.narrow => {
                ("face_static_vacuum_gases", "axial_static", "face")
            }
            (GlandKind::Face, Duty::Static) => ("face_static_liquids", "axial_static", "face"),
            (GlandKind::Piston | GlandKind::Rod | GlandKind::Face, _) => ("", "", self.duty.word()),
            (kind, _) => return Err(CutError::Kind(kind)),
        };
        if let Some(row) = PrintedGroove::of(inch, section) {
            return self.of_inch_row(row);
        }
        match PrintedHousing::of(metric, section) {
            Some(row) if self.back_ups == 0 => Ok(of_metric_row(row)),
            Some(_) => Err(CutError::NoBackUpWidth(self.back_ups)),
            None => Err(CutError::NoTable {
                use_,
                section_mm: format!("{section:.2}"),
            }),
        }
    }

    fn of_inch_row(&self, row: &PrintedGroove) -> Result<CutPrint, CutError> {
        let inch = |value: f64| nm(value * MM_PER_INCH);
        let width = row
            .width_mm(self.back_ups)
            .ok_or(CutError::NoBackUpWidth(self.back_ups))?;
        let mut notes = Vec::new();
        let moving = row.seal_type == "reciprocating";
        let clearance_row = if moving {
            notes.push(
                "the reciprocating chart gives no clearance: the static table of the same series is used"
                    .to_owned(),
            );
            PrintedGroove::of("static_radial", row.cs_in * MM_PER_INCH)
        } else {
            Some(row)
        };
        let clearance = clearance_row.and_then(|r| r.diam_clear_min_in.zip(r.diam_clear_max_in));
        Ok(CutPrint {
            depth: (inch(row.depth_min_in), inch(row.depth_max_in)),
            width: (nm(width.0), nm(width.1)),
            clearance: clearance
                .filter(|c| c.1 > 0.0)
                .map(|c| (inch(c.0), inch(c.1))),
            radius_mm: (
                row.radius_min_in * MM_PER_INCH,
                row.radius_max_in.unwrap_or(row.radius_min_in) * MM_PER_INCH,
            ),
            runout_mm: row.ecc_max_in.map(|e| e * MM_PER_INCH),
            notes,
            source: row.source.clone(),
            confidence: row.confidence,
        })
    }
}

/// Takes a row of the metric table, which prints no tolerance for the depth of radial grooves.
fn of_metric_row(row: &PrintedHousing) -> CutPrint {
    /// This program's choice for a radial depth: as much as the inch tables allow a section of about 2 mm.
    const RADIAL_SPAN_MM: f64 = 0.05;
    let plus = row.depth_tol;
    let mut notes = Vec::new();
    let depth = if plus > 0.0 {
        (row.depth_mm, row.depth_mm + plus)
    } else {
        notes.push(
            "the metric table gives no tolerance for the depth: ±0.025 mm is this program's choice"
                .to_owned(),
        );
        let half = RADIAL_SPAN_MM / 2.0;
        (row.depth_mm - half, row.depth_mm + half)
    };
    notes.push("the metric table gives no clearance and no runout".to_owned());
    CutPrint {
        depth: (nm(depth.0), nm(depth.1)),
        width: (nm(row.width_mm), nm(row.width_mm + row.width_tol)),
        clearance: None,
        radius_mm: (row.radius_mm, row.radius_mm),
        runout_mm: None,
        notes,
        source: row.source.clone(),
        confidence: row.confidence,
    }
}

/// Rounds to the hundredth of a millimetre, which a lathe can be set to.
fn rounded(value: i64) -> i64 {
    const HUNDREDTH_NM: i64 = 10_000;
    (value + HUNDREDTH_NM / 2).div_euclid(HUNDREDTH_NM) * HUNDREDTH_NM
}

/// Makes a dimension that may go from its nominal to another end, and no further.
fn spanning(nominal: i64, other: i64) -> Dimension {
    Dimension {
        nominal: Length::from_nm(nominal),
        plus: Length::from_nm((other - nominal).max(0)),
        minus: Length::from_nm((nominal - other).max(0)),
    }
}

fn put(spec: &mut GlandSpec, which: D, value: Dimension) {
    spec.dimensions.push((which, Typed::new(value, "")));
}
