//! The paper behind the rings: its colour over the page, and how far each pixel lies from it.

use super::page::{Page, light};

/// Side of a tile, in points of the small page (about 300 dots an inch).
const TILE: usize = 48;
/// A pixel within this many steps of the commonest colour is paper.
const NEAR: i32 = 40;
/// Side of the boxes in which colours are counted.
const BOX: usize = 12;
const BOXES: usize = 22;

/// The colour of the paper by tiles.
#[derive(Debug, Clone)]
pub(super) struct Ground {
    tiles: Vec<[f32; 3]>,
    columns: usize,
    rows: usize,
    /// The commonest colour of the page.
    common: [u8; 3],
}

impl Ground {
    /// Finds the paper as the commonest colour, then by tiles the colour below which six tenths of its near pixels lie: the
    /// paper between shadows, with a lamp that falls off.
    pub(super) fn of(page: &Page) -> Self {
        let common = commonest(page);
        let columns = (page.width() / TILE).max(1);
        let rows = (page.height() / TILE).max(1);
        let mut found = Vec::with_capacity(columns * rows);
        for row in 0..rows {
            for column in 0..columns {
                let across = column * page.width() / columns..(column + 1) * page.width() / columns;
                let down = row * page.height() / rows..(row + 1) * page.height() / rows;
                found.push(tile(page, common, across, down));
            }
        }
        let usual = std::array::from_fn(|c| {
            let mut values: Vec<f64> = found.iter().flatten().map(|t| f64::from(t[c])).collect();
            if values.is_empty() {
                f32::from(common[c])
            } else {
                super::series::median(&mut values) as f32
            }
        });
        let tiles = found.into_iter().map(|t| t.unwrap_or(usual)).collect();
        let ground = Self {
            tiles,
            columns,
            rows,
            common,
        };
        ground.smoothed()
    }

    /// Gives the light of the commonest colour in its brightest channel, white as 1.
    pub(super) fn brightness(&self) -> f32 {
        self.common.iter().map(|&c| light(c)).fold(0.0, f32::max)
    }

    /// Gives the light of the paper at a place, in parts of the page's width and height.
    pub(super) fn light_at(&self, across: f64, down: f64) -> [f32; 3] {
        let place = |part: f64, count: usize| ((part * count as f64) as usize).min(count - 1);
        let tile = place(down, self.rows) * self.columns + place(across, self.columns);
        self.tiles[tile].map(|code| light(code.round() as u8))
    }

    /// Takes the middle of each tile and its eight neighbours.
    fn smoothed(mut self) -> Self {
        if self.columns < 3 || self.rows < 3 {
            return self;
        }
        let middle = |column: usize, row: usize, c: usize| {
            let mut near = Vec::with_capacity(9);
            for y in row.saturating_sub(1)..(row + 2).min(self.rows) {
                for x in column.saturating_sub(1)..(column + 2).min(self.columns) {
                    near.push(f64::from(self.tiles[y * self.columns + x][c]));
                }
            }
            super::series::median(&mut near) as f32
        };
        let places = (0..self.rows).flat_map(|y| (0..self.columns).map(move |x| (x, y)));
        self.tiles = places
            .map(|(x, y)| std::array::from_fn(|c| middle(x, y, c)))
            .collect();
        self
    }

    /// Gives the paper's colour along one row of a page, between the middles of tiles.
    fn along_row(&self, page: &Page, y: usize, line: &mut [[f32; 3]]) {
        let place = |at: usize, size: usize, count: usize| {
            let at = ((at as f32 + 0.5) * count as f32 / size as f32 - 0.5)
                .clamp(0.0, (count - 1) as f32);
            let low = (at as usize).min(count.saturating_sub(2));
            (low, (low + 1).min(count - 1), at - low as f32)
        };
        let (upper, lower, down) = place(y, page.height(), self.rows);
        let column: Vec<[f32; 3]> = (0..self.columns)
            .map(|x| {
                let (a, b) = (
                    self.tiles[upper * self.columns + x],
                    self.tiles[lower * self.columns + x],
                );
                std::array::from_fn(|c| a[c] + (b[c] - a[c]) * down)
            })
            .collect();
        for (x, cell) in line.iter_mut().enumerate() {
            let (left, right, part) = place(x, page.width(), self.columns);
            *cell = std::array::from_fn(|c| {
                column[left][c] + (column[right][c] - column[left][c]) * part
            });
        }
    }
}

fn commonest(page: &Page) -> [u8; 3] {
    let mut counts = vec![0_u32; BOXES * BOXES * BOXES];
    for pixel in page.pixels().chunks_exact(3) {
        let [r, g, b] = [pixel[0], pixel[1], pixel[2]].map(|c| usize::from(c) / BOX);
        counts[(r * BOXES + g) * BOXES + b] += 1;
    }
    let top = (0..counts.len()).max_by_key(|&at| counts[at]).unwrap_or(0);
    [top / BOXES / BOXES, top / BOXES % BOXES, top % BOXES]
        .map(|at| (at * BOX + BOX / 2).min(255) as u8)
}

/// Gives the paper's colour in one tile; `None` where less than a tenth of it is paper.
fn tile(
    page: &Page,
    common: [u8; 3],
    across: std::ops::Range<usize>,
    down: std::ops::Range<usize>,
) -> Option<[f32; 3]> {
    let mut counts = [[0_u32; 256]; 3];
    let (mut near, mut all) = (0_u32, 0_u32);
    for y in down {
        for pixel in page.row(y)[across.start * 3..across.end * 3].chunks_exact(3) {
            all += 1;
            if (0..3).all(|c| (i32::from(pixel[c]) - i32::from(common[c])).abs() < NEAR) {
                near += 1;
                for c in 0..3 {
                    counts[c][usize::from(pixel[c])] += 1;
                }
            }
        }
    }
    (near * 10 > all).then(|| {
        counts.map(|counts| {
            let mut sum = 0;
            let reached = counts.iter().position(|count| {
                sum += count;
                sum * 10 >= near * 6
            });
            reached.unwrap_or(255) as f32
        })
    })
}

/// How far each pixel of the small page lies from the paper, in steps of a byte, the greatest of the three channels.
#[derive(Debug)]
pub(super) struct Distance {
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) steps: Vec<u8>,
    /// The thresholds at which holes are looked for, those of plain rings first.
    pub(super) levels: Vec<u8>,
}

/// Names in what a pixel lies apart from the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Apart {
    /// In its light.
    Light,
    /// In its colour alone: the paper in any shadow keeps its colour, and is paper.
    Colour,
}

impl Apart {
    /// Gives in which shade the paper is compared with a pixel.
    fn shade(self, pixel: [f32; 3], paper: [f32; 3]) -> f32 {
        let product = |other: [f32; 3]| paper.iter().zip(other).map(|(a, b)| a * b).sum::<f32>();
        match self {
            Self::Light => 1.0,
            Self::Colour => product(pixel) / product(paper).max(1.0),
        }
    }
}

/// Parts of the way from the best single threshold to the rubber: a small hole lies wholly in the shadow of its ring, and is
/// hardly lighter.
const DEEP: [f64; 4] = [0.4, 0.75, 0.88, 1.0];
/// Parts of the best single threshold: rings that are lighter need less.
const PARTS: [f64; 5] = [1.0, 0.75, 0.5, 0.3, 0.15];

impl Distance {
    pub(super) fn of(page: &Page, ground: &Ground, apart: Apart) -> Self {
        let (width, height) = (page.width(), page.height());
        let mut steps = Vec::with_capacity(width * height);
        let mut line = vec![[0.0_f32; 3]; width];
        for y in 0..height {
            ground.along_row(page, y, &mut line);
            let pixels = page.row(y).chunks_exact(3).zip(&line);
            steps.extend(pixels.map(|(pixel, paper)| {
                let pixel = [pixel[0], pixel[1], pixel[2]].map(f32::from);
                let shade = apart.shade(pixel, *paper);
                let apart = |c: usize| (pixel[c] - shade * paper[c]).abs();
                apart(0).max(apart(1)).max(apart(2)) as u8
            }));
        }
        let mut distance = Self {
            width,
            height,
            steps,
            levels: Vec::new(),
        };
        distance
            .along_both(|a, b, c| ((u16::from(a) + 2 * u16::from(b) + u16::from(c) + 2) / 4) as u8);
        // A closing: gaps of a single pixel in an edge are filled.
        distance.along_both(|a, b, c| a.max(b).max(c));
        distance.along_both(|a, b, c| a.min(b).min(c));
        distance.set_levels();
        distance
    }

    /// Applies a rule of three neighbours along the rows, then along the columns; the border repeats itself.
    fn along_both(&mut self, rule: impl Fn(u8, u8, u8) -> u8) {
        for row in self.steps.chunks_exact_mut(self.width) {
            let mut before = row[0];
            for x in 0..row.len() {
                let (here, after) = (row[x], row[(x + 1).min(row.len() - 1)]);
                row[x] = rule(before, here, after);
                before = here;
            }
        }
        let mut before = self.steps[..self.width].to_vec();
        let mut here = before.clone();
        for y in 0..self.height {
            let below = (y + 1).min(self.height - 1) * self.width;
            let (start, width) = (y * self.width, self.width);
            for x in 0..width {
                here[x] = self.steps[start + x];
                self.steps[start + x] = rule(before[x], here[x], self.steps[below + x]);
            }
            std::mem::swap(&mut before, &mut here);
        }
    }

    fn set_levels(&mut self) {
        let mut counts = [0_u64; 256];
        for &step in &self.steps {
            counts[usize::from(step)] += 1;
        }
        let all: u64 = counts.iter().sum();
        let mut below = 0;
        let middle = counts.iter().position(|count| {
            below += count;
            below * 2 >= all
        });
        // Half of the pixels lie closer to the paper than this; a page of rings alone has no such middle.
        let noise = (middle.unwrap_or(0) as f64 + 0.5).min(8.0);
        let least = (6.0 * noise).max(8.0);
        for count in counts.iter_mut().take(least as usize + 1) {
            *count = 0;
        }
        let far: u64 = counts.iter().sum();
        let best = if far > 100 { split(&counts) } else { 30.0 };
        let rubber = mean_above(&counts, best);
        let deep = DEEP.map(|part| best + part * (rubber - best));
        let levels = PARTS.map(|part| part * best).into_iter().chain(deep);
        self.levels = levels.map(|level| level.max(least) as u8).collect();
        self.levels.dedup();
    }
}

/// Gives the threshold that parts counts into two groups with the least scatter within each (Otsu 1979).
fn split(counts: &[u64; 256]) -> f64 {
    let all: u64 = counts.iter().sum();
    let moment = |(at, &count): (usize, &u64)| at as f64 * count as f64;
    let sum: f64 = counts.iter().enumerate().map(moment).sum();
    let (mut best, mut at_best, mut low, mut low_sum) = (0.0, 30, 0_u64, 0.0);
    for (at, &count) in counts.iter().enumerate() {
        low += count;
        low_sum += at as f64 * count as f64;
        if low == 0 || low == all {
            continue;
        }
        let high = (all - low) as f64;
        let apart = low_sum / low as f64 - (sum - low_sum) / high;
        let between = low as f64 * high * apart * apart;
        if between > best {
            (best, at_best) = (between, at);
        }
    }
    at_best as f64
}

/// Gives the mean of what lies above a threshold.
fn mean_above(counts: &[u64; 256], threshold: f64) -> f64 {
    let above = || {
        counts
            .iter()
            .enumerate()
            .filter(|(at, _)| *at as f64 > threshold)
    };
    let all: u64 = above().map(|(_, count)| count).sum();
    let sum: f64 = above().map(|(at, &count)| at as f64 * count as f64).sum();
    sum / all.max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Paper that darkens to the right, with a dark square.
    fn page() -> Page {
        let shade = |x: usize, y: usize| {
            let paper = 230 - (x / 20) as u8;
            if (100..140).contains(&x) && (100..140).contains(&y) {
                40
            } else {
                paper
            }
        };
        let pixels = (0..300).flat_map(|y| (0..300).flat_map(move |x| [shade(x, y); 3]));
        Page::new(300, 300, pixels.collect()).expect("a page")
    }

    #[test]
    fn paper_is_followed_over_a_page_that_darkens() {
        let page = page();
        let distance = Distance::of(&page, &Ground::of(&page), Apart::Light);
        let at = |x: usize, y: usize| distance.steps[y * 300 + x];
        assert!(
            at(10, 10) <= 4 && at(290, 290) <= 4,
            "{} {}",
            at(10, 10),
            at(290, 290)
        );
        assert!(at(120, 120) > 170);
        assert!(distance.levels.iter().all(|level| *level >= 8));
    }
}
