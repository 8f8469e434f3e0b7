//! Worked figures of force balances, springs, shims and leaks.
//!
//! The figures marked "worked" were calculated by hand beside the derivation, apart from this program; their tolerance is
//! half of their last printed digit. Published figures name their source.

use ringwright::core::quantity::{Force, Length, Pressure, PressureUnit};
use ringwright::core::stage::{
    CoilEnds, ForcePoint, Preload, PreloadVerdict, SpringShape, Stage, leak_ml_per_min,
    rate_from_points, rate_of_unit, spring_materials,
};

fn mm(value: f64) -> Length {
    Length::from_mm(value).expect("in range")
}

fn newtons(value: f64) -> Force {
    Force::from_newtons(value).expect("in range")
}

fn bar(value: f64) -> Pressure {
    Pressure::gauge(value, PressureUnit::Bar).expect("in range")
}

fn close(value: f64, worked: f64, tolerance: f64) {
    assert!(
        (value - worked).abs() <= tolerance,
        "{value} against {worked}"
    );
}

/// Half of the last digit, and the round-off of a spring force printed to 0.01 N.
const MILLIBAR: f64 = 0.0006;

fn worked(stage: &Stage, spring: f64, table: &[(f64, f64)]) {
    let balance = stage.balance().expect("a geometry");
    for (supply, expected) in table {
        close(
            balance.pressure_bar(newtons(spring), bar(*supply)),
            *expected,
            MILLIBAR,
        );
        let force = balance.spring_newtons(bar(*expected), bar(*supply));
        close(force, spring, 0.05);
    }
}

/// Arithmetic: worked from the balance of forces; the sizes are made up.
#[test]
fn an_unbalanced_piston_falls_with_the_supply_as_worked() {
    let stage = Stage::UnbalancedPiston {
        head: mm(25.40),
        stem: mm(8.00),
        seat: mm(2.40),
    };
    let balance = stage.balance().expect("a geometry");
    close(balance.effective_mm2, 460.97, 0.006);
    close(balance.slope(), 0.009_814, 6e-7);
    worked(
        &stage,
        361.27,
        &[
            (200.0, 9.800),
            (150.0, 9.309),
            (100.0, 8.819),
            (50.0, 8.328),
            (35.0, 8.181),
        ],
    );
}

#[test]
fn the_reported_fall_of_20_psi_over_2500_needs_a_seat_of_9_per_cent_of_the_head() {
    // Reported 145 psi at 3000 and 125 at 500 (forum text, excerpt): slope 0.008, diameter ratio √0.008 = 0.0894 in the
    // short form that leaves the stem out, 2.27 mm on 25.4 mm.
    let slope: f64 = 20.0 / 2500.0;
    close(slope.sqrt(), 0.0894, 5e-5);
    close(slope.sqrt() * 25.4, 2.27, 0.005);
}

/// Arithmetic: worked from the balance of forces; the sizes are made up.
#[test]
fn a_balanced_piston_follows_the_edge_as_worked() {
    let stage = Stage::BalancedPiston {
        head: mm(25.40),
        shaft: mm(8.00),
        edge: mm(7.90),
    };
    let balance = stage.balance().expect("a geometry");
    close(balance.effective_mm2, 457.69, 0.006);
    close(balance.slope(), 0.002_728, 6e-7);
    // The force is printed to 0.1 N: half of that digit is 0.0011 bar on this area, beside half a millibar of the result.
    for (supply, worked) in [(200.0, 9.500), (50.0, 9.091)] {
        close(
            balance.pressure_bar(newtons(409.8), bar(supply)),
            worked,
            0.0016,
        );
    }
    let even = Stage::BalancedPiston {
        head: mm(25.40),
        shaft: mm(8.00),
        edge: mm(8.00),
    };
    close(even.balance().expect("a geometry").slope(), 0.0, 1e-15);
}

/// Arithmetic: worked from the balance of forces; the sizes are made up.
#[test]
fn an_unbalanced_diaphragm_rises_as_the_supply_falls_as_worked() {
    let stage = Stage::UnbalancedDiaphragm {
        diaphragm: mm(28.0),
        seat: mm(3.0),
        poppet_spring: newtons(15.0),
    };
    worked(
        &stage,
        643.32,
        &[
            (200.0, 8.000),
            (150.0, 8.581),
            (100.0, 9.161),
            (50.0, 9.742),
            (20.0, 10.090),
        ],
    );
}

/// Arithmetic: worked from the balance of forces; the sizes are made up.
#[test]
fn a_balanced_diaphragm_hardly_moves_as_worked() {
    let stage = Stage::BalancedDiaphragm {
        diaphragm: mm(28.0),
        seat: mm(5.0),
        tail: mm(4.9),
        poppet_spring: newtons(15.0),
    };
    let balance = stage.balance().expect("a geometry");
    let spring = newtons(balance.spring_newtons(bar(9.5), bar(200.0)));
    close(balance.pressure_bar(spring, bar(50.0)), 9.690, MILLIBAR);
}

/// A head alone: the stem and the seat left out, as the shim figures are worked.
fn head_alone(effective_mm2: f64) -> ringwright::core::stage::Balance {
    ringwright::core::stage::Balance {
        effective_mm2,
        supply_mm2: 0.0,
        opposing_n: 0.0,
    }
}

const PSI: f64 = 0.068_947_573;

/// Arithmetic: rate times travel over area, worked.
#[test]
fn a_shim_raises_the_pressure_as_worked() {
    let head = head_alone(506.7);
    close(head.bar_of_travel(20.0, mm(0.25)), 0.0987, 5e-5);
    close(head.bar_of_travel(60.0, mm(0.25)) / PSI, 4.29, 0.006);
    // 100 and 350 lbf/in, 0.010 in, head of 1 in: 1.273 and 4.46 psi. 1 lbf/in = 0.175127 N/mm (NIST SP 811, B.8).
    let inch_head = head_alone(std::f64::consts::FRAC_PI_4 * 25.4 * 25.4);
    close(
        inch_head.bar_of_travel(100.0 * 0.175_127, mm(0.254)) / PSI,
        1.273,
        6e-4,
    );
    close(
        inch_head.bar_of_travel(350.0 * 0.175_127, mm(0.254)) / PSI,
        4.46,
        0.005,
    );
    // And back: the rate of the unit itself.
    let rate = rate_of_unit(&head, mm(0.25), 0.0987, 0.01).expect("a rate");
    close(rate.n_per_mm, 20.0, 0.01);
}

/// Arithmetic: force over area, worked.
#[test]
fn friction_of_5_newtons_spreads_readings_by_1_6_psi() {
    let spread = head_alone(461.0).bar_of_force(newtons(5.0));
    close(spread, 0.108, 5e-4);
    close(spread / PSI, 1.6, 0.05);
}

/// Arithmetic: propagation of doubt, worked.
#[test]
fn two_points_give_the_rate_with_its_doubt_as_worked() {
    let points = [(100.0, 32.0), (300.0, 22.0)].map(|(force, length)| ForcePoint {
        force: newtons(force),
        length: mm(length),
    });
    let rate = rate_from_points(points, newtons(1.0), mm(0.05)).expect("a rate");
    close(rate.n_per_mm, 20.0, 1e-9);
    // Worked: 1.0 %. √2·√((1/200)² + (0.05/10)²) = 1.0 %.
    close(rate.sd_n_per_mm / rate.n_per_mm, 0.010, 1e-4);
}

fn shape(wire: f64, od: f64, active: f64) -> SpringShape {
    SpringShape {
        wire: mm(wire),
        wire_sd: mm(0.005),
        od: mm(od),
        total_coils: active + 2.0,
        ends: CoilEnds::ClosedGround,
    }
}

/// Arithmetic: G d⁴ / (8 D³ n), worked.
#[test]
fn wire_and_coils_give_the_rate_as_worked() {
    for (modulus, worked) in [(80.0, 20.39), (69.0, 17.59), (41.0, 10.45)] {
        let rate = shape(2.8, 21.0, 5.0).rate(modulus, 0.0).expect("a rate");
        close(rate.n_per_mm, worked, 0.006);
    }
    // Inch: d .110, D .715, n 5; G 11.5, 10 and 6 Mpsi. 1 Mpsi = 6.894757 GPa (NIST SP 811, B.8).
    for (mpsi, worked) in [(11.5, 115.2), (10.0, 100.1), (6.0, 60.1)] {
        let rate = shape(0.110 * 25.4, 0.825 * 25.4, 5.0).rate(mpsi * 6.894_757, 0.0);
        close(rate.expect("a rate").lbf_per_in(), worked, 0.06);
    }
    // +0.02 mm of wire at fixed outside diameter is +3.2 %, and 4.75 coils for 5 are +5.3 %.
    let base = shape(2.8, 21.0, 5.0)
        .rate(80.0, 0.0)
        .expect("a rate")
        .n_per_mm;
    let thick = shape(2.82, 21.0, 5.0)
        .rate(80.0, 0.0)
        .expect("a rate")
        .n_per_mm;
    close(thick / base, 1.032, 6e-4);
    let fewer = shape(2.8, 21.0, 4.75)
        .rate(80.0, 0.0)
        .expect("a rate")
        .n_per_mm;
    close(fewer / base, 1.053, 6e-4);
}

#[test]
fn a_textbook_spring_has_the_printed_rate_and_solid_length() {
    // Shigley's Mechanical Engineering Design, example 10-1 (recalled, not at hand): music wire 0.037 in, outside diameter
    // 7/16 in, squared ends, 12½ coils in all, G 11.85 Mpsi: rate 4.13 lbf/in, solid length 0.500 in. The example goes on
    // with the mean diameter rounded to 0.400 in (it is 0.4005), so that 0.437 in stands for the outside here.
    let spring = SpringShape {
        wire: mm(0.037 * 25.4),
        wire_sd: mm(0.005),
        od: mm(0.437 * 25.4),
        total_coils: 12.5,
        ends: CoilEnds::Closed,
    };
    let row = spring_materials(Some(spring.wire), Some("music wire"), None)[0];
    let rate = spring.rate(row.shear_modulus_gpa, 0.0).expect("a rate");
    close(rate.lbf_per_in(), 4.13, 0.006);
    close(spring.solid_mm() / 25.4, 0.500, 5e-4);
}

#[test]
fn a_rod_bent_into_a_coil_and_twisted_turn_by_turn_has_the_same_rate() {
    // The formula against a sum of its own derivation: 20,000 short rods, each twisted by F·D/2, J = π d⁴/32.
    let (d, mean, coils, modulus) = (2.8_f64, 18.2_f64, 5.0, 80e3);
    let pieces = 20_000;
    let length = std::f64::consts::PI * mean * coils / f64::from(pieces);
    let polar = std::f64::consts::PI * d.powi(4) / 32.0;
    let travel: f64 = (0..pieces)
        .map(|_| (mean / 2.0) * length / (modulus * polar) * mean / 2.0)
        .sum();
    let rate = shape(2.8, 21.0, 5.0).rate(80.0, 0.0).expect("a rate");
    close(rate.n_per_mm, 1.0 / travel, 1e-6);
}

/// Arithmetic: worked; where plausible ends is recalled (`core/stage/spring.rs`).
#[test]
fn a_preload_of_8_mm_is_plausible_and_24_is_not() {
    // 9.5 bar on 507 mm² is 481 N: 8 mm at 60 N/mm and 24 mm at 20; 60 N/mm over 8 mm is 1.9 J.
    let force = newtons(head_alone(506.7).spring_newtons(bar(9.5), bar(0.0)));
    close(force.newtons(), 481.0, 0.5);
    let rate = |n_per_mm| ringwright::core::stage::Rate {
        n_per_mm,
        sd_n_per_mm: 0.0,
    };
    let stiff = Preload::judge(rate(60.0), force, None);
    close(stiff.travel_mm, 8.0, 0.05);
    close(stiff.energy_j, 1.9, 0.05);
    assert_eq!(stiff.verdict, PreloadVerdict::Plausible);
    let soft = Preload::judge(rate(20.0), force, None);
    close(soft.travel_mm, 24.0, 0.1);
    assert_eq!(soft.verdict, PreloadVerdict::Doubtful);
    let bound = Preload::judge(rate(20.0), force, Some((40.0, 20.0)));
    assert_eq!(bound.verdict, PreloadVerdict::Impossible);
}

#[test]
fn a_bar_a_minute_in_60_ml_is_a_leak_of_59_ml() {
    // Worked: 60·1e5/101325 = 59.2 standard millilitres a minute.
    close(leak_ml_per_min(60.0, 1.0), 59.2, 0.05);
}

/// Arithmetic: 1 bar is 14.50377 psi (NIST SP 811, appendix B.8), worked.
#[test]
fn pressures_stand_in_psi_as_worked() {
    for (in_bar, psi) in [
        (9.800, 142.1),
        (9.309, 135.0),
        (8.819, 127.9),
        (8.328, 120.8),
        (8.000, 116.0),
        (10.090, 146.3),
    ] {
        close(bar(in_bar).gauge_in(PressureUnit::Psi), psi, 0.06);
    }
}
