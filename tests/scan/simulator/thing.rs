//! What lies on the bed and is no O-ring: plates with an outline, and bent round wire or cord.

use super::light::length;
use super::random::texture;

/// The outline of a thing about its own middle, unturned. Lengths in mm.
#[derive(Clone, Debug)]
pub(crate) enum Form {
    /// A plate with round outside and, if `bore` is over 0, a round hole: coin, washer, flat gasket, bearing ring.
    Disc { outside: f64, bore: f64 },
    /// A hexagon nut by its width across flats.
    Hexagon { flats: f64, bore: f64 },
    /// A snap ring with a gap of `gap` radians and two eyes.
    Circlip { outside: f64, width: f64, gap: f64 },
    /// A rectangle with round corners and round holes (x, y, diameter): gasket, card, rule.
    Panel {
        size: [f64; 2],
        corner: f64,
        holes: Vec<[f64; 3]>,
    },
    /// Cord or wire of this thickness bent to a circle that is open over `gap` radians: a ring cut through.
    Cut { inside: f64, gap: f64 },
    /// A coil spring on its side: wire to and fro.
    Spring { length: f64, width: f64, turns: u32 },
}

/// What its face shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Face {
    Plain,
    /// Turned or stamped metal.
    Metal,
    /// Relief that is struck: coins.
    Struck,
    /// Black lines every mm from the left edge, longer at 5 and 10, along x from 0.
    Rule,
    /// Print in stripes.
    Print,
}

/// One thing as it lies.
#[derive(Clone, Debug)]
pub(crate) struct Thing {
    pub(crate) form: Form,
    pub(crate) centre: [f64; 2],
    pub(crate) turn: f64,
    /// Cosine and sine of the turn.
    heading: [f64; 2],
    /// Height of a plate, or thickness of the wire.
    pub(crate) thick: f64,
    pub(crate) albedo: [f64; 3],
    pub(crate) gloss: f64,
    pub(crate) face: Face,
}

impl Thing {
    pub(crate) fn at(mut self, centre: [f64; 2], turn: f64) -> Self {
        self.centre = centre;
        self.turn = turn;
        self.heading = [turn.cos(), turn.sin()];
        self
    }

    /// Whether it is round in its section (and its distances run from a centre line).
    pub(crate) fn is_wire(&self) -> bool {
        matches!(self.form, Form::Cut { .. } | Form::Spring { .. })
    }

    /// Radius of the circle that holds it.
    pub(crate) fn bound(&self) -> f64 {
        match &self.form {
            Form::Disc { outside, .. } => 0.5 * outside,
            Form::Hexagon { flats, .. } => flats / 3.0_f64.sqrt(),
            Form::Circlip { outside, width, .. } => 0.5 * outside + width,
            Form::Panel { size, .. } => 0.5 * size[0].hypot(size[1]),
            Form::Cut { inside, .. } => 0.5 * inside + self.thick,
            Form::Spring { length, width, .. } => 0.5 * length.hypot(*width) + self.thick,
        }
    }

    /// Distance to the outline (below 0 within) or to the centre line of a wire, `x` and `y` off its middle.
    pub(crate) fn distance(&self, x: f64, y: f64) -> f64 {
        let [cosine, sine] = self.heading;
        let (x, y) = (x * cosine + y * sine, y * cosine - x * sine);
        match &self.form {
            Form::Disc { outside, bore } => annulus(x, y, *outside, *bore),
            Form::Hexagon { flats, bore } => {
                let [lean_x, lean_y] = [0.5 * x.abs(), 0.5 * 3.0_f64.sqrt() * y.abs()];
                let side = x.abs().max(lean_x + lean_y) - 0.5 * flats;
                side.max(0.5 * bore - length(x, y))
            }
            Form::Circlip {
                outside,
                width,
                gap,
            } => circlip(x, y, *outside, *width, *gap),
            Form::Panel {
                size,
                corner,
                holes,
            } => {
                let (over_x, over_y) = (
                    x.abs() - 0.5 * size[0] + corner,
                    y.abs() - 0.5 * size[1] + corner,
                );
                let outer =
                    length(over_x.max(0.0), over_y.max(0.0)) + over_x.max(over_y).min(0.0) - corner;
                holes
                    .iter()
                    .map(|hole| 0.5 * hole[2] - length(x - hole[0], y - hole[1]))
                    .fold(outer, f64::max)
            }
            Form::Cut { inside, gap } => {
                let (sine, cosine) = (0.5 * gap).sin_cos();
                arc(x, y, 0.5 * (inside + self.thick), [cosine, sine])
            }
            Form::Spring {
                length,
                width,
                turns,
            } => zigzag(x, y, *length, *width, *turns),
        }
    }

    /// Times the albedo at a place of its face, for pixels of this width.
    pub(crate) fn stain(&self, x: f64, y: f64, seed: u64, pixel: f64) -> f64 {
        let [cosine, sine] = self.heading;
        let (x, y) = (x * cosine + y * sine, y * cosine - x * sine);
        match self.face {
            Face::Plain => 1.0,
            Face::Metal => 0.8 + 0.4 * texture(x * 0.7 + 99.0, y * 9.0 + 99.0, seed),
            Face::Struck => {
                let relief = texture(x * 1.2 + 99.0, y * 1.2 + 99.0, seed);
                let fine = texture(x * 5.0 + 99.0, y * 5.0 + 99.0, seed ^ 7);
                0.55 + 0.6 * relief + 0.3 * fine
            }
            Face::Rule => self.rule(x, y, pixel),
            Face::Print => {
                let wave = texture(x * 0.15 + 99.0, y * 0.6 + 99.0, seed);
                if wave > 0.6 { 0.5 } else { 1.0 }
            }
        }
    }

    /// Lines 0.15 mm wide from the upper edge; zero lies 5 mm within the left end.
    fn rule(&self, x: f64, y: f64, pixel: f64) -> f64 {
        let Form::Panel { size, .. } = &self.form else {
            return 1.0;
        };
        let along = x + 0.5 * size[0] - 5.0;
        let mark = along.round();
        let down = y + 0.5 * size[1];
        let long = if mark % 10.0 == 0.0 {
            7.0
        } else if mark % 5.0 == 0.0 {
            5.5
        } else {
            4.0
        };
        if mark < 0.0 || mark > size[0] - 10.0 || down > long {
            return 1.0;
        }
        let share = ((0.075 - (along - mark).abs()) / pixel + 0.5).clamp(0.0, 1.0);
        1.0 - 0.88 * share
    }
}

fn annulus(x: f64, y: f64, outside: f64, bore: f64) -> f64 {
    let from = length(x, y);
    (from - 0.5 * outside).max(0.5 * bore - from)
}

/// A band with a gap at angle 0 and an eye on each end.
fn circlip(x: f64, y: f64, outside: f64, width: f64, gap: f64) -> f64 {
    let middle = 0.5 * (outside - width);
    let (sine, cosine) = (0.5 * gap).sin_cos();
    let band = arc(x, y, middle, [cosine, sine]) - 0.5 * width;
    // Both eyes are alike on both sides of the x axis; their holes go through the band's ends as well.
    let from = length(x - middle * cosine, y.abs() - middle * sine);
    band.min(from - 1.1 * width).max(0.45 * width - from)
}

/// Distance to an arc about the origin that is open about angle 0, up to an end in this direction on both sides.
fn arc(x: f64, y: f64, radius: f64, end: [f64; 2]) -> f64 {
    let [cosine, sine] = end;
    if x * sine <= y.abs() * cosine {
        return (length(x, y) - radius).abs();
    }
    length(x - radius * cosine, y.abs() - radius * sine)
}

/// Distance to a line that runs to and fro between two rails along x.
fn zigzag(x: f64, y: f64, length: f64, width: f64, turns: u32) -> f64 {
    let steps = 2 * turns;
    let corner = |index: u32| {
        let along = (f64::from(index) / f64::from(steps) - 0.5) * length;
        let side = if index.is_multiple_of(2) { 0.5 } else { -0.5 };
        [along, side * width]
    };
    let at = ((x / length + 0.5) * f64::from(steps)).clamp(0.0, f64::from(steps) - 0.5) as u32;
    (at.saturating_sub(2)..(at + 3).min(steps))
        .map(|index| segment(x, y, corner(index), corner(index + 1)))
        .fold(f64::MAX, f64::min)
}

fn segment(x: f64, y: f64, from: [f64; 2], to: [f64; 2]) -> f64 {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let share = ((x - from[0]) * dx + (y - from[1]) * dy) / (dx * dx + dy * dy);
    let share = share.clamp(0.0, 1.0);
    length(x - from[0] - share * dx, y - from[1] - share * dy)
}

/// The kinds of things that lie about on a bench, each with sizes as `pick` (0 to 1) has it.
pub(crate) mod kind {
    use super::{Face, Form, Thing};

    const STEEL: [f64; 3] = [0.42, 0.42, 0.42];
    const BRASS: [f64; 3] = [0.50, 0.38, 0.14];
    const COPPER: [f64; 3] = [0.45, 0.22, 0.13];
    const ZINC: [f64; 3] = [0.38, 0.39, 0.42];
    const FIBRE: [f64; 3] = [0.36, 0.12, 0.08];
    const CARD: [f64; 3] = [0.30, 0.33, 0.28];

    fn plate(form: Form, thick: f64, albedo: [f64; 3], face: Face) -> Thing {
        Thing {
            form,
            centre: [0.0; 2],
            turn: 0.0,
            heading: [1.0, 0.0],
            thick,
            albedo,
            gloss: 0.2,
            face,
        }
    }

    pub(crate) fn coin(pick: f64) -> Thing {
        let form = Form::Disc {
            outside: 16.0 + 10.0 * pick,
            bore: 0.0,
        };
        let metal = if pick < 0.4 { COPPER } else { BRASS };
        plate(form, 1.4 + pick, metal, Face::Struck)
    }

    pub(crate) fn washer(pick: f64) -> Thing {
        let bore = 3.2 + 10.0 * pick;
        let form = Form::Disc {
            outside: 2.1 * bore,
            bore,
        };
        plate(form, 0.5 + 1.6 * pick, ZINC, Face::Metal)
    }

    pub(crate) fn nut(pick: f64) -> Thing {
        let thread = 3.0 + 5.0 * pick;
        let form = Form::Hexagon {
            flats: 1.65 * thread,
            bore: 0.86 * thread,
        };
        plate(form, 0.5 * thread, STEEL, Face::Metal)
    }

    pub(crate) fn circlip(pick: f64) -> Thing {
        let outside = 9.0 + 25.0 * pick;
        let form = Form::Circlip {
            outside,
            width: 0.8 + 0.05 * outside,
            gap: 0.5,
        };
        plate(form, 0.8 + 0.7 * pick, [0.09, 0.09, 0.09], Face::Metal)
    }

    pub(crate) fn cut_ring(pick: f64) -> Thing {
        let form = Form::Cut {
            inside: 7.0 + 22.0 * pick,
            gap: 0.12 + 0.5 * pick,
        };
        let rubber = [0.035, 0.034, 0.033];
        let mut thing = plate(form, 1.78 + 1.2 * pick, rubber, Face::Plain);
        thing.gloss = 0.03;
        thing
    }

    pub(crate) fn spring(pick: f64) -> Thing {
        let form = Form::Spring {
            length: 12.0 + 20.0 * pick,
            width: 4.0 + 5.0 * pick,
            turns: 7,
        };
        plate(form, 0.7 + 0.8 * pick, STEEL, Face::Plain)
    }

    /// A gasket with two screw holes beside its opening.
    pub(crate) fn gasket(pick: f64) -> Thing {
        let bore = 8.0 + 12.0 * pick;
        let form = Form::Panel {
            size: [2.6 * bore, 1.5 * bore],
            corner: 0.6 * bore,
            holes: vec![[0.0, 0.0, bore], [bore, 0.0, 4.3], [-bore, 0.0, 4.3]],
        };
        let colour = if pick < 0.5 { FIBRE } else { CARD };
        let mut thing = plate(form, 0.8 + pick, colour, Face::Plain);
        thing.gloss = 0.0;
        thing
    }

    /// A flat washer of black rubber: a ring, but no O-ring.
    pub(crate) fn flat_rubber(pick: f64) -> Thing {
        let bore = 6.0 + 14.0 * pick;
        let form = Form::Disc {
            outside: bore + 5.0 + 4.0 * pick,
            bore,
        };
        let mut thing = plate(form, 2.0, [0.035, 0.034, 0.033], Face::Plain);
        thing.gloss = 0.03;
        thing
    }

    /// A steel rule 160 mm long; its zero lies 5 mm within the end.
    pub(crate) fn rule() -> Thing {
        let form = Form::Panel {
            size: [160.0, 13.0],
            corner: 0.3,
            holes: Vec::new(),
        };
        plate(form, 0.5, STEEL, Face::Rule)
    }

    /// An ID-1 card: 85.60 × 53.98 × 0.76 mm, corners 3.18 mm (ISO/IEC 7810).
    pub(crate) fn card() -> Thing {
        let form = Form::Panel {
            size: [85.60, 53.98],
            corner: 3.18,
            holes: Vec::new(),
        };
        plate(form, 0.76, [0.10, 0.16, 0.34], Face::Print)
    }

    /// The outer ring of a bearing: outside 22.000 mm, 7 mm high.
    pub(crate) fn bearing() -> Thing {
        let form = Form::Disc {
            outside: 22.0,
            bore: 18.0,
        };
        plate(form, 7.0, STEEL, Face::Metal)
    }
}
