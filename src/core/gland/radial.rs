//! A groove in a piston, a seat carrier or a housing: the ring is squeezed between two diameters.

use super::column::{LENGTH, difference};
use super::error::GlandError;
use super::geometry::{Geometry, Seat, annulus, half, place_of, radial_volume, require_order};
use super::profile::Trough;
use super::spec::GlandSpec;

/// Makes the gland: bore or rod, groove diameter, groove width and, where known, the part beside the groove and the bottom radius.
///
/// L = (outer − inner)/2, so L_max = (outer_max − inner_min)/2, as published tables form it. Where the ring lies on a step
/// between a seat carrier's shoulder and the bottom of the bore, the width is that space with the carrier home.
///
/// # Errors
/// Names a dimension that is missing, zero or in the wrong order, or an angle that is none of a side wall.
pub(super) fn make(spec: &GlandSpec) -> Result<Geometry, GlandError> {
    let facts = spec.kind.facts();
    let in_housing = facts.inside == Some(facts.dimensions[0]);
    let [face, groove, width] = [0, 1, 2].map(|at| facts.dimensions[at]);
    let face = (face, spec.needed(face)?);
    let groove = (groove, spec.needed(groove)?);
    let width = (width, spec.needed(width)?);
    let (outer, inner) = if in_housing {
        (groove, face)
    } else {
        (face, groove)
    };
    require_order(outer.0, outer.1, inner.0, inner.1, false)?;
    let mut dimensions = vec![face, groove, width];
    if let Some(part) = facts.beside
        && let Some(value) = spec.optional(part)?
    {
        let beside = (part, value);
        if in_housing {
            require_order(beside.0, beside.1, face.0, face.1, true)?;
            require_order(groove.0, groove.1, beside.0, beside.1, false)?;
        } else {
            require_order(face.0, face.1, beside.0, beside.1, true)?;
            require_order(beside.0, beside.1, groove.0, groove.1, false)?;
        }
        dimensions.push(beside);
    }
    let depth = half(outer.1.least() - inner.1.greatest());
    let room = depth.min(half(width.1.least()));
    let radius = spec.add_bottom_radius(room, &mut dimensions)?;
    let lean = libm::tan(spec.radians()?);
    let beside = facts.beside.and_then(|part| place_of(&dimensions, part));
    let plain = lean == 0.0 && radius.is_none();
    let made = Geometry::new(spec, dimensions, move |mm| {
        let (outer, inner) = if in_housing {
            (mm[1], mm[0])
        } else {
            (mm[0], mm[1])
        };
        let trough = Trough {
            width: mm[2],
            lean,
            radius: radius.map_or(0.0, |i| mm[i]),
        };
        Seat {
            inside: Some(inner),
            outside: in_housing.then_some(outer),
            gap: beside.map(|i| {
                if in_housing {
                    mm[i] - inner
                } else {
                    outer - mm[i]
                }
            }),
            ..Seat::of((outer - inner) / 2.0, radial_volume(mm[0], mm[1], trough))
        }
    });
    if !plain {
        return Ok(made);
    }
    Ok(made.with_columns(move |mm, seats| {
        let (outer, inner) = if in_housing {
            (&mm[1], &mm[0])
        } else {
            (&mm[0], &mm[1])
        };
        for i in 0..LENGTH {
            seats.depth[i] = (outer[i] - inner[i]) / 2.0;
            seats.volume[i] = annulus(outer[i], inner[i], mm[2][i]);
        }
        seats.inside = Some(*inner);
        seats.outside = in_housing.then_some(*outer);
        seats.gap = beside.map(|i| {
            if in_housing {
                difference(&mm[i], inner)
            } else {
                difference(outer, &mm[i])
            }
        });
    }))
}
