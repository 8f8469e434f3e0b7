//! What ten known rings teach of a caliper that reads small: error and odds before and after.

use crate::random::Draws;
use crate::simulator::population;
use ringwright::app::ring::identify::RingNamer;
use ringwright::app::ring::question::RingQuestion;
use ringwright::core::identification::Prior;
use ringwright::core::measurement::{
    Condition, Instruments, KnownReading, KnownRing, Measurand, Reading, learn,
};
use ringwright::core::quantity::{Dimension, Length};
use ringwright::core::sizes::SizeTable;

/// How much smaller than the table's this caliper reads, whatever it measures.
const ZERO_ERROR_MM: f64 = -0.08;
const KNOWN_RINGS: usize = 10;
const REPEATS: usize = 2;
const BAND: f64 = 1.96;

/// A new ring's real diameter and section.
struct Ring {
    truth: usize,
    od: f64,
    section: f64,
}

fn draw_ring(draws: &mut Draws, population: &[usize]) -> Ring {
    let truth = population[draws.index(population.len())];
    let ring = &SizeTable::shipped().rings()[truth];
    let d1 = draws.normal(ring.id.nominal.mm(), ring.id.plus.mm() / BAND);
    let d2 = draws.normal(ring.section.nominal.mm(), ring.section.plus.mm() / BAND);
    let swell = 1.0 + draws.normal(0.0, 0.002);
    Ring {
        truth,
        od: (d1 + 2.0 * d2) * swell,
        section: d2 * swell,
    }
}

/// Reads with the caliper of the table as this person's: the zero error on top of the table's bias, and from ring to ring
/// the third of the table's variance that is not between persons.
fn read(draws: &mut Draws, truth: f64, measurand: Measurand) -> Reading {
    let row = Instruments::shipped()
        .find("caliper", measurand)
        .expect("listed");
    let own = row.sd_between / 3.0_f64.sqrt();
    let centre = draws.normal(truth + row.bias + ZERO_ERROR_MM, own);
    let hundredth = |value: f64| (value * 100.0).round() / 100.0;
    Reading {
        measurand,
        values: (0..REPEATS)
            .map(|_| hundredth(draws.normal(centre, row.sd_repeat)))
            .collect(),
        method: "caliper".to_owned(),
        typed: String::new(),
    }
}

fn read_both(draws: &mut Draws, ring: &Ring) -> Vec<Reading> {
    vec![
        read(draws, ring.od, Measurand::Od),
        read(draws, ring.section, Measurand::Cs),
    ]
}

/// What the known rings are known by.
#[derive(Clone, Copy)]
enum Known {
    /// Their listed size with its tolerance.
    ByCode,
    /// Dimensions measured elsewhere to ±0.02 mm.
    Measured,
}

impl Known {
    fn size(self, ring: &Ring) -> KnownRing {
        let listed = &SizeTable::shipped().rings()[ring.truth];
        let measured = |mm: f64| {
            let length = |mm| Length::from_mm(mm).expect("a length");
            Dimension {
                nominal: length(mm),
                plus: length(0.02),
                minus: length(0.02),
            }
        };
        match self {
            Self::ByCode => KnownRing::new(listed.id, listed.section),
            Self::Measured => KnownRing::new(
                measured(ring.od - 2.0 * ring.section),
                measured(ring.section),
            ),
        }
    }
}

/// What ten known rings teach.
fn taught(draws: &mut Draws, population: &[usize], known: Known) -> Instruments {
    let readings: Vec<KnownReading> = (0..KNOWN_RINGS)
        .flat_map(|_| {
            let ring = draw_ring(draws, population);
            let size = known.size(&ring);
            read_both(draws, &ring)
                .into_iter()
                .map(move |reading| size.compare(&reading).expect("a length by a named method"))
        })
        .collect();
    let shipped = Instruments::shipped();
    shipped.with_rows(learn(shipped, &readings).into_iter().map(|one| one.after))
}

#[derive(Debug, Default)]
struct Figures {
    first: f64,
    of_truth: f64,
    log_score: f64,
    od_error: f64,
    section_error: f64,
    count: f64,
}

impl Figures {
    fn add(&mut self, namer: &RingNamer, ring: &Ring, readings: &[Reading]) {
        let question = RingQuestion {
            readings: readings.to_vec(),
            condition: Condition::New,
            ..RingQuestion::default()
        };
        let answer = namer.name(&question).expect("named");
        let listed = &SizeTable::shipped().rings()[ring.truth];
        let codes = SizeTable::shipped().codes(listed);
        let place = answer.candidates.iter().position(|c| c.codes == codes);
        let of_truth = place.map_or(1e-4, |at| answer.candidates[at].probability);
        self.first += f64::from(u8::from(place == Some(0)));
        self.of_truth += of_truth;
        self.log_score += of_truth.ln();
        self.od_error += answer.readings[0].value - ring.od;
        self.section_error += answer.readings[1].value - ring.section;
        self.count += 1.0;
    }

    fn line(&self, name: &str) -> String {
        let mean = |sum: f64| sum / self.count;
        format!(
            "{name:22} od error {:+.3} mm  section error {:+.3} mm  right first {:.1} %  odds of the right ring {:.1} %  log score {:.3}",
            mean(self.od_error),
            mean(self.section_error),
            100.0 * mean(self.first),
            100.0 * mean(self.of_truth),
            mean(self.log_score),
        )
    }
}

#[test]
fn ten_known_rings_take_most_of_a_calipers_error_off_and_mend_the_odds() {
    // Eighty persons, each with ten known rings of their own: what one set of ten leaves scatters by about 0.025 mm in the
    // diameter, the mean of eighty by 0.003 mm.
    const PERSONS: usize = 80;
    const RINGS: usize = 25;
    let population = population();
    let [mut before, mut after, mut measured] = [(); 3].map(|()| Figures::default());
    let table = RingNamer::new(&Prior::default());
    let mut draws = Draws::new(20_260_314);
    for _ in 0..PERSONS {
        let [by_code, by_size] = [Known::ByCode, Known::Measured].map(|known| {
            let own = taught(&mut draws, &population, known);
            RingNamer::new(&Prior::default()).with_instruments(own)
        });
        for _ in 0..RINGS {
            let ring = draw_ring(&mut draws, &population);
            let readings = read_both(&mut draws, &ring);
            before.add(&table, &ring, &readings);
            after.add(&by_code, &ring, &readings);
            measured.add(&by_size, &ring, &readings);
        }
    }
    println!(
        "a caliper that reads 0.08 mm small, new rings, outside diameter and section, {PERSONS} x {RINGS} rings"
    );
    println!("{}", before.line("by the table"));
    println!("{}", after.line("10 rings of known code"));
    println!("{}", measured.line("10 rings to ±0.02 mm"));
    let mean = |sum: f64| sum / before.count;
    // 2000 rings hold the mean error to 0.001 mm: before, it must be the zero error itself.
    assert!((mean(before.od_error) - ZERO_ERROR_MM).abs() < 0.005);
    assert!((mean(before.section_error) - ZERO_ERROR_MM).abs() < 0.005);
    // Worked from the model, w = σ₀²/(σ₀² + τ² + r²/n) with σ₀ = 0.035 (diameter) and 0.023 mm (section): the diameters of
    // this population stray by τ = 0.11 mm (9 mm rings) to 0.17 mm (40 mm rings), so that ten rings count 0.4 to 0.9 of one
    // and leave 0.5/(0.5 + 0.4) = 55 % to 36 % of the error; sections stray by 0.04 to 0.06 mm, ten count 1.2 to 2.1 and
    // leave 29 % to 19 %. Three standard errors (0.009 and 0.003 mm) are added to the greater of each.
    assert!(mean(after.od_error).abs() < 0.67 * ZERO_ERROR_MM.abs());
    assert!(mean(after.section_error).abs() < 0.33 * ZERO_ERROR_MM.abs());
    assert!(after.first > before.first + 0.03 * before.count);
    assert!(after.log_score > before.log_score);
    // Rings measured to ±0.02 mm hide little (0.01 mm in each dimension, and their swell): most of the error goes.
    assert!(measured.od_error.abs() < after.od_error.abs());
    assert!(mean(measured.section_error).abs() < 0.15 * ZERO_ERROR_MM.abs());
}
