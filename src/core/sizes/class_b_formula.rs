//! The tolerances of ISO 3601-1 class B as plain numbers in millimetres; shared with the build of the size tables.

/// Returns ±(0.009 · d1^0.95 + 0.11), rounded to the micrometre.
pub(crate) fn inside_diameter_mm(d1: f64) -> f64 {
    const FACTOR: f64 = 0.009;
    const EXPONENT: f64 = 0.95;
    const CONSTANT_MM: f64 = 0.11;
    let tolerance = FACTOR * libm::pow(d1.max(0.0), EXPONENT) + CONSTANT_MM;
    (tolerance * 1000.0).round() / 1000.0
}

/// Returns the tolerance of the band in which a section lies.
pub(crate) fn section_mm(d2: f64) -> f64 {
    const BANDS: [(f64, f64); 6] = [
        (2.25, 0.08),
        (3.15, 0.09),
        (4.50, 0.10),
        (6.30, 0.13),
        (8.40, 0.15),
        (10.0, 0.18),
    ];
    const ABOVE_MM: f64 = 0.20;
    BANDS
        .iter()
        .find(|(upper, _)| d2 <= *upper)
        .map_or(ABOVE_MM, |(_, t)| *t)
}
