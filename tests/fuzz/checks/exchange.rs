//! The form in which a book travels.

use ringwright::core::exchange::{BookForm, Standing, judge, supersedes};

/// Reads the bytes as an exported book, and as the items of one: without the words around them most changes are refused early.
pub fn exchange(data: &[u8]) {
    returns(data);
    if !data.starts_with(b"{\"form\"") {
        let mut whole = br#"{"form":"ringwright book","version":1,"shop":"Lake","written_at":"2026-11-25T21:39:29Z","items":["#.to_vec();
        whole.extend_from_slice(data);
        whole.extend_from_slice(b"]}");
        returns(&whole);
    }
}

/// What is read, is written and read again is the same.
fn returns(data: &[u8]) {
    let form = match BookForm::read(data) {
        Ok(form) => form,
        Err(error) => return assert!(!error.to_string().is_empty()),
    };
    let written = serde_json::to_vec_pretty(&form).expect("a form becomes JSON");
    let again = BookForm::read(&written).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(again, form);
    let twice = serde_json::to_vec_pretty(&again).expect("a form becomes JSON");
    assert!(twice == written, "the second writing differs");
    let aside = form.set_aside.iter().map(|aside| &aside.item);
    let aside_again = again.set_aside.iter().map(|aside| &aside.item);
    let before: Vec<_> = form.items.iter().chain(aside).collect();
    let after: Vec<_> = again.items.iter().chain(aside_again).collect();
    for (item, other) in before.iter().zip(&after) {
        assert_eq!(
            (item.what(), item.key(), item.content()),
            (other.what(), other.key(), other.content())
        );
        // "Merging again changes nothing."
        assert_eq!(judge(&[*item], other), Standing::Same);
    }
    for (own, theirs) in before.iter().zip(before.iter().skip(1)) {
        // Two states of one record cannot each be the later one, unless they say the same.
        if supersedes(own, theirs) && supersedes(theirs, own) {
            assert_eq!(own.content(), theirs.content());
        }
    }
}
