//! The inverse of the normal distribution function.
#![allow(
    clippy::excessive_precision,
    reason = "the constants stand as published"
)]

const CENTRE: f64 = 0.425;
const CENTRE_SQUARED: f64 = 0.180_625;
const TAIL: f64 = 5.0;
const TAIL_SHIFT: f64 = 1.6;

/// Returns the standard normal quantile of a probability strictly between 0 and 1; ±∞ at the ends.
///
/// Algorithm AS 241 (PPND16), Wichura 1988, Applied Statistics 37, 477–484; relative accuracy about 1e-16. The constants
/// were recalled and are checked against the error function in the tests.
pub fn normal_quantile(p: f64) -> f64 {
    if p <= 0.0 {
        return f64::NEG_INFINITY;
    }
    if p >= 1.0 {
        return f64::INFINITY;
    }
    let q = p - 0.5;
    if q.abs() <= CENTRE {
        let r = CENTRE_SQUARED - q * q;
        return q * ratio(r, &CENTRE_ABOVE, &CENTRE_BELOW);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    let r = libm::sqrt(-libm::log(tail));
    let value = if r <= TAIL {
        ratio(r - TAIL_SHIFT, &MIDDLE_ABOVE, &MIDDLE_BELOW)
    } else {
        ratio(r - TAIL, &FAR_ABOVE, &FAR_BELOW)
    };
    if q < 0.0 { -value } else { value }
}

/// Returns the ratio of two polynomials; the one below has constant term 1.
fn ratio(r: f64, above: &[f64; 8], below: &[f64; 7]) -> f64 {
    let horner = |c: &[f64]| c.iter().rev().fold(0.0, |sum, c| sum * r + c);
    horner(above) / (horner(below) * r + 1.0)
}

const CENTRE_ABOVE: [f64; 8] = [
    3.387_132_872_796_366_608,
    1.331_416_678_917_843_774_5e2,
    1.971_590_950_306_551_442_7e3,
    1.373_169_376_550_946_112_5e4,
    4.592_195_393_154_987_145_7e4,
    6.726_577_092_700_870_085_3e4,
    3.343_057_558_358_812_810_5e4,
    2.509_080_928_730_122_672_7e3,
];
const CENTRE_BELOW: [f64; 7] = [
    4.231_333_070_160_091_125_2e1,
    6.871_870_074_920_579_083e2,
    5.394_196_021_424_751_107_7e3,
    2.121_379_430_158_659_586_7e4,
    3.930_789_580_009_271_061e4,
    2.872_908_573_572_194_267_4e4,
    5.226_495_278_852_854_561e3,
];
const MIDDLE_ABOVE: [f64; 8] = [
    1.423_437_110_749_683_577_34,
    4.630_337_846_156_545_295_9,
    5.769_497_221_460_691_405_5,
    3.647_848_324_763_204_605_04,
    1.270_458_252_452_368_382_58,
    2.417_807_251_774_506_117_7e-1,
    2.272_384_498_926_918_458_33e-2,
    7.745_450_142_783_414_076_4e-4,
];
const MIDDLE_BELOW: [f64; 7] = [
    2.053_191_626_637_758_821_87,
    1.676_384_830_183_803_849_4,
    6.897_673_349_851_000_045_5e-1,
    1.481_039_764_274_800_745_9e-1,
    1.519_866_656_361_645_719_66e-2,
    5.475_938_084_995_344_946e-4,
    1.050_750_071_644_416_843_24e-9,
];
const FAR_ABOVE: [f64; 8] = [
    6.657_904_643_501_103_777_2,
    5.463_784_911_164_114_369_9,
    1.784_826_539_917_291_335_8,
    2.965_605_718_285_048_912_3e-1,
    2.653_218_952_657_612_309_3e-2,
    1.242_660_947_388_078_438_6e-3,
    2.711_555_568_743_487_578_15e-5,
    2.010_334_399_292_288_132_65e-7,
];
const FAR_BELOW: [f64; 7] = [
    5.998_322_065_558_879_376_9e-1,
    1.369_298_809_227_358_053_1e-1,
    1.487_536_129_085_061_485_25e-2,
    7.868_691_311_456_132_591e-4,
    1.846_318_317_510_054_681_8e-5,
    1.421_511_758_316_445_888_7e-7,
    2.044_263_103_389_939_785_64e-15,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_quantile_inverts_the_distribution_function() {
        // P(Z <= z) = erfc(-z/sqrt 2)/2; agreement to 1e-13 of p, the round-off of erfc.
        for p in [
            1e-12, 1e-6, 0.001, 0.025, 0.0749, 0.2, 0.5, 0.7, 0.975, 0.999_999,
        ] {
            let z = normal_quantile(p);
            let back = libm::erfc(-z / std::f64::consts::SQRT_2) / 2.0;
            assert!(
                (back - p).abs() <= 1e-12 * p.max(1e-3),
                "{p}: {z} gives {back}"
            );
        }
        // The 97.5 % quantile as every table prints it.
        assert!((normal_quantile(0.975) - 1.959_964).abs() < 5e-7);
    }
}
