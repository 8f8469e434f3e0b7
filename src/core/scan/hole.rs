//! Places where a ring may lie: regions of paper that something encloses.
//!
//! One ring is one hole, so that rings that touch need no splitting.

use super::ground::Distance;
use super::series::Radii;
use std::f64::consts::{PI, TAU};

/// Rays about the middle of a hole on which everything is measured.
pub(super) const RAYS: usize = 720;

/// A hole, in points of the whole page.
#[derive(Debug, Clone)]
pub(super) struct Hole {
    pub(super) x: f64,
    pub(super) y: f64,
    /// Radius of the circle of the same area.
    pub(super) radius: f64,
    /// Distance of its outline along each ray.
    pub(super) outline: Vec<f64>,
    /// The same of a plain round shape of it.
    pub(super) shape: Vec<f64>,
}

/// A smaller hole is dust or the eye of a letter, mm².
const LEAST_AREA_MM2: f64 = 0.25;
/// What scatters more about a plain round shape, in parts of its radius, is no ring's hole, but what lies between three rings; the
/// border of small ones scatters by half a point.
const MOST_SCATTER: f64 = 0.12;
/// Fewer points have no shape.
const LEAST_POINTS: usize = 12;

/// One run of points of a kind along a row.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run {
    pub(super) row: usize,
    pub(super) start: usize,
    pub(super) end: usize,
}

/// Finds the holes at one threshold. `pitch`: millimetres of a point of the small page; `factor`: points of the whole page
/// to one of the small.
pub(super) fn holes(distance: &Distance, level: u8, pitch: f64, factor: usize) -> Vec<Hole> {
    let least = (LEAST_AREA_MM2 / pitch / pitch).max(LEAST_POINTS as f64);
    let is_inside = |run: &Run| {
        run.start > 0 && run.end < distance.width && run.row > 0 && run.row + 1 < distance.height
    };
    let paper = regions(distance, |step| step <= level).into_iter();
    let holes = paper.filter_map(|runs| {
        let area: usize = runs.iter().map(|run| run.end - run.start).sum();
        if (area as f64) < 0.5 * least || !runs.iter().all(is_inside) {
            return None;
        }
        let mut points = Vec::new();
        for run in runs {
            run.border(distance, level, &mut points);
        }
        Some(Hole::of(&points, least)?.on_page(factor))
    });
    holes.collect()
}

/// Gives the regions of points that are so, each as its runs from the top down.
pub(super) fn regions(distance: &Distance, is: impl Fn(u8) -> bool) -> Vec<Vec<Run>> {
    let runs = runs(distance, is);
    let mut roots = joined(&runs);
    let mut regions: Vec<Vec<Run>> = Vec::new();
    let mut numbers = vec![usize::MAX; runs.len()];
    for (at, run) in runs.iter().enumerate() {
        let root = root_of(&mut roots, at);
        if numbers[root] == usize::MAX {
            numbers[root] = regions.len();
            regions.push(Vec::new());
        }
        regions[numbers[root]].push(*run);
    }
    regions
}

impl Run {
    /// Gives the points of a run, not at the border of the page, that have something else than paper beside them.
    fn border(self, distance: &Distance, level: u8, points: &mut Vec<[f64; 2]>) {
        let start = self.row * distance.width;
        for x in self.start..self.end {
            let at = start + x;
            let near = [at - 1, at + 1, at - distance.width, at + distance.width];
            if near.iter().any(|&near| distance.steps[near] > level) {
                points.push([x as f64, self.row as f64]);
            }
        }
    }
}

fn runs(distance: &Distance, is: impl Fn(u8) -> bool) -> Vec<Run> {
    let mut runs = Vec::new();
    for (row, line) in distance.steps.chunks_exact(distance.width).enumerate() {
        let mut start = 0;
        for group in line.chunk_by(|a, b| is(*a) == is(*b)) {
            let end = start + group.len();
            if is(group[0]) {
                runs.push(Run { row, start, end });
            }
            start = end;
        }
    }
    runs
}

/// Joins runs that touch from row to row: for each run, one that stands for it.
fn joined(runs: &[Run]) -> Vec<usize> {
    let mut roots: Vec<usize> = (0..runs.len()).collect();
    let mut above = 0;
    for (at, run) in runs.iter().enumerate() {
        while runs[above].row + 1 < run.row
            || (runs[above].row + 1 == run.row && runs[above].end <= run.start)
        {
            above += 1;
        }
        let mut next = above;
        while runs[next].row + 1 == run.row && runs[next].start < run.end {
            let (a, b) = (root_of(&mut roots, next), root_of(&mut roots, at));
            roots[a.max(b)] = a.min(b);
            next += 1;
        }
    }
    roots
}

fn root_of(roots: &mut [usize], mut at: usize) -> usize {
    while roots[at] != at {
        roots[at] = roots[roots[at]];
        at = roots[at];
    }
    at
}

impl Hole {
    /// Makes a hole of its border points; `None` where it has not the shape of one.
    fn of(points: &[[f64; 2]], least_area: f64) -> Option<Self> {
        if points.len() < LEAST_POINTS {
            return None;
        }
        let (mut low, mut high) = ([f64::MAX; 2], [f64::MIN; 2]);
        for point in points {
            for axis in 0..2 {
                low[axis] = low[axis].min(point[axis]);
                high[axis] = high[axis].max(point[axis]);
            }
        }
        let mut middle = [
            f64::midpoint(low[0], high[0]),
            f64::midpoint(low[1], high[1]),
        ];
        let mut outline = outline_about(points, middle)?;
        for _ in 0..2 {
            middle = centroid(&outline, middle);
            outline = outline_about(points, middle)?;
        }
        let (area, round) = (area(&outline), Radii::even(outline.clone()).fit(2, 1e-6)?);
        let radius = (area / PI).sqrt();
        let is_hole = area >= least_area && round.scatter < MOST_SCATTER * radius + 0.5;
        is_hole.then(|| Self {
            x: middle[0],
            y: middle[1],
            radius,
            shape: (0..RAYS).map(|k| round.series.radius(ray(k))).collect(),
            outline,
        })
    }

    fn on_page(mut self, factor: usize) -> Self {
        let factor = factor as f64;
        self.x = (self.x + 0.5) * factor - 0.5;
        self.y = (self.y + 0.5) * factor - 0.5;
        self.radius *= factor;
        for radius in self.outline.iter_mut().chain(&mut self.shape) {
            *radius *= factor;
        }
        self
    }

    /// Tells whether another is nearly the same hole.
    pub(super) fn is_like(&self, other: &Self) -> bool {
        (self.x - other.x).hypot(self.y - other.y) < 0.1 * other.radius
            && (0.93..1.07).contains(&(self.radius / other.radius))
    }
}

/// Gives the angle of a ray.
pub(super) fn ray(k: usize) -> f64 {
    k as f64 * TAU / RAYS as f64
}

/// Gives the farthest point in each direction; what lies inside the hole (an island, a ring in the ring) does not count.
///
/// There are fewer directions than the border of a hole of this extent has points, so that each holds one of the border.
fn outline_about(points: &[[f64; 2]], middle: [f64; 2]) -> Option<Vec<f64>> {
    let apart = |point: &[f64; 2]| [point[0] - middle[0], point[1] - middle[1]];
    let mut sizes: Vec<f64> = points
        .iter()
        .map(|p| apart(p)[0].hypot(apart(p)[1]))
        .collect();
    let reach = super::series::quantile(&mut sizes, 0.9);
    let count = ((0.5 * TAU * reach) as usize).clamp(12, RAYS / 2);
    let mut coarse = vec![0.0_f64; count];
    for point in points {
        let [x, y] = apart(point);
        let at = (y.atan2(x) / TAU * count as f64)
            .round()
            .rem_euclid(count as f64);
        // The border lies half a point outside the middle of its points.
        coarse[at as usize % count] = coarse[at as usize % count].max(x.hypot(y) + 0.5);
    }
    if coarse.iter().filter(|&&r| r > 0.0).count() * 4 < count * 3 {
        return None;
    }
    let between = |k: usize| {
        let at = k as f64 * count as f64 / RAYS as f64;
        let (low, part) = (at as usize, at.fract());
        coarse[low % count] * (1.0 - part) + coarse[(low + 1) % count] * part
    };
    Some((0..RAYS).map(between).collect())
}

fn area(outline: &[f64]) -> f64 {
    outline.iter().map(|r| r * r).sum::<f64>() * PI / RAYS as f64
}

fn centroid(outline: &[f64], about: [f64; 2]) -> [f64; 2] {
    let area = area(outline);
    let step = TAU / RAYS as f64;
    let mut moved = [0.0; 2];
    for (k, r) in outline.iter().enumerate() {
        let part = r.powi(3) / 3.0 * step / area;
        moved[0] += part * ray(k).cos();
        moved[1] += part * ray(k).sin();
    }
    [about[0] + moved[0], about[1] + moved[1]]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A picture of dark shapes on paper: `dark(x, y)` tells where.
    fn distance(width: usize, height: usize, dark: impl Fn(f64, f64) -> bool) -> Distance {
        let steps = (0..width * height)
            .map(|at| {
                if dark((at % width) as f64, (at / width) as f64) {
                    200
                } else {
                    2
                }
            })
            .collect();
        Distance {
            width,
            height,
            steps,
            levels: vec![100],
        }
    }

    fn annulus(x: f64, y: f64, inner: f64, outer: f64) -> impl Fn(f64, f64) -> bool {
        move |px, py| (inner..outer).contains(&(px - x).hypot(py - y))
    }

    #[test]
    fn a_ring_in_a_ring_is_two_holes_and_a_disc_is_none() {
        let (large, small, disc) = (
            annulus(100.0, 100.0, 70.0, 85.0),
            annulus(90.0, 110.0, 20.0, 30.0),
            annulus(250.0, 60.0, 0.0, 30.0),
        );
        let picture = distance(300, 200, |x, y| large(x, y) || small(x, y) || disc(x, y));
        let mut found = holes(&picture, 100, 0.1, 1);
        found.sort_by(|a, b| a.radius.total_cmp(&b.radius));
        assert_eq!(found.len(), 2);
        for (hole, (x, y, radius)) in found
            .iter()
            .zip([(90.0, 110.0, 20.0), (100.0, 100.0, 70.0)])
        {
            assert!(
                (hole.x - x).abs() < 0.5 && (hole.y - y).abs() < 0.5,
                "{hole:?}"
            );
            assert!((hole.radius - radius).abs() < 1.0, "{}", hole.radius);
        }
    }

    #[test]
    fn what_lies_between_three_rings_and_what_is_open_is_no_hole() {
        let rings =
            [(60.0, 60.0), (140.0, 60.0), (100.0, 129.3)].map(|(x, y)| annulus(x, y, 28.0, 40.6));
        let picture = distance(200, 200, |x, y| rings.iter().any(|ring| ring(x, y)));
        assert_eq!(holes(&picture, 100, 0.1, 1).len(), 3);
        let whole = annulus(60.0, 60.0, 28.0, 40.0);
        let cut = distance(200, 200, |x, y| {
            whole(x, y) && !(x > 60.0 && (y - 60.0).abs() < 4.0)
        });
        assert!(holes(&cut, 100, 0.1, 1).is_empty());
    }
}
