//! Turns the tables of ring sizes in data/sizes into static tables of the program, so that no start reads them.
//!
//! Run by cargo before the program is compiled. A malformed row stops the build and is named.

#[path = "../src/core/sizes/class_b_formula.rs"]
mod class_b_formula;

use std::fmt::Write as _;
use std::path::Path;

/// One size as the static table holds it; lengths in nanometres.
struct Size {
    standard: &'static str,
    code: String,
    id: i64,
    id_tolerance: i64,
    section: i64,
    section_tolerance: i64,
    id_listed: bool,
    section_listed: bool,
    source: String,
    confidence: &'static str,
}

const NM_PER_MM: i64 = 1_000_000;
const NM_PER_INCH: i64 = 25_400_000;

/// Two codes name one ring when both dimensions agree to this: the families print inch rings in millimetres rounded to
/// the hundredth, so that the same ring differs by up to half a hundredth in each.
const SAME_RING_NM: i64 = 10_000;
/// The most codes under which one ring is listed; `MOST_CODES` of core/sizes/table.rs.
const MOST_CODES: usize = 4;

fn main() {
    let root = std::env::var("CARGO_MANIFEST_DIR").expect("cargo names the folder");
    let folder = Path::new(&root).join("data/sizes");
    let mut sizes = as568(&folder);
    sizes.extend(metric(&folder, "iso3601_metric.csv", |_| "Iso3601Metric"));
    sizes.extend(metric(&folder, "jis_b2401.csv", |code| {
        match code.chars().next() {
            Some('G') => "JisG",
            Some('V') => "JisV",
            _ => "JisP",
        }
    }));
    sizes.extend(metric(&folder, "bs4518.csv", |_| "Bs4518"));
    sizes.extend(metric(&folder, "trade_metric.csv", |_| "TradeMetric"));
    sizes.extend(metric(
        &folder,
        "trade_metric_implied.csv",
        |_| "TradeImplied",
    ));
    let out = std::env::var("OUT_DIR").expect("cargo names the folder");
    std::fs::write(Path::new(&out).join("listed_sizes.rs"), source_text(&sizes))
        .expect("the table can be written");
    println!(
        "cargo::rustc-env=RINGWRIGHT_DATA_VERSION={}",
        data_version(Path::new(&root))
    );
    println!(
        "cargo::rustc-env=RINGWRIGHT_RULES_VERSION={}",
        rules_version(Path::new(&root))
    );
    println!("cargo::rerun-if-changed=data");
    for rules in RULES {
        println!("cargo::rerun-if-changed={rules}");
    }
    println!("cargo::rerun-if-changed=scripts/build_tables.rs");
}

/// What decides every answer of the computing part of the program: its source, its tables, and the crates that it computes with.
const RULES: [&str; 3] = ["src/core", "data", "Cargo.lock"];

/// Makes the version of the rules from the bytes of every file that they are made of (FNV-1a, 64 bit), so that what one build
/// computed and kept is never taken for what another would compute, whether or not somebody raised the number of its version.
fn rules_version(root: &Path) -> String {
    let mut files: Vec<_> = RULES.iter().map(|name| root.join(name)).collect();
    let mut sum = Checksum::default();
    while let Some(path) = files.pop() {
        if path.is_dir() {
            let mut inside: Vec<_> = std::fs::read_dir(&path)
                .unwrap_or_else(|e| panic!("{}: {e}", path.display()))
                .filter_map(|entry| entry.ok().map(|entry| entry.path()))
                .collect();
            inside.sort();
            files.extend(inside);
        } else {
            sum.take(&path);
        }
    }
    format!("{:016x}", sum.0)
}

/// Sums bytes up (FNV-1a, 64 bit).
struct Checksum(u64);

impl Default for Checksum {
    fn default() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }
}

impl Checksum {
    fn take(&mut self, file: &Path) {
        for byte in std::fs::read(file).unwrap_or_else(|e| panic!("{}: {e}", file.display())) {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
}

/// Folders of data whose tables decide what the program answers.
const TABLES: [&str; 6] = [
    "sizes",
    "glands",
    "elastomers",
    "identification",
    "measurement",
    "notes",
];

/// Makes the version of the shipped tables from their bytes (FNV-1a, 64 bit, the upper half), so that a printed sheet
/// tells which tables it was made with.
fn data_version(root: &Path) -> String {
    let mut sum = Checksum::default();
    for folder in TABLES {
        let folder = root.join("data").join(folder);
        let entries =
            std::fs::read_dir(&folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
        let mut tables: Vec<_> = entries
            .filter_map(|entry| entry.ok().map(|entry| entry.path()))
            .filter(|path| path.extension().is_some_and(|end| end == "csv"))
            .collect();
        tables.sort();
        for table in tables {
            sum.take(&table);
        }
    }
    format!("{:08x}", sum.0 >> 32)
}

/// Reads a table as rows of named fields.
fn rows(folder: &Path, name: &str) -> Vec<impl Fn(&str) -> Option<String>> {
    let path = folder.join(name);
    let mut reader = csv::Reader::from_path(&path).unwrap_or_else(|e| panic!("{name}: {e}"));
    let header = reader
        .headers()
        .unwrap_or_else(|e| panic!("{name}: {e}"))
        .clone();
    reader
        .records()
        .map(|row| {
            let row = row.unwrap_or_else(|e| panic!("{name}: {e}"));
            let header = header.clone();
            move |column: &str| {
                let at = header.iter().position(|h| h == column)?;
                row.get(at).filter(|f| !f.is_empty()).map(str::to_owned)
            }
        })
        .collect()
}

/// Reads the AS568 table twice: in inches, and (without the boss rings) as the ISO 3601-1 codes in millimetres.
fn as568(folder: &Path) -> Vec<Size> {
    const FIRST_BOSS: &str = "901";
    let (mut inch, mut millimetre) = (Vec::new(), Vec::new());
    for field in rows(folder, "as568.csv") {
        let get = |column: &str| field(column).unwrap_or_else(|| panic!("as568.csv: no {column}"));
        let code = get("dash");
        let size = |standard, unit: &str, nm| Size {
            standard,
            code: code.clone(),
            id: length(&get(&format!("id_{unit}")), nm),
            id_tolerance: length(&get(&format!("id_tol_{unit}")), nm),
            section: length(&get(&format!("cs_{unit}")), nm),
            section_tolerance: length(&get(&format!("cs_tol_{unit}")), nm),
            id_listed: true,
            section_listed: true,
            source: get("source"),
            confidence: grade(&get("confidence")),
        };
        if code.as_str() >= FIRST_BOSS {
            inch.push(size("As568Boss", "in", NM_PER_INCH));
        } else {
            inch.push(size("As568", "in", NM_PER_INCH));
            millimetre.push(size("Iso3601", "mm", NM_PER_MM));
        }
    }
    inch.extend(millimetre);
    inch
}

/// Reads a metric table; where it states no tolerance, ISO 3601-1 class B stands in.
fn metric(folder: &Path, name: &str, standard: impl Fn(&str) -> &'static str) -> Vec<Size> {
    rows(folder, name)
        .into_iter()
        .map(|field| {
            let get = |column: &str| field(column).unwrap_or_else(|| panic!("{name}: no {column}"));
            let (id, section) = (get("id_mm"), get("cs_mm"));
            let mm = |text: &str| {
                text.parse::<f64>()
                    .unwrap_or_else(|_| panic!("{name}: {text}"))
            };
            let assumed = |tolerance: f64| length(&format!("{tolerance:.3}"), NM_PER_MM);
            let stated = |column| field(column).map(|text| length(&text, NM_PER_MM));
            let (id_tolerance, section_tolerance) = (stated("id_tol_mm"), stated("cs_tol_mm"));
            let code = get("code");
            Size {
                standard: standard(&code),
                id: length(&id, NM_PER_MM),
                section: length(&section, NM_PER_MM),
                id_listed: id_tolerance.is_some(),
                section_listed: section_tolerance.is_some(),
                id_tolerance: id_tolerance
                    .unwrap_or_else(|| assumed(class_b_formula::inside_diameter_mm(mm(&id)))),
                section_tolerance: section_tolerance
                    .unwrap_or_else(|| assumed(class_b_formula::section_mm(mm(&section)))),
                source: get("source"),
                confidence: grade(&get("confidence")),
                code,
            }
        })
        .collect()
}

fn grade(word: &str) -> &'static str {
    match word {
        "published" => "Published",
        "supplier table" => "SupplierTable",
        "memory" => "Memory",
        _ => panic!("{word:?} is no grade of confidence"),
    }
}

/// Reads a plain decimal of at most three places exactly.
fn length(text: &str, nm_per_unit: i64) -> i64 {
    let (whole, decimals) = text.split_once('.').unwrap_or((text, ""));
    assert!(decimals.len() <= 3, "{text:?} has more than three decimals");
    let thousandths: i64 = format!("{whole}{decimals:0<3}")
        .parse()
        .unwrap_or_else(|_| panic!("{text:?} is no length"));
    thousandths * (nm_per_unit / 1000)
}

/// Gathers the codes of each physical ring, ordered by section and inside diameter.
fn rings(sizes: &[Size]) -> Vec<Vec<usize>> {
    let mut order: Vec<usize> = (0..sizes.len()).collect();
    order.sort_by_key(|at| (sizes[*at].id, sizes[*at].section, *at));
    let near = |a: i64, b: i64| (a - b).abs() <= SAME_RING_NM;
    let mut rings: Vec<Vec<usize>> = Vec::new();
    for at in order {
        let size = &sizes[at];
        let twin = rings
            .iter_mut()
            .rev()
            .take_while(|ring| near(sizes[ring[0]].id, size.id))
            .find(|ring| near(sizes[ring[0]].section, size.section));
        match twin {
            Some(ring) => ring.push(at),
            None => rings.push(vec![at]),
        }
    }
    for ring in &mut rings {
        ring.sort_unstable();
    }
    rings.sort_by_key(|ring| (sizes[ring[0]].section, sizes[ring[0]].id));
    rings
}

fn source_text(sizes: &[Size]) -> String {
    let mut sources: Vec<&str> = sizes.iter().map(|s| s.source.as_str()).collect();
    sources.sort_unstable();
    sources.dedup();
    let mut text = String::new();
    let _ = writeln!(
        text,
        "/// Where the rows come from.\npub(super) const SOURCES: [&str; {}] = {sources:?};",
        sources.len()
    );
    // Lengths in nanometres, as a machine writes them.
    text.push_str("#[allow(clippy::unreadable_literal)]\n");
    let _ = writeln!(text, "static SIZES: [RingSize; {}] = [", sizes.len());
    for size in sizes {
        let source = sources.iter().position(|s| *s == size.source).unwrap_or(0);
        let basis = |listed| if listed { "Listed" } else { "AssumedClassB" };
        let _ = writeln!(
            text,
            "RingSize {{ standard: Standard::{}, short_code: ShortCode::new({:?}), id: {}, section: {}, \
             id_tolerance_basis: ToleranceBasis::{}, section_tolerance_basis: ToleranceBasis::{}, \
             source_place: {source}, confidence: Confidence::{} }},",
            size.standard,
            size.code,
            dimension(size.id, size.id_tolerance),
            dimension(size.section, size.section_tolerance),
            basis(size.id_listed),
            basis(size.section_listed),
            size.confidence,
        );
    }
    let rings = rings(sizes);
    text.push_str("];\n#[allow(clippy::unreadable_literal)]\n");
    let _ = writeln!(text, "static RINGS: [ListedRing; {}] = [", rings.len());
    for ring in &rings {
        let first = &sizes[ring[0]];
        assert!(ring.len() <= MOST_CODES, "a ring has {} codes", ring.len());
        let places = ring.iter().chain(std::iter::repeat(&0)).take(MOST_CODES);
        let ids: Vec<String> = places.map(|at| format!("SizeId({at})")).collect();
        let _ = writeln!(
            text,
            "ListedRing {{ id: {}, section: {}, members: [{}], count: {} }},",
            dimension(first.id, first.id_tolerance),
            dimension(first.section, first.section_tolerance),
            ids.join(", "),
            ring.len()
        );
    }
    text.push_str("];\n");
    text
}

fn dimension(nominal: i64, tolerance: i64) -> String {
    format!("Dimension::symmetric(Length::from_nm({nominal}), Length::from_nm({tolerance}))")
}
