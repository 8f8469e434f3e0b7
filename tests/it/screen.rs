//! Answers fit on one screen: what to do, the figures that carry it, what to know; the rest is shown with `--full`.

use super::program::{Workshop, items};

fn lines(shop: &Workshop, line: &str) -> Vec<String> {
    let text = shop.screen(line).out;
    text.lines().map(str::to_owned).collect()
}

const GLAND: &str = "--kind piston --bore \"25.40+0.05/-0 mm\" --groove \"22.40±0.02 mm\" --width \"2.40 mm\" --piston \"25.33 mm\" \
    --pressure \"10 bar\" --duty moving";

/// A line that is answered on one screen, and of how many lines that is.
type Answered = (&'static str, usize);

/// Lists the answers that are longer than they may be, or empty.
fn longer(shop: &Workshop, answers: &[Answered]) -> Vec<String> {
    let mut long = Vec::new();
    for (line, most) in answers {
        let shown = lines(shop, &line.replace("GLAND", GLAND));
        if shown.len() > *most || shown.is_empty() {
            let page = shown.join("\n");
            long.push(format!(
                "{line}: {} lines, {most} at most\n{page}",
                shown.len()
            ));
        }
    }
    long
}

#[test]
fn each_answer_of_the_demo_is_one_screen() {
    let shop = Workshop::demo();
    lines(&shop, "job open \"Tarn 2\" FT2-005102 --by \"M. Okafor\"");
    let long = longer(
        &shop,
        &[
            ("", 12),
            (
                "ring --od \"12.80 12.85 mm by caliper\" --cs \"1.72 mm by caliper\" --condition used",
                20,
            ),
            ("gland check GLAND --ring AS568-020", 20),
            ("gland fit GLAND", 20),
            (
                "gland cut --kind rod --rod \"7.94 mm\" --ring AS568-011 --pressure \"10 bar\" --duty moving",
                20,
            ),
            ("order Tarn", 30),
            ("stock kit Tarn --for FT-000311", 30),
            ("offer find AS568-012", 26),
            ("book check", 14),
            ("size AS568-012", 29),
            ("thread --od 20.8mm --pitch \"14 tpi\"", 20),
            ("material --gas air --pressure \"200 bar\"", 20),
            ("care NBR --gas air", 20),
            ("care NBR", 20),
            (
                "spring --wire \"3.4 mm\" --od \"25.6 mm\" --coils 4.5 --free \"37.2 mm\"",
                20,
            ),
            (
                "setting --reading \"142 psi at 195 bar\" --reading \"126 psi at 35 bar\" --gear \"breathing first stage\"",
                20,
            ),
            ("job show 1", 30),
            (
                "job reading 1 --as-found --reading \"142 psi at 195 bar, 126 at 35\" --by Ada",
                20,
            ),
        ],
    );
    assert!(long.is_empty(), "{}", long.join("\n\n"));
}

/// One unit of an invented model whose rings were read once each, so that most are not decided.
const ROUGH: &str = "model Harrow Mere\nunit HM-1\ndate 2026-05-01\ngear breathing first stage\ngas nitrox 32\nsupply 200 bar\nrated 232 bar\nlengths mm\n\
    [cap]\ncap ; keep ; torque 25 N m\no-ring ; at cap joint ; replace ; used ; od 33.45 by caliper\n\
    [body]\no-ring ; at stem ; replace ; used ; od 11.42 by caliper ; cs 1.79 by flat\n\
    \u{20} gland rod ; rod 7.94 ; groove 10.80 ; width 2.40 ; housing 8.00 ; moving ; pressure 10 bar\n\
    back-up ring ; at stem ; replace ; od 10.8 ; id 7.95 ; width 1.2\nseat ; at body end ; replace ; od 8.0 ; thick 2.5\n\
    o-ring ; at port plug ; replace ; used ; od 12.81 by rule\no-ring ; at low plug ; replace ; used ; od 11.2 by rule\n";

#[test]
fn each_answer_on_a_rough_note_is_one_screen() {
    let shop = Workshop::new();
    shop.add_note(ROUGH);
    let long = longer(
        &shop,
        &[
            ("model show Mere", 30),
            ("uses Mere 3", 26),
            ("gland check Mere 3", 20),
            ("ring --id \"7.6 mm by pin\" --cs \"1.78 mm by flat\"", 20),
            ("ring --of Mere --od \"11.4 mm by caliper\"", 20),
            ("ring --od \"8.9 mm by rule\"", 20),
            ("order Mere", 30),
            ("stock kit Mere --for HM-1", 30),
            ("material --gas \"nitrox 32\" --pressure \"200 bar\"", 20),
            ("care FKM --gas \"nitrox 32\"", 20),
            ("job open Mere HM-1 --by Ada", 30),
            (
                "job close 1 --by Ada --checked-by Bo --due \"12 months\" --limits none",
                30,
            ),
        ],
    );
    assert!(long.is_empty(), "{}", long.join("\n\n"));
}

/// Returns the parts of a model that are bought.
fn bought(shop: &Workshop, model: &str) -> usize {
    let list = shop.json(&format!("parts '{model}'"));
    let lines = items(&list["lines"]).iter();
    lines.filter(|line| line["action"] != "keep").count()
}

#[test]
fn a_parts_list_has_a_line_a_part_and_no_more_than_twelve_others() {
    let (demo, rough) = (Workshop::demo(), Workshop::new());
    rough.add_note(ROUGH);
    for (shop, model) in [
        (&demo, "Tarn"),
        (&demo, "Tarn 2"),
        (&demo, "Beck"),
        (&rough, "Mere"),
    ] {
        for units in ["", " --units 40"] {
            let shown = lines(shop, &format!("parts '{model}'{units}"));
            let parts = bought(shop, model);
            let page = shown.join("\n");
            assert!(
                parts > 3 && shown.len() <= parts + 12,
                "{parts} parts\n{page}"
            );
            assert_eq!(
                shown.iter().filter(|line| line.contains(" x ")).count(),
                parts,
                "{page}"
            );
            assert!(
                page.contains("CAUTION: life support") && page.contains("--full"),
                "{page}"
            );
        }
    }
}

#[test]
fn what_stands_behind_an_answer_is_shown_when_asked_and_the_caution_is_never_left_out() {
    let shop = Workshop::new();
    let check = format!("gland check {GLAND} --ring AS568-020");
    let (short, why, full) = (
        lines(&shop, &check),
        lines(&shop, &format!("{check} --why")),
        lines(&shop, &format!("{check} --full")),
    );
    let has = |page: &[String], what: &str| page.iter().any(|line| line.contains(what));
    assert!(has(&short, "CAUTION: life support") && has(&short, "--full"));
    assert!(!has(&short, "Sources") && !has(&short, "Figures"));
    assert!(has(&why, "Sources") && !has(&why, "Figures"));
    assert!(has(&full, "Sources") && has(&full, "Figures"));
    assert!(has(&full, "CAUTION: Breathing gas is life support."));
}
