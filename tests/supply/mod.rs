//! Descriptions of offers read against a corpus with expected fields.
//!
//! `descriptions.csv` was written for this test in the styles of the trade: dash alone, family and dash, size with hardness
//! and polymer in many orders, metric with point and comma, labelled dimensions, old numbers, nominal fractions, codes of the
//! metric families, lines that mean two things and lines that name no ring. Sizes expected: the first code of the listed
//! ring, or ID x section in millimetres; several parted by "|" where the line means several.

mod written;

use ringwright::core::supply::{Described, DescriptionReader};

struct Line {
    text: String,
    sizes: Vec<String>,
    polymer: String,
    hardness: String,
    pack: String,
}

fn corpus() -> Vec<Line> {
    let mut reader = csv::Reader::from_reader(include_str!("descriptions.csv").as_bytes());
    let lines = reader.records().map(|record| {
        let record = record.expect("a row");
        Line {
            text: record[0].to_owned(),
            sizes: record[1]
                .split('|')
                .filter(|s| !s.is_empty())
                .map(str::to_owned)
                .collect(),
            polymer: record[2].to_owned(),
            hardness: record[3].to_owned(),
            pack: record[4].to_owned(),
        }
    });
    lines.collect()
}

fn sizes(read: &Described) -> Vec<String> {
    let mut sizes: Vec<String> = read
        .rings
        .iter()
        .map(|ring| match &ring.code {
            Some(code) => code.clone(),
            None => format!(
                "{}x{}",
                ring.size.id.mm_rounded(),
                ring.size.section.mm_rounded()
            ),
        })
        .collect();
    sizes.sort();
    sizes
}

#[test]
fn no_line_of_the_corpus_gets_a_wrong_size_and_recall_is_stated() {
    let lines = corpus();
    assert!(lines.len() >= 300, "{} lines", lines.len());
    let mut reader = DescriptionReader::default();
    let (mut wrong, mut missed, mut expected) = (Vec::new(), Vec::new(), 0);
    let mut fields = [[0_u32; 2]; 3];
    for line in &lines {
        let read = reader.read(&line.text);
        let (found, mut wanted) = (sizes(&read), line.sizes.clone());
        wanted.sort();
        expected += usize::from(!wanted.is_empty());
        if found != wanted {
            let list = if found.is_empty() {
                &mut missed
            } else {
                &mut wrong
            };
            list.push(format!("{}: {found:?} for {wanted:?}", line.text));
        }
        let polymer = read
            .polymer
            .map_or_else(String::new, |p| p.letters().to_owned());
        let hardness = read
            .hardness
            .map_or_else(String::new, |h| h.value.to_string());
        let pack = read.pack.map_or_else(String::new, |p| p.to_string());
        for (at, (found, wanted)) in [
            (&polymer, &line.polymer),
            (&hardness, &line.hardness),
            (&pack, &line.pack),
        ]
        .into_iter()
        .enumerate()
        {
            if !wanted.is_empty() {
                fields[at][0] += 1;
                fields[at][1] += u32::from(found == wanted);
                assert!(
                    found == wanted || found.is_empty(),
                    "{}: {found} for {wanted}",
                    line.text
                );
            }
        }
    }
    println!(
        "{} lines, {expected} with a size: {} wrong, {} not read (recall {:.1} %)\npolymer {:?}, hardness {:?}, pack {:?} (asked, read)",
        lines.len(),
        wrong.len(),
        missed.len(),
        100.0 * (expected - missed.len()) as f64 / expected as f64,
        fields[0],
        fields[1],
        fields[2]
    );
    assert!(wrong.is_empty(), "wrong sizes:\n{}", wrong.join("\n"));
    // Recall may not fall unseen.
    assert!(missed.is_empty(), "not read:\n{}", missed.join("\n"));
}

#[test]
fn ambiguous_lines_give_every_meaning() {
    let mut reader = DescriptionReader::default();
    let lines = corpus();
    let several: Vec<&Line> = lines.iter().filter(|line| line.sizes.len() > 1).collect();
    assert!(several.len() >= 3);
    for line in several {
        assert!(reader.read(&line.text).rings.len() > 1, "{}", line.text);
    }
}

proptest::proptest! {
    /// Whatever stands in a description, reading it ends, and a size is only given with a ring's dimensions.
    #[test]
    fn any_description_is_read(text in "[-A-Z0-9x/., ]{0,40}|\\PC{0,40}") {
        let read = DescriptionReader::default().read(&text);
        for ring in read.rings {
            proptest::prop_assert!(ring.size.id.nm() > 0 && ring.size.section.nm() > 0);
        }
    }
}
