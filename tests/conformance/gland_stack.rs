//! The sampled tolerance stack against closed forms, and against its own worst case.

use proptest::prelude::*;
use ringwright::core::gland::{
    Conditions, Duty, Figure, Figures, Geometry, GlandDimension as D, GlandKind, GlandRing,
    GlandSpec, Law, RuleSet, Service, State, Survey, geometry,
};
use ringwright::core::quantity::{
    Dimension, Length, Pressure, PressureUnit, Typed, parse_dimension,
};
use ringwright::core::uncertainty::normal_cdf;

const SAMPLES: usize = 16_384;
/// A tolerance is the 95 % band of a measurement.
const BAND: f64 = 1.959_964;

fn read(text: &str) -> Dimension {
    parse_dimension(text, None)
        .unwrap_or_else(|e| panic!("{text}: {e}"))
        .value
}

fn gland(kind: GlandKind, dimensions: &[(D, &str)]) -> Geometry {
    let mut spec = GlandSpec::new(kind);
    for (which, text) in dimensions {
        spec.dimensions.push((*which, Typed::new(read(text), text)));
    }
    geometry(&spec).unwrap_or_else(|e| panic!("{e}"))
}

fn service(gland: &Geometry, law: Option<Law>) -> Service<'_> {
    Service {
        geometry: gland,
        duty: Duty::Static,
        pressure: Pressure::gauge(1000.0, PressureUnit::Psi),
        conditions: Conditions {
            law,
            ..Conditions::default()
        },
        shore_a: 70.0,
        rules: RuleSet::Industrial,
    }
}

fn spread(survey: &Survey, key: &str) -> (f64, f64) {
    let row = survey
        .spreads
        .iter()
        .find(|s| s.figure == key)
        .expect("the figure");
    (row.mean, row.deviation)
}

/// Mean and deviation within four standard errors of plain sampling: σ/√N and σ/√(2N).
fn assert_moments(survey: &Survey, key: &str, mean: f64, deviation: f64) {
    let (found, width) = spread(survey, key);
    let error = deviation / (SAMPLES as f64).sqrt();
    assert!(
        (found - mean).abs() <= 4.0 * error,
        "{key}: mean {found} against {mean}"
    );
    assert!(
        (width - deviation).abs() <= 4.0 * error / 2.0_f64.sqrt(),
        "{key}: deviation {width} against {deviation}"
    );
}

/// Arithmetic: mean and variance of sums; the sizes are made up.
#[test]
fn linear_stacks_agree_with_their_closed_form_within_four_standard_errors() {
    // Gap = bore - piston; squeeze of a face ring that lies free within its wall = W - depth.
    let piston = gland(
        GlandKind::Piston,
        &[
            (D::Bore, "25.40±0.03 mm"),
            (D::Groove, "22.60±0.02 mm"),
            (D::Width, "2.4±0.05 mm"),
            (D::Piston, "25.20±0.02 mm"),
        ],
    );
    let face = gland(
        GlandKind::Face,
        &[
            (D::Outer, "14.0±0.05 mm"),
            (D::Depth, "1.35±0.04 mm"),
            (D::Width, "2.6 mm"),
        ],
    );
    let ring = GlandRing::of_dimensions(read("9.25±0.13 mm"), read("1.78±0.08 mm"));
    for (law, share) in [
        (Law::Measured, 1.0 / BAND),
        (Law::Uniform, 1.0 / 3.0_f64.sqrt()),
        (Law::Triangular, 1.0 / 6.0_f64.sqrt()),
    ] {
        let survey = service(&piston, Some(law)).survey(&ring, SAMPLES);
        assert_moments(&survey, "gap_mm", 0.20, share * 0.03_f64.hypot(0.02));
        let survey = service(&face, Some(law)).survey(&ring, SAMPLES);
        let deviation = (share * 0.04).hypot(0.08 / BAND);
        assert_moments(&survey, "squeeze_mm", 0.43, deviation);
    }
}

#[test]
fn the_chance_of_too_wide_a_gap_is_that_of_the_normal_law() {
    // 70 Shore A at 1000 psi: 0.010 in = 0.254 mm (Seal & Design). Gap 0.22 mm, σ = √(0.03² + 0.02²)/1.96.
    let piston = gland(
        GlandKind::Piston,
        &[
            (D::Bore, "25.40±0.03 mm"),
            (D::Groove, "22.60±0.02 mm"),
            (D::Width, "2.4 mm"),
            (D::Piston, "25.18±0.02 mm"),
        ],
    );
    let ring = GlandRing::of_dimensions(read("21.95±0.28 mm"), read("1.78±0.08 mm"));
    let survey = service(&piston, None).survey(&ring, SAMPLES);
    let expected = normal_cdf(-(0.254 - 0.22) / (0.03_f64.hypot(0.02) / BAND));
    let found = survey
        .outside
        .iter()
        .find(|o| o.name == "extrusion gap")
        .expect("the gap")
        .chance;
    let error = (expected * (1.0 - expected) / SAMPLES as f64).sqrt();
    assert!(
        (found - expected).abs() <= 4.0 * error,
        "{found} against {expected}"
    );
}

/// Arithmetic: shares of a sum of variances; the sizes are made up.
#[test]
fn the_shares_of_doubt_of_a_linear_stack_are_those_of_its_variances() {
    // Gap = bore - piston: shares 0.03² and 0.02² of their sum, 69.2 and 30.8 %; half a per cent is the spread of the points.
    let piston = gland(
        GlandKind::Piston,
        &[
            (D::Bore, "25.40±0.03 mm"),
            (D::Groove, "22.60±0.02 mm"),
            (D::Width, "2.4 mm"),
            (D::Piston, "25.20±0.02 mm"),
        ],
    );
    let ring = GlandRing::of_dimensions(read("21.95±0.28 mm"), read("1.78±0.08 mm"));
    let survey = service(&piston, None).survey(&ring, SAMPLES);
    let doubt = survey
        .doubts
        .iter()
        .find(|d| d.figure == "gap_mm")
        .expect("the gap");
    assert_eq!(doubt.shares[0].dimension, "bore");
    println!("{:?}", doubt.shares);
    assert!((doubt.shares[0].share - 9.0 / 13.0).abs() < 0.005);
    assert!((doubt.shares[1].share - 4.0 / 13.0).abs() < 0.005);
    assert!(doubt.shares[2].share < 0.005);
}

/// Glands of every kind with drawing tolerances.
fn every_kind() -> Vec<Geometry> {
    vec![
        gland(
            GlandKind::Piston,
            &[
                (D::Bore, "25.40±0.05 mm"),
                (D::Groove, "22.60±0.05 mm"),
                (D::Width, "2.4±0.1 mm"),
                (D::Piston, "25.20±0.05 mm"),
                (D::Radius, "0.2±0.1 mm"),
                (D::Runout, "0.04±0.02 mm"),
            ],
        ),
        gland(
            GlandKind::Rod,
            &[
                (D::Rod, "22.2±0.05 mm"),
                (D::Groove, "25.0±0.05 mm"),
                (D::Width, "2.4±0.1 mm"),
                (D::Housing, "22.3±0.05 mm"),
            ],
        ),
        gland(
            GlandKind::Face,
            &[
                (D::Outer, "25.4±0.1 mm"),
                (D::Depth, "1.35±0.04 mm"),
                (D::Width, "2.6±0.1 mm"),
            ],
        ),
        gland(
            GlandKind::Face,
            &[
                (D::Inner, "22.2±0.1 mm"),
                (D::Depth, "1.35±0.04 mm"),
                (D::Width, "2.6±0.1 mm"),
            ],
        ),
        gland(
            GlandKind::Crush,
            &[(D::Neck, "22.2±0.1 mm"), (D::Chamfer, "2.4±0.1 mm")],
        ),
        gland(
            GlandKind::Dovetail,
            &[
                (D::Centre, "23.8±0.1 mm"),
                (D::Depth, "1.3±0.03 mm"),
                (D::Width, "1.5±0.05 mm"),
                (D::Radius, "0.3±0.1 mm"),
                (D::Lip, "0.1±0.05 mm"),
            ],
        ),
        gland(
            GlandKind::HalfDovetail,
            &[
                (D::Centre, "23.8±0.1 mm"),
                (D::Depth, "1.3±0.03 mm"),
                (D::Width, "1.6±0.05 mm"),
            ],
        ),
        gland(
            GlandKind::Port,
            &[
                (D::Neck, "22.2±0.1 mm"),
                (D::Mouth, "25.8±0.1 mm"),
                (D::Depth, "2.4±0.2 mm"),
            ],
        ),
        gland(
            GlandKind::Counterbore,
            &[
                (D::Outer, "25.6±0.1 mm"),
                (D::Neck, "22.1±0.1 mm"),
                (D::Depth, "1.35±0.04 mm"),
            ],
        ),
        gland(
            GlandKind::Carrier,
            &[
                (D::Bore, "25.40±0.05 mm"),
                (D::Groove, "22.60±0.05 mm"),
                (D::Width, "2.4±0.1 mm"),
                (D::Carrier, "25.20±0.05 mm"),
            ],
        ),
    ]
}

/// Arithmetic: a law of intervals; no figure is from outside.
#[test]
fn the_worst_case_contains_every_sample_of_a_drawing_tolerance() {
    // The ring is exact here: its own tolerance is read as a 95 % band, which one ring in twenty leaves by definition.
    let exact = |mm: f64| Dimension::exact(Length::from_mm(mm).expect("in range"));
    let figures = [
        ("squeeze_mm", Figure::SqueezeMm),
        ("squeeze_pct", Figure::SqueezePct),
        ("stretch_pct", Figure::StretchPct),
        ("fill_pct", Figure::FillPct),
        ("outside_compression_pct", Figure::OutsideCompressionPct),
        ("gap_mm", Figure::GapMm),
    ];
    let mut compared = 0;
    for gland in every_kind() {
        for id in [21.0, 21.95, 22.4] {
            let mut ring = GlandRing::of_dimensions(read("21.95±0.28 mm"), read("1.78±0.08 mm"));
            (ring.id, ring.section) = (exact(id), exact(1.78));
            let worst = Figures::worst_case(&gland, &ring, &State::assembled());
            for law in [Law::Uniform, Law::Triangular] {
                let survey = service(&gland, Some(law)).survey(&ring, 4096);
                for (key, figure) in figures {
                    let (Some(bounds), Some(seen)) = (
                        worst.get(figure),
                        survey.spreads.iter().find(|s| s.figure == key),
                    ) else {
                        continue;
                    };
                    // Round-off of a few sums.
                    let slack = 1e-9;
                    assert!(
                        seen.least >= bounds.min - slack && seen.greatest <= bounds.max + slack,
                        "{:?} {key} id {id}: {} to {} in {bounds:?}",
                        gland.kind(),
                        seen.least,
                        seen.greatest
                    );
                    compared += 1;
                }
            }
        }
    }
    assert!(compared > 250, "{compared}");
    for (kind, word) in GlandKind::ALL {
        assert!(every_kind().iter().any(|g| g.kind() == kind), "{word}");
    }
}

/// The same glands with every tolerance multiplied.
fn tightened(gland: &Geometry, share: f64) -> Geometry {
    let mut spec = GlandSpec::new(gland.kind());
    for (which, d) in gland.dimensions() {
        let part = |l: Length| Length::from_mm(l.mm() * share).expect("in range");
        let value = Dimension {
            nominal: d.nominal,
            plus: part(d.plus),
            minus: part(d.minus),
        };
        spec.dimensions.push((*which, Typed::new(value, "")));
    }
    geometry(&spec).unwrap_or_else(|e| panic!("{e}"))
}

/// The figures of geometry.
const FIGURES: [Figure; 11] = [
    Figure::DepthMm,
    Figure::StretchPct,
    Figure::SectionMm,
    Figure::SqueezeMm,
    Figure::SqueezePct,
    Figure::FillPct,
    Figure::OutsideCompressionPct,
    Figure::GapMm,
    Figure::OpenSideMm,
    Figure::CentreFitPct,
    Figure::OtherWallMm,
];

/// Arithmetic: a law of intervals; no figure is from outside.
#[test]
fn in_every_kind_a_tighter_tolerance_never_widens_and_fill_rises_with_the_section() {
    for gland in every_kind() {
        let ring = GlandRing::of_dimensions(read("21.95±0.28 mm"), read("1.78±0.08 mm"));
        let thick = GlandRing::of_dimensions(read("21.95±0.28 mm"), read("1.90±0.08 mm"));
        let state = State::assembled();
        let wide = Figures::worst_case(&gland, &ring, &state);
        for share in [0.0, 0.3, 0.9] {
            let narrow = Figures::worst_case(&tightened(&gland, share), &ring, &state);
            for figure in FIGURES {
                let (Some(n), Some(w)) = (narrow.get(figure), wide.get(figure)) else {
                    continue;
                };
                assert!(
                    n.min >= w.min - 1e-12 && n.max <= w.max + 1e-12,
                    "{:?} {figure:?}",
                    gland.kind()
                );
            }
        }
        let more = Figures::worst_case(&gland, &thick, &state);
        for figure in [Figure::FillPct, Figure::SqueezeMm] {
            let (a, b) = (
                wide.get(figure).expect("has it"),
                more.get(figure).expect("has it"),
            );
            assert!(
                b.min > a.min && b.nominal > a.nominal && b.max > a.max,
                "{:?}",
                gland.kind()
            );
        }
    }
}

/// The dimension that deepens each kind, with the direction in which it does.
const DEEPENS: [(GlandKind, D, i64); 9] = [
    (GlandKind::Piston, D::Groove, -1),
    (GlandKind::Rod, D::Groove, 1),
    (GlandKind::Face, D::Depth, 1),
    (GlandKind::Crush, D::Chamfer, 1),
    (GlandKind::Dovetail, D::Depth, 1),
    (GlandKind::HalfDovetail, D::Depth, 1),
    (GlandKind::Port, D::Mouth, 1),
    (GlandKind::Counterbore, D::Depth, 1),
    (GlandKind::Carrier, D::Groove, -1),
];

/// The same gland with the dimensions as `change` makes them.
fn changed(gland: &Geometry, change: impl Fn(D, Dimension) -> Dimension) -> Geometry {
    let mut spec = GlandSpec::new(gland.kind());
    for (which, d) in gland.dimensions() {
        spec.dimensions
            .push((*which, Typed::new(change(*which, *d), "")));
    }
    geometry(&spec).unwrap_or_else(|e| panic!("{e}"))
}

proptest! {
    /// Arithmetic: a law of every gland; no figure is from outside.
    #[test]
    fn in_every_kind_squeeze_falls_as_the_groove_deepens(deeper_um in 1i64..150, section_um in 1_700i64..1_900) {
        let section = Dimension::exact(Length::from_nm(section_um * 1000));
        let ring = GlandRing::of_dimensions(read("21.95±0.28 mm"), section);
        let state = State::assembled();
        for gland in every_kind() {
            let (_, dimension, sign) = DEEPENS
                .into_iter()
                .find(|(kind, ..)| *kind == gland.kind())
                .expect("every kind is listed");
            let deep = changed(&gland, |which, d| Dimension {
                nominal: if which == dimension {
                    Length::from_nm(d.nominal.nm() + sign * deeper_um * 1000)
                } else {
                    d.nominal
                },
                ..d
            });
            let before = Figures::worst_case(&gland, &ring, &state);
            let after = Figures::worst_case(&deep, &ring, &state);
            for figure in [Figure::SqueezeMm, Figure::SqueezePct] {
                let (a, b) = (before.get(figure).expect("has it"), after.get(figure).expect("has it"));
                prop_assert!(
                    b.min < a.min && b.nominal < a.nominal && b.max < a.max,
                    "{:?} {figure:?}: {a:?} to {b:?}", gland.kind()
                );
            }
        }
    }

    /// Arithmetic: an inch is 25.4 mm (NIST SP 811, appendix B.8).
    #[test]
    fn in_every_kind_inches_and_millimetres_give_identical_results(more in 0i64..8, id_less in 0i64..40) {
        // Ten-thousandths of an inch, and the same lengths in millimetres: 2.54 micrometres each, exactly.
        const TENTH_NM: i64 = 2_540;
        let inch = |n: i64| format!("{}.{:04}", n / 10_000, n % 10_000);
        let mm = |n: i64| format!("{}.{:06}", n * TENTH_NM / 1_000_000, n * TENTH_NM % 1_000_000);
        let inches = |n: i64, plus: i64| read(&format!("{}±{} in", inch(n), inch(plus)));
        let millimetres = |n: i64, plus: i64| read(&format!("{}±{} mm", mm(n), mm(plus)));
        for gland in every_kind() {
            let all = |length: &dyn Fn(i64, i64) -> Dimension| {
                let made = changed(&gland, |_, d| {
                    length(d.nominal.nm() / TENTH_NM + more, d.plus.nm() / TENTH_NM)
                });
                let ring = GlandRing::of_dimensions(length(8_640 - id_less, 110), length(700, 30));
                Figures::worst_case(&made, &ring, &State::assembled())
            };
            let (a, b) = (all(&inches), all(&millimetres));
            for figure in FIGURES {
                prop_assert_eq!(a.get(figure), b.get(figure));
            }
        }
    }
}
