//! Where the edges of a ring roughly are: several starts, of which the fine fit takes the best.

use super::hole::{RAYS, ray};
use super::polar::{STEP, Samples, Surroundings};
use super::series::{Radii, median, quantile};

/// Holds rough places of both edges on each ray, in samples.
#[derive(Debug, Clone)]
pub(super) struct Rough {
    pub(super) inner: Vec<f64>,
    pub(super) outer: Vec<f64>,
}

/// Names a way to start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Start {
    /// The first rise on the way out of the ring, in the channel that shows it best: passes shadows, which come later.
    FirstRise,
    /// The rays vote for the shape of the hole moved, shrunk or grown, in the ring's own colour.
    ColourVotes,
    /// The first rise in the ring's own colour.
    ColourRise,
    /// Votes in the channel that shows the ring best.
    Votes,
    /// Votes by the strength of the edge: a pale ring whose edge is clear on some rays alone.
    Strength,
}

impl Start {
    pub(super) const ALL: [Self; 5] = [
        Self::FirstRise,
        Self::ColourVotes,
        Self::ColourRise,
        Self::Votes,
        Self::Strength,
    ];

    /// Finds rough edges. `shape`: the hole's plain outline, `section`: both in samples.
    pub(super) fn find(self, around: &Surroundings, shape: &[f64], section: f64) -> Option<Rough> {
        let samples = match self {
            Self::FirstRise | Self::Votes | Self::Strength => &around.root,
            Self::ColourVotes | Self::ColourRise => &around.colour.as_ref()?.root,
        };
        let slopes = samples
            .along_ring(around.sigma_rays)
            .slope(around.sigma.max(0.05 * section));
        match self {
            Self::FirstRise | Self::ColourRise => first_rise(&slopes, shape, section),
            Self::Votes | Self::ColourVotes => Votes::of_ranks(&slopes).edges(shape, section),
            Self::Strength => Votes::of_strength(&slopes).edges(shape, section),
        }
    }
}

/// Orders of the outline from turn to turn.
const ORDERS: [usize; 5] = [1, 2, 2, 3, 3];

fn first_rise(slopes: &Samples, shape: &[f64], section: f64) -> Option<Rough> {
    let mut middle: Vec<f64> = shape.iter().map(|r| r + 0.5 * section).collect();
    let mut rough = None;
    for order in ORDERS {
        let inner = rises(slopes, &middle, Way::In, section)?.smooth(order)?;
        let outer = rises(slopes, &middle, Way::Out, section)?.smooth(order)?;
        middle = inner
            .iter()
            .zip(&outer)
            .map(|(a, b)| (a + b) / 2.0)
            .collect();
        rough = Some(Rough { inner, outer });
    }
    rough
}

/// Names a way along a ray, from the middle of the section.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    /// To the middle of the ring.
    In,
    /// Away from it.
    Out,
}

impl Way {
    pub(super) fn sign(self) -> f64 {
        match self {
            Self::In => -1.0,
            Self::Out => 1.0,
        }
    }
}

/// Gives the first place on each ray where the light rises clearly towards the paper.
fn rises(slopes: &Samples, middle: &[f64], way: Way, section: f64) -> Option<Radii> {
    let (start, end) = (-((0.12 * section) as i64), (1.9 * section) as i64 + 4);
    let sign = way.sign();
    let lines: Vec<Vec<f32>> = (0..RAYS)
        .map(|k| {
            let row = slopes.row(k);
            let from = middle[k].round() as i64;
            let place = |o: i64| usize::try_from(from + sign as i64 * o).ok();
            (start..end)
                .map(|o| {
                    place(o)
                        .and_then(|at| row.get(at))
                        .map_or(-1.0, |v| sign as f32 * v)
                })
                .collect()
        })
        .collect();
    let top = |line: &Vec<f32>| line.iter().fold(-1.0_f32, |a, &b| a.max(b));
    let mut tops: Vec<f64> = lines.iter().map(|line| f64::from(top(line))).collect();
    let usual = quantile(&mut tops, 0.8) as f32;
    let places: Vec<f64> = lines
        .iter()
        .enumerate()
        .map(|(k, line)| {
            let least = (0.16 * top(line)).max(0.05 * usual);
            first_peak(line, least).map_or(f64::NAN, |at| {
                middle[k].round() + sign * (at as i64 + start) as f64
            })
        })
        .collect();
    let found = places.iter().filter(|p| p.is_finite()).count();
    (found * 10 >= RAYS * 3).then(|| Radii::even(places))
}

fn first_peak(line: &[f32], least: f32) -> Option<usize> {
    let peak = |w: &[f32]| w[1] >= w[0] && w[1] > w[2] && w[1] > least;
    line.windows(3).position(peak).map(|at| at + 1)
}

/// Every fourth ray votes.
const VOTING: usize = 4;

/// Holds how strongly each voting ray is for an edge at each sample.
struct Votes {
    inner: Vec<Vec<f32>>,
    outer: Vec<Vec<f32>>,
}

/// Where the votes of a shape moved by so much are most.
#[derive(Clone, Copy)]
struct Poll {
    votes: f64,
    across: f64,
    down: f64,
    inner: i64,
    outer: i64,
}

impl Votes {
    /// At most one vote an edge, whatever its strength.
    fn of_ranks(slopes: &Samples) -> Self {
        let mut tops: Vec<f64> = (0..RAYS)
            .step_by(VOTING)
            .map(|k| strong_slope(slopes.row(k), 0.99))
            .collect();
        let each = tops.clone();
        let least = 0.25 * median(&mut tops);
        Self::of(slopes, |ray| each[ray].max(least), f32::sqrt)
    }

    fn of_strength(slopes: &Samples) -> Self {
        let top = 0.7 * strong_slope(&slopes.values, 0.995);
        Self::of(slopes, |_| top, |vote| vote)
    }

    fn of(slopes: &Samples, top: impl Fn(usize) -> f64, weigh: impl Fn(f32) -> f32) -> Self {
        let side = |sign: f32| {
            (0..RAYS / VOTING)
                .map(|ray| {
                    let top = top(ray).max(1e-9) as f32;
                    let row = slopes.row(ray * VOTING).iter();
                    row.map(|v| weigh((sign * v / top).clamp(0.0, 1.0)))
                        .collect()
                })
                .collect()
        };
        Self {
            inner: side(-1.0),
            outer: side(1.0),
        }
    }

    /// Moves the shape in ever finer steps to where it has most votes.
    fn edges(&self, shape: &[f64], section: f64) -> Option<Rough> {
        let reach = section.max(8.0);
        let wide = self.widened((0.06 * section) as usize);
        let mut best = Poll {
            votes: -1.0,
            across: 0.0,
            down: 0.0,
            inner: 0,
            outer: 0,
        };
        for (votes, span, parts) in [(&wide, 0.5, 9), (self, 0.1, 5), (self, 0.04, 5)] {
            let about = best;
            best.votes = -1.0;
            for i in 0..parts * parts {
                let part =
                    |i: i32| span * (2.0 * f64::from(i) / f64::from(parts - 1) - 1.0) * reach;
                let across = about.across + part(i / parts);
                let down = about.down + part(i % parts);
                let poll = votes.poll(shape, section, [across, down]);
                if poll.votes > best.votes {
                    best = poll;
                }
            }
        }
        (best.votes > 0.0).then(|| {
            let moved = |by: i64| {
                let places = shape.iter().enumerate();
                places
                    .map(|(k, r)| {
                        r + best.across * ray(k).cos() + best.down * ray(k).sin() + by as f64
                    })
                    .collect()
            };
            Rough {
                inner: moved(best.inner),
                outer: moved(best.outer),
            }
        })
    }

    fn widened(&self, by: usize) -> Self {
        let widen = |rows: &[Vec<f32>]| {
            rows.iter()
                .map(|row| {
                    (0..row.len())
                        .map(|i| {
                            let near = &row[i.saturating_sub(by)..(i + by + 1).min(row.len())];
                            near.iter().fold(0.0_f32, |a, &b| a.max(b))
                        })
                        .collect()
                })
                .collect()
        };
        Self {
            inner: widen(&self.inner),
            outer: widen(&self.outer),
        }
    }

    fn poll(&self, shape: &[f64], section: f64, moved: [f64; 2]) -> Poll {
        let reach = section.max(8.0);
        let least = (0.15 * section).max(3.0) as i64;
        let start = (-0.3 * reach) as i64;
        let places: Vec<i64> = (0..RAYS)
            .step_by(VOTING)
            .map(|k| (shape[k] + moved[0] * ray(k).cos() + moved[1] * ray(k).sin()).round() as i64)
            .collect();
        let inner = tally(&self.inner, &places, start..(0.9 * reach) as i64);
        let outer = tally(
            &self.outer,
            &places,
            start..(0.9 * reach + 2.0 * section) as i64,
        );
        let top = (0..inner.len()).max_by(|&a, &b| inner[a].total_cmp(&inner[b]).then(b.cmp(&a)));
        let mut poll = Poll {
            votes: -1.0,
            across: moved[0],
            down: moved[1],
            inner: start + top.unwrap_or(0) as i64,
            outer: 0,
        };
        let inner_votes = top.map_or(0.0, |at| inner[at]);
        for (at, votes) in (start..).zip(outer) {
            let width = at - poll.inner;
            if width < least || width as f64 > 2.0 * section + least as f64 {
                continue;
            }
            // Of two edges that are as clear the nearer one: a shadow lies outside.
            let votes = inner_votes + votes - 0.04 * width as f64 / section;
            if votes > poll.votes {
                poll.votes = votes;
                poll.outer = at;
            }
        }
        poll
    }
}

fn strong_slope(values: &[f32], share: f64) -> f64 {
    let mut sizes: Vec<f64> = values.iter().map(|v| f64::from(v.abs())).collect();
    quantile(&mut sizes, share)
}

/// Gives the mean vote for the shape moved along the rays by each of some offsets.
fn tally(votes: &[Vec<f32>], places: &[i64], offsets: std::ops::Range<i64>) -> Vec<f64> {
    let mut sums = vec![0.0_f32; usize::try_from(offsets.end - offsets.start).unwrap_or(0)];
    for (row, place) in votes.iter().zip(places) {
        let first = place + offsets.start;
        let skip = usize::try_from(-first).unwrap_or(0);
        let from = usize::try_from(first).unwrap_or(0);
        let there = row.get(from..).unwrap_or_default();
        for (sum, vote) in sums.iter_mut().skip(skip).zip(there) {
            *sum += vote;
        }
    }
    sums.iter()
        .map(|&sum| f64::from(sum) / places.len() as f64)
        .collect()
}

/// Gives the mean section of rough edges, in points.
pub(super) fn section_of(rough: &Rough) -> f64 {
    let mut widths: Vec<f64> = rough
        .outer
        .iter()
        .zip(&rough.inner)
        .map(|(o, i)| o - i)
        .collect();
    median(&mut widths) * STEP
}
