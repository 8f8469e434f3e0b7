//! Ten thousand files that are no good scans: a few small valid pictures of every kind, cut, bent and glued together.
//!
//! `file(n)` is the n-th; the same n gives the same file. Whatever reads scans must answer each of them and never panic. The
//! first of them are the valid pictures themselves (`valid`), which are no scans of rings either.

#![allow(
    clippy::cast_possible_truncation,
    reason = "bytes are cut out of wider numbers on purpose"
)]

mod jpeg;
mod mutation;
mod png;
mod tiff;

use ringwright::app::scan::picture::picture_of;
use ringwright::core::scan::{Pitch, Scale, ScaleSource, read_page};

/// How many files there are.
pub(crate) const FILES: u64 = 10_000;

/// One file and what was done to it.
#[derive(Clone, Debug)]
pub(crate) struct Malformed {
    /// Kind of picture, what was done, number: for the message of a failed test.
    pub(crate) name: String,
    pub(crate) bytes: Vec<u8>,
    /// The ending that its kind of picture has.
    pub(crate) ending: &'static str,
}

/// A small picture that is right in form.
#[derive(Clone, Debug)]
pub(crate) struct Valid {
    pub(crate) name: &'static str,
    pub(crate) bytes: Vec<u8>,
    pub(crate) ending: &'static str,
}

/// All valid pictures: PNG, JPEG and TIFF in every pixel format that a scanner or a program may write.
pub(crate) fn valid() -> Vec<Valid> {
    [png::all(), jpeg::all(), tiff::all()].concat()
}

/// The n-th file.
pub(crate) fn file(number: u64) -> Malformed {
    mutation::file(&valid(), number)
}

/// All files; the valid pictures are made once.
pub(crate) fn files() -> impl Iterator<Item = Malformed> {
    let valid = valid();
    (0..FILES).map(move |number| mutation::file(&valid, number))
}

/// Level of a small picture at a place: a dark ring on light ground.
fn level(x: u32, y: u32, side: u32) -> u8 {
    let middle = f64::from(side) / 2.0 - 0.5;
    let from = (f64::from(x) - middle).hypot(f64::from(y) - middle);
    if (from / f64::from(side) - 0.3).abs() < 0.08 {
        40
    } else {
        220
    }
}

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

mod form {
    use super::{FILES, file, valid};
    use image::{GenericImageView, ImageFormat};

    #[test]
    fn the_valid_pictures_are_read_as_what_they_are() {
        for picture in valid() {
            let format = match picture.ending {
                "png" => ImageFormat::Png,
                "jpg" => ImageFormat::Jpeg,
                // The reader of these tests knows no TIFF.
                _ => continue,
            };
            // Nor does it know more than 8 bits of JPEG: right in form, but read by few.
            if picture.name == "jpeg of 12 bits" {
                continue;
            }
            let read = image::load_from_memory_with_format(&picture.bytes, format)
                .unwrap_or_else(|error| panic!("{}: {error}", picture.name));
            let middle = read.to_luma8();
            let (width, height) = read.dimensions();
            if width > 8 {
                let (ground, ring) = (
                    middle.get_pixel(0, 0)[0],
                    middle.get_pixel(width * 4 / 5, height / 2)[0],
                );
                assert!(
                    ground.saturating_sub(ring) > 60,
                    "{}: {ground} {ring}",
                    picture.name
                );
            }
        }
    }

    /// Files that fail at the first byte try nothing: a good part must get as far as the pixels.
    #[test]
    fn some_of_the_files_are_read_and_most_are_not() {
        let (mut tried, mut read) = (0, 0);
        for number in (100..FILES).step_by(20) {
            let one = file(number);
            if one.ending != "tif" {
                tried += 1;
                read += i32::from(image::load_from_memory(&one.bytes).is_ok());
            }
        }
        assert!(read * 10 > tried && read * 2 < tried, "{read} of {tried}");
    }

    #[test]
    fn the_same_number_gives_the_same_file_and_most_differ() {
        let mut seen = std::collections::BTreeSet::new();
        for number in (0..FILES).step_by(50) {
            let one = file(number);
            assert_eq!(one.bytes, file(number).bytes, "{}", one.name);
            seen.insert(one.bytes);
        }
        assert!(seen.len() > 180, "{}", seen.len());
    }
}
