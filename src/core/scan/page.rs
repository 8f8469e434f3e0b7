//! A page as pixels, and the light that they stand for.

use std::sync::LazyLock;

/// A picture of three bytes a pixel (red, green, blue), row by row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page {
    width: usize,
    height: usize,
    pixels: Vec<u8>,
}

/// The light of each byte by the curve of sRGB (IEC 61966-2-1), white as 1. The place of an edge is right in light only.
static LIGHT: LazyLock<[f32; 256]> = LazyLock::new(|| {
    std::array::from_fn(|byte| {
        let code = byte as f64 / 255.0;
        let light = if code <= 0.04045 {
            code / 12.92
        } else {
            ((code + 0.055) / 1.055).powf(2.4)
        };
        light as f32
    })
});

/// Gives the light of a byte.
pub(super) fn light(byte: u8) -> f32 {
    LIGHT[usize::from(byte)]
}

impl Page {
    /// Takes pixels; `None` where they are not three bytes for each point, or none at all.
    pub fn new(width: usize, height: usize, pixels: Vec<u8>) -> Option<Self> {
        let bytes = width.checked_mul(height)?.checked_mul(3)?;
        (bytes > 0 && bytes == pixels.len()).then_some(Self {
            width,
            height,
            pixels,
        })
    }

    /// Gives the number of points across.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Gives the number of points down.
    pub fn height(&self) -> usize {
        self.height
    }

    /// Gives the bytes of the pixels, row by row.
    pub fn pixels(&self) -> &[u8] {
        &self.pixels
    }

    pub(super) fn row(&self, y: usize) -> &[u8] {
        &self.pixels[y * self.width * 3..][..self.width * 3]
    }

    /// Gives the light at a place between the middles of four pixels; `None` outside the page.
    pub(super) fn light_at(&self, x: f64, y: f64) -> Option<[f32; 3]> {
        if x < 0.0 || y < 0.0 {
            return None;
        }
        let (left, top) = (x as usize, y as usize);
        if left + 1 >= self.width || top + 1 >= self.height {
            return None;
        }
        let (across, down) = ((x - left as f64) as f32, (y - top as f64) as f32);
        let table: &[f32; 256] = &LIGHT;
        let upper = &self.pixels[(top * self.width + left) * 3..][..6];
        let lower = &self.pixels[((top + 1) * self.width + left) * 3..][..6];
        let of = |byte: u8| table[usize::from(byte)];
        Some(std::array::from_fn(|c| {
            let above = of(upper[c]) * (1.0 - across) + of(upper[c + 3]) * across;
            let below = of(lower[c]) * (1.0 - across) + of(lower[c + 3]) * across;
            above * (1.0 - down) + below * down
        }))
    }

    /// Gives the part of the page from a corner on, as far as it lies on the page; `None` where none of it does.
    pub fn part(&self, [left, top]: [f64; 2], [wide, high]: [f64; 2]) -> Option<Self> {
        let within = |from: f64, size: f64, most: usize| {
            (from.max(0.0) as usize).min(most)..((from + size).max(0.0) as usize).min(most)
        };
        let (columns, rows) = (
            within(left, wide, self.width),
            within(top, high, self.height),
        );
        let (width, height) = (columns.len(), rows.len());
        let lines = rows.flat_map(|y| &self.row(y)[columns.start * 3..columns.end * 3]);
        Self::new(width, height, lines.copied().collect())
    }

    /// Gives the page with so many points each way made into one.
    #[must_use]
    pub fn shrunk(&self, factor: usize) -> Self {
        let (width, height) = ((self.width / factor).max(1), (self.height / factor).max(1));
        if factor <= 1 || width * factor > self.width || height * factor > self.height {
            return self.clone();
        }
        let mut pixels = Vec::with_capacity(width * height * 3);
        let mut sums = vec![0_u32; width * 3];
        let count = (factor * factor) as u32;
        for y in 0..height {
            sums.fill(0);
            for line in 0..factor {
                let row = &self.row(y * factor + line)[..width * factor * 3];
                for (sum, cells) in sums.chunks_exact_mut(3).zip(row.chunks_exact(3 * factor)) {
                    for pixel in cells.chunks_exact(3) {
                        for c in 0..3 {
                            sum[c] += u32::from(pixel[c]);
                        }
                    }
                }
            }
            pixels.extend(sums.iter().map(|sum| ((sum + count / 2) / count) as u8));
        }
        Self {
            width,
            height,
            pixels,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pixels_that_do_not_fill_the_page_are_refused() {
        assert!(Page::new(2, 2, vec![0; 12]).is_some());
        assert!(Page::new(2, 2, vec![0; 11]).is_none());
        assert!(Page::new(0, 5, Vec::new()).is_none());
        assert!(Page::new(usize::MAX, 2, Vec::new()).is_none());
    }

    #[test]
    fn light_is_taken_between_pixels_and_ends_at_the_border() {
        let page = Page::new(2, 2, [[0; 3], [255; 3], [0; 3], [255; 3]].concat()).expect("a page");
        let light = page.light_at(0.25, 0.5).expect("inside");
        assert!((light[1] - 0.25).abs() < 1e-6);
        assert!(page.light_at(1.0, 0.0).is_none());
        assert!(page.light_at(-0.1, 0.0).is_none());
    }

    #[test]
    fn a_part_of_a_page_ends_where_the_page_does() {
        let pixels: Vec<u8> = (0..12).flat_map(|v| [v; 3]).collect();
        let page = Page::new(4, 3, pixels).expect("a page");
        let part = page.part([1.0, 1.0], [2.0, 9.0]).expect("lies on it");
        assert_eq!((part.width(), part.height()), (2, 2));
        assert_eq!(part.pixels()[..6], [5, 5, 5, 6, 6, 6]);
        assert!(page.part([-9.0, 0.0], [5.0, 2.0]).is_none());
    }

    #[test]
    fn a_smaller_page_holds_the_mean_of_its_points() {
        let pixels: Vec<u8> = [0, 100, 100, 200].iter().flat_map(|&v| [v; 3]).collect();
        let small = Page::new(2, 2, pixels).expect("a page").shrunk(2);
        assert_eq!(small.pixels(), [100; 3]);
    }
}
