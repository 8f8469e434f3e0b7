//! Figures of units, cylinders, depth, heat and common practice.
//!
//! "Worked" figures were calculated by hand beside their derivation, apart from this program; tolerance: half of the last digit
//! printed. Others name their source.

use ringwright::app::stage::setting::JudgedSetting;
use ringwright::core::gear::GearKind;
use ringwright::core::gland::Verdict;
use ringwright::core::quantity::Spoken;
use ringwright::core::quantity::{Pressure, PressureUnit, parse_pressure};
use ringwright::core::stage::{
    CreepCall, DepthUnit, GaugeStanding, SettingLimits, SettingQuestion, SettingReport,
    StageDesign, above_surface, burst_energy_kj, depth_pressure, judge_setting, parse_creep,
    parse_rating, parse_setting, plus_pressure, sudden_fill_celsius, warming_bar_per_kelvin,
};
use ringwright::render::Report;

fn close(value: f64, expected: f64, tolerance: f64) {
    assert!(
        (value - expected).abs() <= tolerance,
        "{value} against {expected}"
    );
}

fn read(text: &str) -> Pressure {
    parse_pressure(text).expect("reads").value
}

#[test]
fn units_of_pressure_agree_with_their_printed_factors() {
    let pascals = |text: &str| read(text).gauge_in(PressureUnit::Pa);
    // NIST SP 811 (2008), appendix B.8, and sums of its factors.
    for (text, unit, printed, digit) in [
        ("1 bar", "1 psi", 14.503_77, 5e-6),
        ("1 bar", "1 MPa", 0.1, 1e-12),
        ("1 MPa", "1 psi", 145.0377, 5e-5),
        ("1 kgf/cm2", "1 bar", 0.980_665, 5e-7),
        ("1 kgf/cm2", "1 psi", 14.2233, 5e-5),
        ("1 atm", "1 bar", 1.013_25, 1e-9),
        ("1 atm", "1 psi", 14.6959, 5e-5),
        ("1 inH2O", "1 Pa", 249.0889, 1e-9),
        ("1 inH2O", "1 mbar", 2.490_89, 5e-6),
        ("1 inH2O", "1 psi", 0.036_127_3, 5e-8),
        ("25 mbar", "1 inH2O", 10.04, 0.005),
        ("0.035 psi", "1 inH2O", 0.97, 0.005),
        ("3000 psi", "1 bar", 206.8, 0.05),
        ("200 bar", "1 psi", 2901.0, 0.5),
        ("1 bar", "1 atm", 0.986_923, 5e-7),
        ("1 bar", "1 kgf/cm2", 1.019_716, 5e-7),
    ] {
        close(pascals(text) / pascals(unit), printed, digit);
    }
}

#[test]
fn a_plus_mark_adds_ten_per_cent_and_none_from_3000_psi() {
    // 49 CFR 173.302a(b), read in excerpts: 1800 -> 1980, 2250 -> 2475, 2400 -> 2640 psi; in bar worked.
    for (marked, filled, marked_bar, filled_bar) in [
        (1800.0, 1980.0, 124.1, 136.5),
        (2250.0, 2475.0, 155.1, 170.6),
        (2400.0, 2640.0, 165.5, 182.0),
    ] {
        let mark = Pressure::gauge(marked, PressureUnit::Psi).expect("in range");
        let plus = plus_pressure(mark);
        close(plus.gauge_in(PressureUnit::Psi), filled, 1e-6);
        close(mark.gauge_in(PressureUnit::Bar), marked_bar, 0.05);
        close(plus.gauge_in(PressureUnit::Bar), filled_bar, 0.05);
    }
    // Interpretation letter 17-0035 (read in excerpts): a mark of 3000+ gives no standing 3300 psi.
    let high = parse_rating("cylinder 3000+ psi on supply").expect("reads");
    close(high.rating.gauge_in(PressureUnit::Psi), 3000.0, 1e-6);
}

#[test]
fn depth_adds_to_the_pressure_from_the_surface_and_not_to_the_gauge() {
    let bar = |depth, unit| {
        depth_pressure(depth, unit)
            .expect("a depth")
            .gauge_in(PressureUnit::Bar)
    };
    // By convention 10 msw are a bar; sea water of 1025 kg/m3 worked: 1.0052 bar in 10 m.
    close(bar(10.0, DepthUnit::Msw), 1.0, 1e-12);
    close(bar(10.0, DepthUnit::SeaMetre), 1.0052, 5e-5);
    // 1 fsw = 3063.06 Pa by convention: 33 fsw = 14.66 psi (worked), 99 fsw = 44 psi.
    let psi = |depth| {
        depth_pressure(depth, DepthUnit::Fsw)
            .expect("a depth")
            .gauge_in(PressureUnit::Psi)
    };
    close(psi(33.0), 14.66, 0.005);
    close(psi(99.0), 44.0, 0.05);
    let ambient = depth_pressure(99.0, DepthUnit::Fsw).expect("a depth");
    let whole = above_surface(read("140 psi"), ambient).expect("in range");
    close(whole.gauge_in(PressureUnit::Psi), 140.0 + 44.0, 0.05);
}

#[test]
fn twelve_litres_at_200_bar_hold_470_kilojoules_and_a_sudden_fill_heats_to_1054_degrees() {
    // Worked: isentropic, γ 1.4; 470 kJ are about 112 g of TNT at 4.184 kJ/g. Half of the last digit.
    let energy = burst_energy_kj(12.0, read("200 bar"));
    close(energy, 470.0, 0.5);
    close(energy / 4.184, 112.0, 0.5);
    // Worked from one atmosphere to 200 bar absolute.
    close(sudden_fill_celsius(20.0, read("200 bar abs")), 1054.0, 0.5);
}

#[test]
fn a_kelvin_moves_ten_bar_by_half_a_psi() {
    // Worked: 10 bar absolute at 293 K, +0.034 bar, 0.5 psi.
    let rise = warming_bar_per_kelvin(read("10 bar abs"), 20.0);
    close(rise, 0.034, 5e-4);
    close(rise * 14.503_77, 0.5, 0.05);
}

fn judged(design: Option<StageDesign>, readings: &[String], creep: &str) -> SettingReport {
    judge_setting(&SettingQuestion {
        readings: readings
            .iter()
            .map(|text| parse_setting(text).expect("reads"))
            .collect(),
        lock_up_s: None,
        creep: if creep.is_empty() {
            Vec::new()
        } else {
            parse_creep(creep).expect("reads")
        },
        gauge: GaugeStanding::Unnamed,
        gear: Some(GearKind::FirstStage),
        design,
        ratings: Vec::new(),
        limits: SettingLimits::shipped(),
    })
}

fn level(design: StageDesign, psi: f64) -> Verdict {
    judged(Some(design), &[format!("{psi} psi at 200 bar")], "")
        .verdict
        .expect("a level")
}

#[test]
fn the_usual_ranges_of_practice_are_the_shipped_limits() {
    // Balanced sets 125 to 145 psi, 8.6 to 10.0 bar (service texts, excerpts); breathing stages in general 4 to 12 bar (a general
    // reference, excerpt).
    for design in [StageDesign::BalancedPiston, StageDesign::BalancedDiaphragm] {
        let (low, high) = SettingLimits::shipped()
            .bars("level", GearKind::FirstStage, Some(design))
            .expect("a limit");
        close(low, 8.6, 0.05);
        close(high, 10.0, 0.05);
        assert_eq!(level(design, 125.0), Verdict::Good);
        assert_eq!(level(design, 145.0), Verdict::Good);
    }
    let (low, high) = SettingLimits::shipped()
        .bars("level", GearKind::FirstStage, None)
        .expect("a limit");
    close(low, 4.0, 1e-9);
    close(high, 12.0, 1e-9);
}

/// Common practice, no source (check values): what follows is what people of the trade say, and marked so in the table.
mod common_practice_without_source {
    use super::*;
    use ringwright::core::stage::{
        Adjuster, AdjusterSetting, READING_SD_BAR, ShimQuestion, next_setting, parse_shims,
    };

    const PSI: f64 = 0.068_947_573;

    /// Common practice, no source, as the rows of data/stage/setting_limits.csv say.
    #[test]
    fn around_145_to_150_psi_is_the_usual_target_of_an_old_unbalanced_piston() {
        for psi in [145.0, 147.0, 150.0] {
            assert_eq!(level(StageDesign::UnbalancedPiston, psi), Verdict::Good);
        }
        for row in SettingLimits::shipped().rows() {
            if row.design.as_deref() == Some("unbalanced piston") && row.limit != "slope" {
                assert_eq!(row.source, "common practice, no source");
            }
        }
    }

    /// Common practice, no source, as the rows of data/stage/setting_limits.csv say.
    #[test]
    fn readings_of_140_to_160_are_left_alone() {
        for psi in [140.0, 142.0, 158.0, 160.0] {
            assert_eq!(level(StageDesign::UnbalancedPiston, psi), Verdict::Marginal);
        }
    }

    /// Common practice, no source, as the rows of data/stage/setting_limits.csv say.
    #[test]
    fn one_that_is_more_than_5_to_10_psi_from_150_should_be_adjusted() {
        // More than 5 is no longer good, more than 10 is adjusted.
        for psi in [144.5, 155.5] {
            assert_eq!(level(StageDesign::UnbalancedPiston, psi), Verdict::Marginal);
        }
        for psi in [139.5, 160.5, 120.0, 175.0] {
            assert_eq!(level(StageDesign::UnbalancedPiston, psi), Verdict::Reject);
        }
    }

    /// Arithmetic: a law of springs; that 140 psi is raised is made up.
    #[test]
    fn adding_a_shim_raises_the_pressure() {
        let next = |target: f64| {
            next_setting(&ShimQuestion {
                spoken: Spoken::default(),
                settings: vec![AdjusterSetting {
                    place_mm: 0.5,
                    pressure_bar: 140.0 * PSI,
                }],
                target_bar: target * PSI,
                reading_sd_bar: READING_SD_BAR,
                theory: None,
                adjuster: Adjuster::Shims {
                    at_hand: parse_shims("0.10x9 mm", None).expect("reads"),
                },
            })
            .expect("a setting")
        };
        assert!(next(148.0).change_mm > 0.0 && next(134.0).change_mm < 0.0);
        assert!(next(148.0).expected_bar > 140.0 * PSI);
    }

    /// Common practice, no source; the readings are made up.
    #[test]
    fn a_seat_is_named_where_it_creeps_before_piston_and_spring() {
        let report = judged(
            Some(StageDesign::UnbalancedPiston),
            &["147 psi at 200 bar".to_owned()],
            "0 s 147 psi, 60 s 148 psi, 120 s 149 psi, 300 s 152 psi, 600 s 157 psi",
        );
        assert_eq!(
            report.creep.as_ref().map(|c| c.call),
            Some(CreepCall::Creeps)
        );
        let page = JudgedSetting {
            from_record: None,
            setting: report,
            cautions: Vec::new(),
        };
        let said = ringwright::render::text(&page.document(), 1000);
        assert!(said.contains("dirty or ringed seat makes it creep and then free-flow"));
        assert!(said.contains("piston and spring hardly wear (common practice, no source)"));
    }
}
