//! Renders a bed to the numbers of a file: every pixel looks up what each piece near it hides, sends and shades.

use super::bed::Bed;
use super::light::Light;
use super::piece::{Piece, Seen, Workshop};
use super::scanner::Optics;
use super::sensor::Grid;
use std::sync::Mutex;
use std::thread;

/// Rows that a thread takes at a time.
const ROWS: usize = 32;
/// Below this share of free rays the light on the paper behind a piece says nothing.
const LEAST_FREE: f32 = 0.002;

/// Red, green and blue of every pixel, row by row.
#[derive(Clone, Debug)]
pub(crate) struct Pixels {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) rgb: Vec<u8>,
}

/// Renders with as many threads as there are.
pub(crate) fn render(bed: &Bed) -> Pixels {
    let page = Page::of(bed);
    let width = page.grid.width;
    let mut rgb = vec![0; width * page.grid.height * 3];
    in_blocks(&mut rgb, width * 3, |row, out| page.row(row, out));
    if bed.scanner.sharpening > 0.0 {
        rgb = sharpened(&rgb, width * 3, bed.scanner.sharpening as f32);
    }
    Pixels {
        width,
        height: page.grid.height,
        rgb,
    }
}

fn threads() -> usize {
    thread::available_parallelism().map_or(1, usize::from)
}

/// Gives each row of `rgb` to `fill`, rows shared out among threads.
fn in_blocks(rgb: &mut [u8], line: usize, fill: impl Fn(usize, &mut [u8]) + Sync) {
    let work = Mutex::new(rgb.chunks_mut(line * ROWS).enumerate());
    let take = || {
        work.lock()
            .expect("no thread of the simulator panics")
            .next()
    };
    thread::scope(|scope| {
        for _ in 0..threads() {
            scope.spawn(|| {
                while let Some((block, rows)) = take() {
                    for (row, out) in rows.chunks_mut(line).enumerate() {
                        fill(block * ROWS + row, out);
                    }
                }
            });
        }
    });
}

struct Page<'a> {
    bed: &'a Bed,
    grid: Grid,
    /// Those on the glass first, then those that lie on others.
    pieces: Vec<Piece>,
    specks: Vec<[f64; 4]>,
    /// How far a lens may shift what stands high, mm.
    shift: f64,
}

/// One row in the making.
struct Row {
    /// Share of each pixel's rays that no piece has stopped.
    free: Vec<f32>,
    /// Light on the paper where these end.
    shade: Vec<f32>,
    light: Vec<[f32; 3]>,
}

impl<'a> Page<'a> {
    fn of(bed: &'a Bed) -> Self {
        let light = Light::new(&bed.scanner);
        let mut pieces = pieces(&Workshop { bed, light: &light });
        pieces.sort_by_key(|piece| piece.lifted);
        Self {
            bed,
            grid: Grid::of(bed),
            pieces,
            specks: bed.specks(),
            shift: match bed.scanner.optics {
                Optics::Cis { .. } => 0.0,
                Optics::Ccd { .. } => 4.0,
            },
        }
    }

    fn row(&self, row: usize, out: &mut [u8]) {
        let width = self.grid.width;
        let mut line = Row {
            free: vec![1.0; width],
            shade: vec![1.0; width],
            light: vec![[0.0; 3]; width],
        };
        let y = self.grid.rows[row];
        for piece in &self.pieces {
            let [x, middle] = piece.centre();
            if (y - middle).abs() > piece.farthest {
                continue;
            }
            let reach = piece.farthest + self.shift;
            let columns = &self.grid.columns;
            let first = columns.partition_point(|column| column[0] < x - reach);
            let last = columns.partition_point(|column| column[0] < x + reach);
            for (place, &[at, slope]) in columns[first..last].iter().enumerate() {
                if let Some(seen) = piece.seen(at, y, slope) {
                    line.add(first + place, &seen, piece.lifted);
                }
            }
        }
        let paper = self.bed.backing.albedo().map(|value| value as f32);
        for column in 0..width {
            let open = line.free[column] * line.shade[column] * self.grid.grain(column, row);
            for (light, paper) in line.light[column].iter_mut().zip(paper) {
                *light += open * paper;
            }
        }
        self.dust(y, &mut line);
        self.grid.expose(row, &line.light, out);
    }

    /// Specks lie on the glass, before everything else.
    fn dust(&self, y: f64, line: &mut Row) {
        let pixel = self.bed.scanner.pixel();
        for &[at, middle, size, dark] in &self.specks {
            if (y - middle).abs() > size + pixel {
                continue;
            }
            let columns = &self.grid.columns;
            let first = columns.partition_point(|column| column[0] < at - size - pixel);
            let last = columns.partition_point(|column| column[0] < at + size + pixel);
            for (light, column) in line.light[first..last]
                .iter_mut()
                .zip(&columns[first..last])
            {
                let off = (column[0] - at).hypot(y - middle);
                let cover = ((size - off) / pixel + 0.5).clamp(0.0, 1.0);
                *light = light.map(|value| value * (1.0 - cover * dark) as f32);
            }
        }
    }
}

impl Row {
    /// Two pieces on the glass stop different rays of a pixel, as they cannot lie in one place; a piece above
    /// others gets what they leave.
    fn add(&mut self, column: usize, seen: &Seen, lifted: bool) {
        let cover = seen.sample.cover;
        let free = &mut self.free[column];
        let share = if lifted {
            *free
        } else if cover > *free {
            *free / cover
        } else {
            1.0
        };
        for (light, own) in self.light[column].iter_mut().zip(seen.light) {
            *light += own * share;
        }
        *free = (*free - cover * share).max(0.0);
        if cover < 1.0 - LEAST_FREE {
            self.shade[column] *= (seen.sample.paper / (1.0 - cover)).clamp(0.0, 1.2);
        }
    }
}

/// All pieces with their tables, made by all threads.
fn pieces(workshop: &Workshop) -> Vec<Piece> {
    let bed = workshop.bed;
    let rings = bed.rings.len();
    let count = rings + bed.things.len();
    let make = |index: usize| {
        let seed = bed
            .seed
            .wrapping_mul(0x9e37_79b9)
            .wrapping_add(index as u64);
        if index < rings {
            workshop.ring(&bed.rings[index], seed)
        } else {
            workshop.thing(&bed.things[index - rings], seed)
        }
    };
    let next = Mutex::new(0..count);
    let take = || {
        next.lock()
            .expect("no thread of the simulator panics")
            .next()
    };
    let mut made: Vec<(usize, Piece)> = thread::scope(|scope| {
        let workers: Vec<_> = (0..threads())
            .map(|_| {
                scope.spawn(|| {
                    let mut own = Vec::new();
                    while let Some(index) = take() {
                        own.push((index, make(index)));
                    }
                    own
                })
            })
            .collect();
        workers
            .into_iter()
            .flat_map(|worker| worker.join().expect("no thread of the simulator panics"))
            .collect()
    });
    made.sort_by_key(|one| one.0);
    made.into_iter().map(|one| one.1).collect()
}

/// An unsharp mask over 3 × 3 pixels on the numbers of the file.
fn sharpened(rgb: &[u8], line: usize, amount: f32) -> Vec<u8> {
    let height = rgb.len() / line;
    let mut sharp = vec![0; rgb.len()];
    in_blocks(&mut sharp, line, |row, out| {
        let rows = [row.saturating_sub(1), row, (row + 1).min(height - 1)]
            .map(|row| &rgb[row * line..(row + 1) * line]);
        for (place, target) in out.iter_mut().enumerate() {
            let left = if place < 3 { place } else { place - 3 };
            let right = if place + 3 < line { place + 3 } else { place };
            let sum: u32 = rows
                .iter()
                .map(|row| u32::from(row[left]) + u32::from(row[place]) + u32::from(row[right]))
                .sum();
            let value = f32::from(rows[1][place]);
            let raised = value + amount * (value - sum as f32 / 9.0);
            *target = raised.round().clamp(0.0, 255.0) as u8;
        }
    });
    sharp
}
