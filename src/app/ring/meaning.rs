//! What an identification means for the person at the bench: the gland, the age, slips that have a name, and rivals that
//! differ in whether they would seal.

use super::question::RingQuestion;
use crate::app::gland::question::GlandQuestion;
use crate::core::gland::{GlandRing, GlandSpec, Verdict};
use crate::core::identification::{Age, Candidates, GlandVerdict, Identification, Identifier};
use crate::core::measurement::{Instruments, Measurand};
use crate::core::sizes::SizeTable;

/// From this chance on it is said that a ring may be a foreign one: a word too many costs a look, one too few a wrong ring. What
/// is left is mostly that a dimension was misread. Judgement, no source.
const FOREIGN: f64 = 0.1;

/// Says that the ring may not be the one the gland was made for, where that is so.
pub(super) fn disagreement(answer: &GlandVerdict) -> Option<String> {
    let (ring, gland) = (answer.ring_alone.as_ref()?, answer.gland_alone.first()?);
    (answer.misfit_probability > FOREIGN).then(|| {
        format!(
            "this ring may not be the one this gland was made for ({:.0} %), or a dimension is misread: the ring measures as {} ({:.0} %), the gland was made for one such as {} ({:.0} %)",
            100.0 * answer.misfit_probability,
            ring.code(),
            100.0 * ring.probability,
            gland.code(),
            100.0 * gland.probability
        )
    })
}

/// Says in words what age has done to the ring; empty where it has done nothing that the readings show.
pub(super) fn age_in_words(age: &Age) -> Vec<String> {
    /// Set and swell below this many per cent are not worth a word.
    const LEAST_SET_PCT: f64 = 2.0;
    const LEAST_SWELL_PCT: f64 = 0.5;
    let mut words = Vec::new();
    let (set, swell) = (age.set_pct, age.swell_pct);
    if set.low > LEAST_SET_PCT {
        words.push(format!(
            "the section is flattened by {:.0} % ({:.0} to {:.0} %)",
            set.mean, set.low, set.high
        ));
    }
    if swell.low > LEAST_SWELL_PCT {
        words.push(format!(
            "the ring is swollen by {:.1} % on every length ({:.1} to {:.1} %)",
            swell.mean, swell.low, swell.high
        ));
    }
    if swell.high < -LEAST_SWELL_PCT {
        words.push(format!(
            "the ring has shrunk, and has then as a rule hardened, by {:.1} % on every length ({:.1} to {:.1} %)",
            -swell.mean, -swell.high, -swell.low
        ));
    }
    words
}

/// Rivals less probable than this do not count.
const RIVAL: f64 = 0.05;

/// Says that the likely rings differ in whether they would seal in the gland, where they do.
pub(super) fn rivals_differ(spec: &GlandSpec, found: &Identification) -> Option<String> {
    let question = GlandQuestion::new(spec.clone());
    let geometry = question.geometry().ok()?;
    let service = question.service(&geometry, None, None).ok()?;
    let table = SizeTable::shipped();
    let rivals = found.ranked.iter().filter(|r| r.probability >= RIVAL);
    let judged: Vec<(String, f64, Verdict)> = rivals
        .map(|rival| {
            let ring = GlandRing::of_listed(&table.rings()[rival.ring], table);
            (
                table.first_code(rival.ring),
                rival.probability,
                service.judge(&ring).verdict,
            )
        })
        .collect();
    let rejects = |v: &Verdict| *v == Verdict::Reject;
    let some = judged.iter().any(|(_, _, v)| rejects(v));
    let all = judged.iter().all(|(_, _, v)| rejects(v));
    (some && !all).then(|| {
        let named: Vec<String> = judged
            .iter()
            .map(|(code, share, verdict)| {
                let word = if rejects(verdict) { "is rejected" } else { "would seal" };
                format!("{code} ({:.0} %) {word}", 100.0 * share)
            })
            .collect();
        format!(
            "the rings that these readings leave open differ in whether they would seal in this gland: {}; measure on before you fit one",
            named.join(", ")
        )
    })
}

/// How a reading can be wrong in a way that has a name: what it is multiplied with, and the words.
const NAMED_SLIPS: [(f64, &str); 4] = [
    (0.1, "its decimal point stands one place too far right"),
    (10.0, "its decimal point stands one place too far left"),
    (25.4, "it was read in inches and written as millimetres"),
    (
        1.0 / 25.4,
        "it was read in millimetres and written as inches",
    ),
];
/// Logarithm of the share of readings with one named slip (four in a thousand). Recalled from practice, no source.
const LOG_SLIP_SHARE: f64 = -5.5;
/// A named slip is spoken of where its odds (logarithm) against a slip of any other kind are at least one to three: the
/// readings are doubtful already, and a hint that can be checked at once costs nothing.
const LOG_WORTH_SAYING: f64 = -1.1;
/// The readings are looked at for slips where the best ring fits worse than this many standard deviations.
const DOUBTFUL_SIGMA: f64 = 3.0;
const DOUBTFUL_SLIP: f64 = 0.2;

/// Names the slip that explains the readings, where one does far better than taking them as they stand.
pub(super) fn named_slip(
    question: &RingQuestion,
    found: &Identification,
    candidates: &Candidates,
    instruments: &Instruments,
) -> Option<String> {
    let fits = found
        .ranked
        .first()
        .is_some_and(|r| r.misfit_sigma < DOUBTFUL_SIGMA);
    if fits && found.slip_probabilities.iter().all(|p| *p < DOUBTFUL_SLIP) {
        return None;
    }
    let mut best: Option<(f64, String)> = None;
    for (changed, log_stretch, what) in ways(question) {
        let Ok(evidence) = changed.evidence(candidates, instruments) else {
            continue;
        };
        let other = Identifier::new(candidates).identify(&evidence);
        let gain = other.log_evidence - found.log_evidence + LOG_SLIP_SHARE + log_stretch;
        let Some(first) = other.ranked.first() else {
            continue;
        };
        if gain > LOG_WORTH_SAYING && best.as_ref().is_none_or(|(most, _)| gain > *most) {
            let ring = SizeTable::shipped().first_code(first.ring);
            let odds = 100.0 * first.probability;
            best = Some((
                gain,
                format!("{what}: the ring would then be {ring} ({odds:.0} %); correct it if so"),
            ));
        }
    }
    best.map(|(_, words)| words)
}

/// Lists the readings with one of them corrected for each named slip; the number is the logarithm of what the correction
/// multiplies the reading's scale with, and a density by it with.
fn ways(question: &RingQuestion) -> Vec<(RingQuestion, f64, String)> {
    let mut ways = Vec::new();
    for (at, reading) in question.readings.iter().enumerate() {
        for (factor, words) in NAMED_SLIPS {
            let mut changed = question.clone();
            changed.readings[at]
                .values
                .iter_mut()
                .for_each(|v| *v *= factor);
            let name = reading.measurand.name();
            ways.push((
                changed,
                libm::log(factor),
                format!("the {name} {:?} reads as if {words}", reading.typed),
            ));
        }
        let (other, said) = match reading.measurand {
            Measurand::Od => (Measurand::Id, "the inside diameter, not the outside one"),
            Measurand::Id => (Measurand::Od, "the outside diameter, not the inside one"),
            _ => continue,
        };
        let mut changed = question.clone();
        changed.readings[at].measurand = other;
        ways.push((
            changed,
            0.0,
            format!("{:?} reads as if it were {said}", reading.typed),
        ));
    }
    ways
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::ring::identify::{RingAnswer, RingNamer};
    use crate::core::identification::Prior;
    use crate::core::measurement::Reading;
    use crate::core::note::read_gland;
    use crate::core::quantity::LengthUnit;

    fn name(readings: &[(Measurand, &str)], gland: Option<&str>) -> RingAnswer {
        let mm = Some(LengthUnit::Mm);
        let question = RingQuestion {
            readings: readings
                .iter()
                .map(|(m, text)| Reading::parse(*m, text, mm).expect("reads"))
                .collect(),
            gland: gland.map(|text| read_gland(text, mm).expect("reads")),
            ..RingQuestion::default()
        };
        let namer = RingNamer::new(&Prior::default());
        namer.name(&question).expect("sound")
    }

    fn says(answer: &RingAnswer, words: &str) -> bool {
        answer
            .warnings
            .points
            .iter()
            .any(|warning| warning.contains(words))
    }

    // A ring of 9.25 x 1.78 mm (AS568-012) has an outside diameter of 12.81 mm = 0.504 in.
    const SECTION: [(Measurand, &str); 2] = [
        (Measurand::Cs, "1.75 by flat"),
        (Measurand::Width, "1.74 by caliper"),
    ];

    fn with_section(od: &str) -> Vec<(Measurand, &str)> {
        [&[(Measurand::Od, od)], &SECTION[..]].concat()
    }

    #[test]
    fn slips_that_have_a_name_are_named() {
        let inches = name(&with_section("0.504 by caliper"), None);
        assert!(says(&inches, "read in inches"), "{:?}", inches.warnings);
        let two = [
            (Measurand::Od, "128.1 by caliper"),
            (Measurand::Id, "9.25 by scan"),
            SECTION[0],
            SECTION[1],
        ];
        let point = name(&two, None);
        assert!(says(&point, "too far right"), "{:?}", point.warnings);
        let sound = name(&with_section("12.77 by caliper"), None);
        assert!(!says(&sound, "reads as if"), "{:?}", sound.warnings);
    }

    #[test]
    fn a_ring_in_a_gland_of_another_size_may_not_belong_there() {
        let readings = with_section("12.77 by caliper");
        // Groove 22.4: an inside diameter near 22 mm. Two diameters agree that the ring is a small one; with one alone it
        // could be misread.
        let two = [&readings[..], &[(Measurand::Id, "9.2 by scan")]].concat();
        let other = name(&two, Some("piston; bore 25.4; groove 22.4; width 2.6"));
        let gland = other.gland.as_ref().expect("given");
        // A wrong ring is near the right size: one of half the size is about as rare as a groove misread.
        assert!(gland.foreign_probability > 0.2, "{gland:?}");
        assert!(says(&other, "may not be the one this gland was made for"));
        // Groove 9.5 and depth 1.4: stretch 2.7 %, squeeze 20 % for 9.25 x 1.78.
        let own = name(&readings, Some("piston; bore 12.3; groove 9.5; width 2.6"));
        let gland = own.gland.as_ref().expect("given");
        assert!(gland.foreign_probability < 0.05, "{gland:?}");
        assert_eq!(own.candidates[0].codes[0], "AS568-012");
    }

    #[test]
    fn age_is_said_in_words_where_it_shows() {
        let flat = [
            (Measurand::Od, "12.77 by caliper"),
            (Measurand::Cs, "1.60 by flat"),
            (Measurand::Width, "1.95 by caliper"),
        ];
        let answer = name(&flat, None);
        assert!(
            answer
                .age_in_words
                .iter()
                .any(|w| w.contains("flattened by"))
        );
        let round = name(&with_section("12.77 by caliper"), None);
        assert!(round.age_in_words.is_empty(), "{:?}", round.age_in_words);
    }
}
