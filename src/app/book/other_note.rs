//! A note of another shop: read again here before it is taken in.

use crate::app::note::add::model_name;
use crate::app::note::check::NoteText;
use crate::core::book::{ModelName, name_key};
use crate::core::exchange::NoteItem;
use crate::core::note::{Note, print};
use crate::store::{BookWriter, NewNote, NoteForm, NoteId, StoreError};

/// Returns the keys of the model and the unit that a note is of, as the book keeps them.
pub(super) fn unit_keys(item: &NoteItem) -> (String, String) {
    let model = ModelName {
        maker: item.maker.clone(),
        name: item.model.trim().to_owned(),
    };
    (model.key(), name_key(&item.unit))
}

/// Takes a note of another shop in with what was said of its rings; `None` where this program cannot read it, or reads another unit or
/// day in it than the form says.
pub(super) fn take_note(
    book: &BookWriter<'_>,
    item: &NoteItem,
    shop: &str,
) -> Result<Option<NoteId>, StoreError> {
    let Some((note, form)) = read(item) else {
        return Ok(None);
    };
    let model = book.model_or_new(&model_name(&note))?;
    let unit = book.unit_or_new(model, note.header.unit.trim())?;
    let canonical = print(&note);
    // What was said of a ring that is not read here belongs to no part.
    let mut named = item.named.clone();
    named.retain(|ring| note.entries.iter().any(|entry| entry.order == ring.removal));
    named.sort_by_key(|ring| ring.removal);
    let new = NewNote {
        note: &note,
        form,
        original: &item.text,
        canonical: &canonical,
        named: &named,
        unread_lines: item.unread_lines,
        added_at: &item.added_at,
        replaced_at: item.replaced_at.as_deref(),
        from_shop: Some(shop),
    };
    book.add_note(unit, &new, None).map(Some)
}

fn read(item: &NoteItem) -> Option<(Note, NoteForm)> {
    let form = match item.form.as_str() {
        "text" => NoteForm::Text,
        "csv" => NoteForm::Csv,
        _ => return None,
    };
    let reading = NoteText::new("", item.text.as_bytes(), form).read();
    let note = if reading.is_sound() {
        reading.note
    } else if item.unread_lines > 0 {
        reading.sound_parts()
    } else {
        return None;
    };
    let header = &note.header;
    let date = header
        .date
        .map_or_else(String::new, |date| date.to_string());
    let same = header.maker == item.maker
        && header.model == item.model
        && header.unit == item.unit
        && date == item.date;
    (same && !header.model.trim().is_empty() && !header.unit.trim().is_empty())
        .then_some((note, form))
}
