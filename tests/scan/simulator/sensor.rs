//! Where each pixel truly lies, and what becomes of its light on the way to a number.

use super::bed::Bed;
use super::random::{Draws, texture};
use super::scanner::Scanner;
use std::f64::consts::TAU;

/// Length of one chip of a contact sensor, mm.
const CHIP: f64 = 18.0;
/// Side of the tile of paper grain in pixels; a power of two.
const TILE: usize = 1024;
/// SD of the noise on white in linear light, for a scanner of noise 1.
const NOISE: f64 = 0.004;
/// Steps of linear light in the table of the curve.
const LEVELS: usize = 1 << 16;

/// The grid of pixels on the glass and the electronics behind it.
pub(crate) struct Grid {
    pub(crate) width: usize,
    pub(crate) height: usize,
    /// True x of each column, its slope, and its gain.
    pub(crate) columns: Vec<[f64; 2]>,
    gains: Vec<f32>,
    /// True y of each row.
    pub(crate) rows: Vec<f64>,
    grain: Vec<f32>,
    normals: Vec<f32>,
    noise: f32,
    curve: Vec<u8>,
    seed: u64,
}

impl Grid {
    pub(crate) fn of(bed: &Bed) -> Self {
        let scanner = &bed.scanner;
        let count = |axis: usize| {
            (bed.size[axis] / (scanner.pixel() * scanner.scale[axis])).round() as usize
        };
        let mut draws = Draws::new(bed.seed ^ 0x5ca7);
        let xs = columns(scanner, count(0), bed.lens_middle(), &mut draws);
        let gains = gains(scanner, xs.len(), &mut draws);
        let rows = rows(scanner, count(1), &mut draws);
        Self {
            width: xs.len(),
            height: rows.len(),
            columns: xs
                .into_iter()
                .map(|x| [x, scanner.slope(x - bed.lens_middle())])
                .collect(),
            gains,
            rows,
            grain: grain(bed),
            normals: normals(&mut draws),
            noise: (NOISE * scanner.noise) as f32,
            curve: (0..LEVELS)
                .map(|level| scanner.curve.encode(level as f64 / (LEVELS - 1) as f64))
                .map(|code| (code * 255.0).round().clamp(0.0, 255.0) as u8)
                .collect(),
            seed: bed.seed,
        }
    }

    /// Grain of the paper at a pixel, about 1.
    pub(crate) fn grain(&self, column: usize, row: usize) -> f32 {
        let (x, y) = (column + 389 * (row / TILE), row);
        self.grain[(y % TILE) * TILE + x % TILE]
    }

    /// Turns a row of light into numbers.
    pub(crate) fn expose(&self, row: usize, light: &[[f32; 3]], out: &mut [u8]) {
        let mut draws = Draws::new(self.seed.wrapping_mul(31).wrapping_add(row as u64 + 1));
        let top = (LEVELS - 1) as f32;
        for (column, (pixel, target)) in light.iter().zip(out.chunks_exact_mut(3)).enumerate() {
            let mut bits = if self.noise > 0.0 { draws.bits() } else { 0 };
            for (value, number) in pixel.iter().zip(target) {
                let mut value = value * self.gains[column];
                if self.noise > 0.0 {
                    let normal = self.normals[bits as usize % self.normals.len()];
                    bits >>= 20;
                    value += normal * self.noise * (0.1 + value.max(0.0)).sqrt();
                }
                *number = self.curve[(value * top + 0.5).clamp(0.0, top) as usize];
            }
        }
    }
}

/// True x of the columns: scale, chip joints of a contact sensor, stretch of a lens.
fn columns(scanner: &Scanner, count: usize, middle: f64, draws: &mut Draws) -> Vec<f64> {
    let chips = (count as f64 * scanner.pixel() / CHIP) as usize + 2;
    let jumps: Vec<f64> = (0..chips)
        .map(|_| draws.normal(0.0, scanner.joints))
        .collect();
    (0..count)
        .map(|column| {
            let nominal = (column as f64 + 0.5) * scanner.pixel();
            let x = nominal * scanner.scale[0] + jumps[(nominal / CHIP) as usize];
            let off = (x - middle) / middle;
            x + scanner.lens * (x - middle) * off * off
        })
        .collect()
}

/// True y of the rows: scale, and a wander of the carriage of three waves whose amplitudes sum to `stepping`.
fn rows(scanner: &Scanner, count: usize, draws: &mut Draws) -> Vec<f64> {
    let waves = [(0.5, 3.1), (0.3, 11.0), (0.2, 37.0)]
        .map(|(share, length)| [share * scanner.stepping, length, draws.angle()]);
    (0..count)
        .map(|row| {
            let nominal = (row as f64 + 0.5) * scanner.pixel();
            let wander: f64 = waves
                .iter()
                .map(|[size, length, phase]| size * (nominal / length * TAU + phase).sin())
                .sum();
            nominal * scanner.scale[1] + wander
        })
        .collect()
}

/// Gains of the columns: what is left after the white stripe, and a slow fall to the sides.
fn gains(scanner: &Scanner, count: usize, draws: &mut Draws) -> Vec<f32> {
    let uneven = if scanner.noise > 0.0 { 0.01 } else { 0.0 };
    let phase = draws.angle();
    (0..count)
        .map(|column| {
            let slow = uneven * (column as f64 / count as f64 * 4.0 + phase).sin();
            (1.0 + slow + draws.normal(0.0, 0.0015 * scanner.noise)) as f32
        })
        .collect()
}

/// A tile of paper grain; no grain under an ideal scanner's even sheet or where there is no sheet.
fn grain(bed: &Bed) -> Vec<f32> {
    let even = bed.scanner.noise <= 0.0 || bed.backing.is_open();
    let pixel = bed.scanner.pixel();
    (0..TILE * TILE)
        .map(|index| {
            if even {
                return 1.0;
            }
            let (x, y) = ((index % TILE) as f64 * pixel, (index / TILE) as f64 * pixel);
            let cloud = texture(x * 0.2, y * 0.2, bed.seed) - 0.5;
            let fibre = texture(x * 4.0, y * 4.0, bed.seed ^ 3) - 0.5;
            (1.0 + 0.010 * cloud + 0.012 * fibre) as f32
        })
        .collect()
}

/// 4096 normal numbers of mean 0 and SD 1.
fn normals(draws: &mut Draws) -> Vec<f32> {
    let raw: Vec<f64> = (0..4096).map(|_| draws.normal(0.0, 1.0)).collect();
    let mean = raw.iter().sum::<f64>() / raw.len() as f64;
    let square = raw.iter().map(|value| (value - mean).powi(2)).sum::<f64>();
    let sd = (square / raw.len() as f64).sqrt();
    raw.iter()
        .map(|value| ((value - mean) / sd) as f32)
        .collect()
}
