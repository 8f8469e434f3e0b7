//! Makes scans of rings whose truth is known, by rays through the section of a tube. It shares nothing with what measures scans.
//!
//! A [`Bed`](bed::Bed) with a [`Scanner`](scanner::Scanner), [`Ring`](ring::Ring)s and [`Thing`](thing::Thing)s gives a
//! [`Scan`](picture::Scan) by `scan()`. For every piece `profile` traces what a pixel at each distance from the section and in each
//! direction sees: the cone of a contact sensor or the slanting ray of a lens ends on the rubber (lit by the lamp's strip as far as the
//! ring lets it through, by ambient light, by the paper above) or on the paper (in the ring's shadow or not). `render` looks every pixel
//! up in these tables, `sensor` puts it where the carriage truly is and turns light into numbers.
//!
//! Left out: refraction and mirror images in the glass, colour fringes (all colours in one line), light from one piece on another,
//! shadows of one piece on another's rubber, a flattened instead of an elliptic section of set rings, a hole's far wall for pixels in its
//! middle, the twist of a leaning ring, paper that bends within the width of one piece.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "pixels and table places are small and not below 0"
)]

pub(crate) mod bed;
mod light;
#[cfg(test)]
mod physics;
pub(crate) mod picture;
mod piece;
mod profile;
pub(crate) mod random;
mod render;
pub(crate) mod ring;
pub(crate) mod scanner;
mod sensor;
mod shadow;
pub(crate) mod thing;
pub(crate) mod truth;
mod tube;
