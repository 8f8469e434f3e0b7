//! Spans of time.

use super::error::QuantityError;
use super::scalar::ScalarForm;
use super::typed::Typed;
use super::unit_table::Measured;
use std::time::Duration;

const FORM: ScalarForm = ScalarForm {
    quantity: "time",
    example: "5 s",
    known: "s, ms, min, h",
    missing: "unit",
};

/// The longest span, in seconds: a day.
const LONGEST: f64 = 86_400.0;

/// Reads a span of time such as `5 s`, `500 ms`, `2 min`. Range: 0 to 24 h.
pub fn parse_duration(text: &str) -> Result<Typed<Duration>, QuantityError> {
    let read = FORM.read(Measured::Time, text)?;
    let span = Some(read.value).filter(|s| (0.0..=LONGEST).contains(s));
    let value = span
        .and_then(|seconds| Duration::try_from_secs_f64(seconds).ok())
        .ok_or_else(|| ScalarForm::out_of_range(&read.scalar, text, "0 to 24 h"))?;
    Ok(Typed::new(value, text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_of_time_read_with_their_unit_alone() {
        let read = |text| parse_duration(text).map(|typed| typed.value);
        assert_eq!(read("5 s"), Ok(Duration::from_secs(5)));
        assert_eq!(read("500ms"), Ok(Duration::from_millis(500)));
        assert_eq!(read("1.5 min"), Ok(Duration::from_secs(90)));
        assert_eq!(read("24 h"), Ok(Duration::from_secs(86_400)));
        for text in ["5", "-1 s", "25 h", "", "5 bar", "s"] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
