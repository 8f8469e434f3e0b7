//! Seeded draws that are the same on every machine (PCG XSL 128/64), and a noise of the plane for textures.

use rand_core::Rng;
use rand_pcg::Pcg64;

/// Draws numbers from one seed.
pub(crate) struct Draws(Pcg64);

impl Draws {
    pub(crate) fn new(seed: u64) -> Self {
        // Increment of the generator's reference implementation.
        Self(Pcg64::new(
            u128::from(seed),
            0x0a02_bdbf_7bb3_c0a7_ac28_fa16_a64a_bf96,
        ))
    }

    /// Uniform strictly between 0 and 1, with 53 bits.
    pub(crate) fn uniform(&mut self) -> f64 {
        let bits = self.0.next_u64() >> 11;
        (bits as f64 + 0.5) / (1_u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.uniform()
    }

    /// Normal by the transform of Box and Muller; one of the pair is thrown away, so that a draw is a draw.
    pub(crate) fn normal(&mut self, mean: f64, sd: f64) -> f64 {
        let radius = (-2.0 * self.uniform().ln()).sqrt();
        mean + sd * radius * (std::f64::consts::TAU * self.uniform()).cos()
    }

    pub(crate) fn angle(&mut self) -> f64 {
        self.between(0.0, std::f64::consts::TAU)
    }

    pub(crate) fn index(&mut self, count: usize) -> usize {
        ((self.uniform() * count as f64) as usize).min(count - 1)
    }

    pub(crate) fn pick<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[self.index(choices.len())]
    }

    pub(crate) fn chance(&mut self, share: f64) -> bool {
        self.uniform() < share
    }

    pub(crate) fn bits(&mut self) -> u64 {
        self.0.next_u64()
    }
}

/// A smooth noise between 0 and 1 over the plane, one value a unit square, blended between.
pub(crate) fn texture(x: f64, y: f64, seed: u64) -> f64 {
    let (cell_x, cell_y) = (x.floor(), y.floor());
    let (along, up) = (ease(x - cell_x), ease(y - cell_y));
    let corner = |dx: f64, dy: f64| lattice(cell_x + dx, cell_y + dy, seed);
    let low = corner(0.0, 0.0) * (1.0 - along) + corner(1.0, 0.0) * along;
    let high = corner(0.0, 1.0) * (1.0 - along) + corner(1.0, 1.0) * along;
    low * (1.0 - up) + high * up
}

/// The cubic that goes from 0 to 1 with level ends.
pub(crate) fn ease(t: f64) -> f64 {
    let t = t.clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// A value of a lattice point by the finaliser of SplitMix64.
fn lattice(x: f64, y: f64, seed: u64) -> f64 {
    let mut bits = ((x as i64).cast_unsigned()).wrapping_mul(0x9e37_79b9_7f4a_7c15)
        ^ ((y as i64).cast_unsigned()).wrapping_mul(0xc2b2_ae3d_27d4_eb4f)
        ^ seed;
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    ((bits ^ (bits >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}
