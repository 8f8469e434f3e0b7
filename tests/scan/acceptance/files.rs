//! Files that are no good scans.

use crate::malformed::{FILES, file, files};
use ringwright::app::scan::picture::picture_of;
use ringwright::core::scan::{Pitch, Scale, ScaleSource, read_page};

/// Reads a file as the program does, up to its rings; answers whether it is a picture.
fn is_read(bytes: &[u8]) -> bool {
    let Ok(picture) = picture_of(bytes) else {
        return false;
    };
    let stated = picture
        .stated
        .and_then(|stated| Pitch::from_dpi(stated.across));
    let pitch = stated.or(Pitch::from_dpi(300.0)).expect("a pitch");
    let scale = Scale::stated(pitch, ScaleSource::File);
    let _ = read_page(&picture.page, &scale, 1);
    true
}

#[test]
fn a_file_in_twenty_of_ten_thousand_is_answered_without_a_panic() {
    let read = (0..FILES)
        .step_by(20)
        .filter(|&number| is_read(&file(number).bytes));
    assert!(read.count() > 20);
}

#[test]
#[ignore = "ten thousand files take a minute: scripts/bench"]
fn ten_thousand_files_are_answered_without_a_panic() {
    let read = files().filter(|file| is_read(&file.bytes)).count();
    println!("{read} of {FILES} are pictures");
    assert!(read > 1000);
}
