//! What several units say of a part that is no ring, as the parts list and the model's page show it.

use crate::sample::place;
use ringwright::app::model::find::Found;
use ringwright::app::model::parts_list::{PartsQuestion, parts_list};
use ringwright::app::model::show::show_model;
use ringwright::app::note::add::{AddOptions, add_notes};
use ringwright::app::note::check::{NoteForm, NoteText};
use ringwright::render::{Depth, Form, render};
use ringwright::store::BookPlace;

/// Adds four units of one model, with the outside diameters of their filters.
fn four_units(place: &BookPlace, diameters: [&str; 4]) {
    let options = AddOptions {
        added_at: "2026-03-15T10:00:00Z".to_owned(),
        ..AddOptions::default()
    };
    let serials = ["FT2-004417", "FT2-005230", "FT2-006118", "FT2-007902"];
    for (serial, od) in serials.iter().zip(diameters) {
        let text = format!(
            "model Fellwater Beck 9\nunit {serial}\ndate 2026-03-14\ngas air\nsupply 200 bar\nlengths mm\n[inlet]\n\
             filter disc ; under clip ; replace ; od {od} ; thick 2.8\n"
        );
        let source = NoteText::new(*serial, text.as_bytes(), NoteForm::Text);
        add_notes(place, &[source], &options).unwrap_or_else(|e| panic!("{e}"));
    }
}

fn pages(place: &BookPlace) -> [String; 2] {
    let question = PartsQuestion::of_one("beck 9");
    let (Found::Yes(parts), Found::Yes(model)) = (
        parts_list(place, &question).expect("reads"),
        show_model(place, "beck 9").expect("reads"),
    ) else {
        panic!("the model is in the book");
    };
    let page = |shown: Option<String>| shown.expect("a page");
    [
        page(render(&parts, Form::Md, Depth::Full, 100)),
        page(render(&model, Form::Md, Depth::Full, 100)),
    ]
}

#[test]
fn both_pages_name_the_unit_that_may_be_another_variant() {
    let (_folder, place) = place();
    four_units(&place, ["14.0", "14.9", "14.8", "15.0"]);
    for page in pages(&place) {
        for words in [
            "3 of 4 units agree (od 14.90 ±0.07 mm)",
            "unit FT2-004417 differs by 0.90 mm",
            "another variant?",
        ] {
            assert!(page.contains(words), "{words:?} is not in\n{page}");
        }
    }
}

#[test]
fn honest_scatter_of_four_tenths_over_four_units_is_no_variant() {
    // u = 0.125 mm at this size: χ² = 0.0875/0.0156 = 5.6 on three degrees, which chance gives 13 times in 100; a variant is
    // suspected where it would 0.27 times in 100.
    let (_folder, place) = place();
    four_units(&place, ["14.7", "14.9", "15.0", "15.1"]);
    for page in pages(&place) {
        assert!(!page.contains("variant?"), "{page}");
    }
    assert!(pages(&place)[1].contains("4 of 4 units agree"));
}
