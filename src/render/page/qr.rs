//! A QR code (ISO/IEC 18004) as a drawing.

use super::drawing::{Drawing, Pen};
use super::geometry::{Point, Rect, polygon};
use qrcode::{Color, EcLevel, QrCode};

/// Says why a text has no code.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("a text of {0} bytes is too long for a QR code (2331 at most)")]
pub struct QrTooLong(pub usize);

/// Modules of white that a reader needs on every side.
pub const QUIET: usize = 4;

/// The black modules of a code.
#[derive(Debug, Clone)]
pub struct Qr {
    side: usize,
    black: Vec<bool>,
}

impl Qr {
    /// Makes the code of a text, at error correction level M.
    ///
    /// # Errors
    /// The text is too long for any version.
    pub fn new(text: &str) -> Result<Self, QrTooLong> {
        let code = QrCode::with_error_correction_level(text, EcLevel::M)
            .map_err(|_| QrTooLong(text.len()))?;
        Ok(Self {
            side: code.width(),
            black: code
                .into_colors()
                .into_iter()
                .map(|c| c == Color::Dark)
                .collect(),
        })
    }

    /// Returns modules on a side, the white margin counted in.
    pub fn side(&self) -> usize {
        self.side + 2 * QUIET
    }

    /// Draws the code, with its margin, into a square of this upper left corner and width. Neighbours in a row are one piece.
    pub fn draw(&self, drawing: &mut Drawing, corner: Point, width: f64) {
        let module = width / self.side() as f64;
        let mut pieces = Vec::new();
        for row in 0..self.side {
            let mut column = 0;
            while column < self.side {
                let run = (column..self.side)
                    .take_while(|at| self.black[row * self.side + at])
                    .count();
                if run > 0 {
                    let [right, down] = [column, row].map(|at| module * (at + QUIET) as f64);
                    let first = corner.by(right, down);
                    pieces.extend(polygon(
                        Rect::new(first, module * run as f64, module).corners(),
                    ));
                }
                column += run.max(1);
            }
        }
        drawing.path(pieces, Pen::fill(0.0));
    }
}
