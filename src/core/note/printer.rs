//! Writes a note in its canonical form.

use super::part_name::PartName;
use super::record::{Entry, Header, Note};
use super::vocabulary::{self, Context};
use crate::core::gland::GlandSpec;

/// Writes a note in its canonical form, which reads back as the same note.
///
/// Every quantity is written as it was typed. Comments are kept: those of the header stand at the top, those of a part
/// on lines before it, those behind the last part at the end; a comment at the end of a line moves to a line of its
/// own. The order of fields is fixed. Places in the text (`Entry::line`) follow the new text when it is read again.
pub fn print(note: &Note) -> String {
    let mut out = String::new();
    print_header(&mut out, &note.header);
    let mut section: Option<&str> = None;
    for entry in &note.entries {
        if section != Some(entry.section.as_str()) {
            section = Some(entry.section.as_str());
            if !out.is_empty() {
                out.push('\n');
            }
            push_line(&mut out, &format!("[{}]", escaped(&entry.section)));
        }
        print_comments(&mut out, &entry.comments);
        push_line(&mut out, &part_line(entry));
        if let Some(gland) = &entry.gland {
            push_line(&mut out, &format!("  {}", gland_line(gland)));
        }
    }
    print_comments(&mut out, &note.closing_comments);
    out
}

/// Columns of the keys of the header.
const KEY_COLUMNS: usize = 7;

fn print_header(out: &mut String, header: &Header) {
    print_comments(out, &header.comments);
    for key in Header::ORDER {
        for value in header.texts(key) {
            push_line(out, &keyed(&format!("{key:KEY_COLUMNS$}"), &value));
        }
    }
}

fn print_comments(out: &mut String, comments: &[String]) {
    for comment in comments {
        push_line(out, format!("# {comment}").trim_end());
    }
}

fn push_line(out: &mut String, line: &str) {
    out.push_str(line);
    out.push('\n');
}

fn part_line(entry: &Entry) -> String {
    let (name, count) = name_and_count(entry);
    let mut fields = vec![name];
    fields.extend(count);
    let said = |key: &'static str| {
        let texts = entry.texts(key).into_iter();
        texts.map(move |text| part_field(key, &text))
    };
    let before = [
        "kind",
        "position",
        "fate",
        "condition",
        "size",
        "drawer",
        "scan",
    ];
    fields.extend(before.into_iter().flat_map(said));
    for reading in &entry.readings {
        fields.push(keyed(reading.measurand.word(), &reading.typed));
    }
    for dimension in &entry.dimensions {
        fields.push(keyed(dimension.name.word(), &dimension.typed));
    }
    let words = Entry::WORDS.map(|(key, ..)| key);
    let behind = ["polymer", "hardness", "torque", "turns"].into_iter();
    let behind = behind.chain(words).chain(["photo", "remark"]);
    fields.extend(behind.flat_map(said));
    fields.join(" ; ")
}

/// Writes a field of a part; what can only be one thing stands without its key.
fn part_field(key: &str, text: &str) -> String {
    match key {
        "position" => position_field(text),
        "fate" | "condition" => escaped(text),
        _ => keyed(key, text),
    }
}

/// Writes the name with its count, where the two come apart again when they are read; the count may also be a field.
fn name_and_count(entry: &Entry) -> (String, Option<String>) {
    let mut name = escaped(&entry.name);
    if name.starts_with('#') {
        name.insert(0, '\\');
    }
    if entry.quantity == 1 {
        return (name, None);
    }
    let count = format!("x{}", entry.quantity);
    if PartName::reads_back(&entry.name, entry.quantity) {
        (format!("{name} {count}"), None)
    } else {
        (name, Some(count))
    }
}

/// Writes where a part sat as a field; a position that begins with a word of place stands by itself.
pub fn position_field(position: &str) -> String {
    let plain = vocabulary::begins(Context::Position, position)
        && !vocabulary::begins(Context::Part, position)
        && vocabulary::whole(Context::Fate, position).is_none();
    if plain {
        escaped(position)
    } else {
        keyed("position", position)
    }
}

fn gland_line(gland: &GlandSpec) -> String {
    let mut fields = vec![format!("gland {}", gland.kind.word())];
    for (name, dimension) in &gland.dimensions {
        fields.push(keyed(name.word(), &dimension.text));
    }
    let angle = gland.angle.as_ref();
    fields.extend(angle.map(|angle| keyed("angle", &angle.text)));
    fields.extend((gland.back_ups > 0).then(|| format!("back-ups {}", gland.back_ups)));
    fields.extend(gland.duty.map(|duty| duty.word().to_owned()));
    let side = gland.from.map(|side| format!("from {}", side.word()));
    match (&gland.pressure, side) {
        (Some(pressure), Some(side)) => {
            fields.push(keyed("pressure", &format!("{} {side}", pressure.text)));
        }
        (Some(pressure), None) => fields.push(keyed("pressure", &pressure.text)),
        (None, Some(side)) => fields.push(side),
        (None, None) => {}
    }
    fields.join(" ; ")
}

/// Writes a field: a value behind its key. A value that begins with a colon needs one before it.
pub fn keyed(key: &str, value: &str) -> String {
    let mark = if value.starts_with([':', '=']) {
        ":"
    } else {
        ""
    };
    format!("{key}{mark} {}", escaped(value))
}

/// Puts a backslash before what would end a field, begin a comment or be taken for an escape.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut before = ' ';
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        let after = chars.peek().copied();
        let special = match c {
            ';' => true,
            '#' => before.is_whitespace() && after.is_none_or(char::is_whitespace),
            '\\' => after.is_some_and(|a| matches!(a, ';' | '#' | '\\')),
            _ => false,
        };
        if special {
            out.push('\\');
        }
        out.push(c);
        before = c;
    }
    out
}
