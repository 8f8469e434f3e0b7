//! Exported books that were made to do harm: broken JSON, wrong types, evil words, claims that do not hold.

use super::{FORMS, READING, furnished};
use crate::program::{digest, items};
use serde_json::{Value, json};
use std::fs;

fn head(items: &Value) -> Value {
    json!({"form": "ringwright book", "version": 1, "shop": "=Hill <b>", "written_at": "2026-03-14T10:00:00Z", "items": items})
}

#[test]
fn broken_forms_are_refused_and_the_book_stays() {
    let workshop = furnished();
    let before = digest(&workshop.book());
    let nested = format!("{}{}", "[".repeat(200_000), "]".repeat(200_000));
    let forms = [
        String::new(),
        "null".to_owned(),
        "[]".to_owned(),
        "{".repeat(100_000),
        nested.clone(),
        head(&json!([]))
            .to_string()
            .replace("ringwright book", "other"),
        head(&json!([]))
            .to_string()
            .replace("\"version\":1", "\"version\":999"),
        head(&json!([]))
            .to_string()
            .replace("\"version\":1", "\"version\":1e400"),
        head(&json!([])).to_string().replace("=Hill", "\\u001b[31m"),
        head(&json!([])).to_string().replace("2026-03-14", "=1+1"),
        head(&json!([{"what": "\u{1b}[2J"}])).to_string(),
        head(&json!([{"what": "note"}])).to_string(),
        head(&json!([{"what": "lot", "quantity": -1e300}])).to_string(),
        format!("{{\"form\": \"ringwright book\", \"items\": {nested}}}"),
    ];
    for form in forms {
        workshop.write("evil.json", &form);
        let answer = workshop.run("book merge evil.json");
        assert_eq!(answer.code, Some(2), "{}", answer.shown());
        assert!(answer.out.is_empty(), "{}", answer.shown());
        assert_eq!(digest(&workshop.book()), before, "{}", answer.shown());
    }
}

#[test]
fn a_form_cut_or_changed_anywhere_is_refused_or_merged_whole() {
    let (theirs, workshop) = (furnished(), furnished());
    theirs.done("book export ours.json --shop Other");
    let form = fs::read(theirs.path("ours.json")).expect("reads");
    for part in 1..40 {
        let mut bytes = form.clone();
        if part % 2 == 0 {
            bytes.truncate(form.len() / 40 * part);
        } else {
            bytes[form.len() / 40 * part] ^= 0x15;
        }
        workshop.write("evil.json", &bytes);
        workshop.run("book merge evil.json");
    }
    assert_eq!(workshop.run("book check").code, Some(0));
}

/// Puts evil words and numbers into every field of a form, one after the other.
fn spoil(form: &Value, pointer: &str, all: &mut Vec<Value>, whole: &Value) {
    match form {
        Value::Object(fields) => {
            for (name, field) in fields {
                spoil(field, &format!("{pointer}/{name}"), all, whole);
            }
        }
        // One item of a kind is like another.
        Value::Array(items) => {
            if let Some(first) = items.first() {
                spoil(first, &format!("{pointer}/0"), all, whole);
            }
        }
        _ => {
            for evil in [
                json!("\u{1b}[2J=1+1\u{202e}"),
                json!("../../etc/passwd"),
                json!(i64::MIN),
                json!(-1),
                json!(1e308),
                Value::Null,
            ] {
                let mut spoilt = whole.clone();
                if let Some(place) = spoilt.pointer_mut(pointer) {
                    *place = evil;
                }
                all.push(spoilt);
            }
        }
    }
}

#[test]
fn evil_values_in_any_field_of_a_form_leave_a_sound_book() {
    let (theirs, workshop) = (furnished(), furnished());
    theirs.done("book export ours.json --shop Other");
    let form: Value = serde_json::from_str(&theirs.read("ours.json")).expect("JSON");
    let mut kinds: Vec<&Value> = Vec::new();
    for item in items(&form["items"]) {
        if !kinds.iter().any(|known| known["what"] == item["what"]) {
            kinds.push(item);
        }
    }
    assert!(kinds.len() >= 6, "{} kinds", kinds.len());
    let mut all = Vec::new();
    for item in &kinds {
        // Long lists of offers are cut, so that each round is short.
        let mut item = (*item).clone();
        if let Some(offers) = item["offers"].as_array_mut() {
            offers.truncate(2);
        }
        let whole = head(&json!([item]));
        spoil(&item, "/items/0", &mut all, &whole);
    }
    // All of them into one book, so that they meet each other too.
    for (number, spoilt) in all.iter().enumerate() {
        workshop.write("evil.json", spoilt.to_string());
        let answer = workshop.run("book merge evil.json");
        assert_ne!(answer.code, Some(3), "{number}: {}", answer.shown());
    }
    let check = workshop.run("book check");
    assert_eq!(check.code, Some(0), "{}", check.shown());
    for line in READING {
        for form in FORMS {
            let answer = workshop.run(&format!("{line} --format {form}"));
            assert_ne!(answer.code, Some(3), "{}", answer.shown());
            if form == "csv" {
                super::hostile_list::no_formula(&answer.out);
            }
        }
    }
}
