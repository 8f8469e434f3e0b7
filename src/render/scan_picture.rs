//! The picture of a page with its rings outlined and numbered.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "places on a picture, none of them below nought"
)]

use super::page::{base64, number};
use crate::core::scan::{Page, PageReading, ScannedRing, Series};
use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder, ImageError, codecs::png::PngEncoder};
use std::f64::consts::TAU;
use std::fmt::Write;

/// Pictures are made smaller to about this many points across.
const SHOWN_WIDTH: usize = 2400;
const QUALITY: u8 = 80;
const CORNERS: u32 = 180;

const SURE: [u8; 3] = [0, 140, 60];
const DOUBTFUL: [u8; 3] = [220, 110, 0];
const DAMAGE: [u8; 3] = [210, 0, 40];

/// The marks of one ring, in points of the page.
struct Mark {
    number: usize,
    middle: [f64; 2],
    outlines: [Vec<[f64; 2]>; 2],
    damage: Vec<[f64; 2]>,
    colour: [u8; 3],
    height: f64,
}

impl Mark {
    fn of(number: usize, ring: &ScannedRing, reading: &PageReading) -> Self {
        let (across, down) = (reading.scale.across.mm(), reading.scale.down.mm());
        let at = |radius: f64, angle: f64| {
            let (sin, cos) = angle.sin_cos();
            [ring.x + radius * cos / across, ring.y + radius * sin / down]
        };
        let outline = |series: &Series| {
            let angles = (0..=CORNERS).map(|k| f64::from(k) * TAU / f64::from(CORNERS));
            angles
                .map(|angle| at(series.radius(angle), angle))
                .collect()
        };
        let outside = |angle: f64| at(ring.outer.radius(angle) + 0.8, angle);
        Self {
            number,
            middle: [ring.x, ring.y],
            outlines: [outline(&ring.inner), outline(&ring.outer)],
            damage: ring
                .defects
                .iter()
                .map(|defect| outside(defect.angle))
                .collect(),
            colour: if ring.is_sure() { SURE } else { DOUBTFUL },
            height: (ring.id.value.mm() / across * 0.4)
                .min(3.0 / across)
                .max(12.0),
        }
    }
}

fn marks(reading: &PageReading) -> Vec<Mark> {
    let rings = (1..).zip(&reading.rings);
    rings
        .map(|(number, ring)| Mark::of(number, ring, reading))
        .collect()
}

fn shown(page: &Page) -> (Page, f64) {
    let factor = page.width().div_ceil(SHOWN_WIDTH).max(1);
    (page.shrunk(factor), factor as f64)
}

/// Gives the page as an SVG drawing over its picture.
///
/// # Errors
/// Fails where the picture cannot be packed.
pub fn scan_svg(page: &Page, reading: &PageReading) -> Result<String, ImageError> {
    let (small, _) = shown(page);
    let mut packed = Vec::new();
    JpegEncoder::new_with_quality(&mut packed, QUALITY).write_image(
        small.pixels(),
        small.width() as u32,
        small.height() as u32,
        ExtendedColorType::Rgb8,
    )?;
    let (width, height) = (page.width(), page.height());
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{}mm\" height=\"{}mm\">\
         <title>Rings of the scan</title>\
         <image href=\"data:image/jpeg;base64,{}\" width=\"{width}\" height=\"{height}\"/>",
        number(width as f64 * reading.scale.across.mm()),
        number(height as f64 * reading.scale.down.mm()),
        base64(&packed)
    );
    // A pixel's middle lies half a point from its corner, where the drawing begins.
    let _ = write!(
        out,
        "<g transform=\"translate(0.5 0.5)\" fill=\"none\" stroke-width=\"3\">"
    );
    for mark in marks(reading) {
        mark.write_svg(&mut out);
    }
    out.push_str("</g></svg>\n");
    Ok(out)
}

impl Mark {
    fn write_svg(&self, out: &mut String) {
        let colour = |[r, g, b]: [u8; 3]| format!("rgb({r},{g},{b})");
        for outline in &self.outlines {
            let points: Vec<String> = outline
                .iter()
                .map(|[x, y]| format!("{} {}", number(*x), number(*y)))
                .collect();
            let _ = write!(
                out,
                "<path d=\"M{}Z\" stroke=\"{}\"/>",
                points.join("L"),
                colour(self.colour)
            );
        }
        for [x, y] in &self.damage {
            let _ = write!(
                out,
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" stroke=\"{}\"/>",
                number(*x),
                number(*y),
                number(self.height / 2.0),
                colour(DAMAGE)
            );
        }
        let _ = write!(
            out,
            "<text x=\"{}\" y=\"{}\" font-family=\"sans-serif\" font-size=\"{}\" text-anchor=\"middle\" fill=\"{}\">{}</text>",
            number(self.middle[0]),
            number(self.middle[1] + self.height * 0.36),
            number(self.height),
            colour(DAMAGE),
            self.number
        );
    }
}

/// Gives the page as a PNG picture.
///
/// # Errors
/// Fails where the picture cannot be packed.
pub fn scan_png(page: &Page, reading: &PageReading) -> Result<Vec<u8>, ImageError> {
    let (small, factor) = shown(page);
    let mut canvas = Canvas {
        width: small.width(),
        height: small.height(),
        pixels: small.pixels().to_vec(),
    };
    let on_canvas = |[x, y]: [f64; 2]| [(x + 0.5) / factor - 0.5, (y + 0.5) / factor - 0.5];
    for mark in marks(reading) {
        for outline in &mark.outlines {
            for pair in outline.windows(2) {
                canvas.line(on_canvas(pair[0]), on_canvas(pair[1]), mark.colour);
            }
        }
        for place in &mark.damage {
            let [x, y] = on_canvas(*place);
            let reach = (mark.height / factor / 3.0).max(3.0);
            for (dx, dy) in [(reach, reach), (reach, -reach)] {
                canvas.line([x - dx, y - dy], [x + dx, y + dy], DAMAGE);
            }
        }
        canvas.figure(mark.number, on_canvas(mark.middle), mark.height / factor);
    }
    let mut packed = Vec::new();
    PngEncoder::new(&mut packed).write_image(
        &canvas.pixels,
        canvas.width as u32,
        canvas.height as u32,
        ExtendedColorType::Rgb8,
    )?;
    Ok(packed)
}

struct Canvas {
    width: usize,
    height: usize,
    pixels: Vec<u8>,
}

/// Rows of five points for each digit, the left one the highest bit.
const DIGITS: [[u8; 7]; 10] = [
    [14, 17, 19, 21, 25, 17, 14],
    [4, 12, 4, 4, 4, 4, 14],
    [14, 17, 1, 2, 4, 8, 31],
    [31, 2, 4, 2, 1, 17, 14],
    [2, 6, 10, 18, 31, 2, 2],
    [31, 16, 30, 1, 1, 17, 14],
    [6, 8, 16, 30, 17, 17, 14],
    [31, 1, 2, 4, 8, 8, 8],
    [14, 17, 17, 14, 17, 17, 14],
    [14, 17, 17, 15, 1, 2, 12],
];

impl Canvas {
    /// Paints a square from its upper left corner on, as far as it lies on the picture.
    fn square(&mut self, [x, y]: [f64; 2], size: f64, colour: [u8; 3]) {
        let within = |from: f64, most: usize| {
            let from = from.round();
            (from.max(0.0) as usize).min(most)..((from + size).max(0.0) as usize).min(most)
        };
        for row in within(y, self.height) {
            for column in within(x, self.width) {
                self.pixels[(row * self.width + column) * 3..][..3].copy_from_slice(&colour);
            }
        }
    }

    fn line(&mut self, from: [f64; 2], to: [f64; 2], colour: [u8; 3]) {
        let apart = [to[0] - from[0], to[1] - from[1]];
        let steps = apart[0].abs().max(apart[1].abs()).clamp(1.0, 10_000.0) as u32;
        for step in 0..=steps {
            let part = f64::from(step) / f64::from(steps);
            let place = [from[0] + apart[0] * part, from[1] + apart[1] * part];
            self.square(place, 1.0, colour);
        }
    }

    fn figure(&mut self, value: usize, middle: [f64; 2], height: f64) {
        let size = (height / 7.0).round().max(1.0);
        let digits = value.to_string();
        let left = middle[0] - digits.len() as f64 * 3.0 * size;
        for (place, digit) in digits.bytes().enumerate() {
            for (row, bits) in DIGITS[usize::from(digit - b'0')].iter().enumerate() {
                for column in (0..5).filter(|column| bits >> (4 - column) & 1 == 1) {
                    let x = left + (place as f64 * 6.0 + f64::from(column)) * size;
                    let y = middle[1] + (row as f64 - 3.5) * size;
                    self.square([x, y], size, DAMAGE);
                }
            }
        }
    }
}
