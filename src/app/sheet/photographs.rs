//! Photographs that notes name, read from a folder.

use crate::app::file::{lies_in, read_bounded, unpack_bounded};
use image::codecs::jpeg::JpegEncoder;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageError, ImageFormat};
use std::io::Cursor;
use std::path::Path;

/// One photograph, or says why it is not there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Photograph {
    /// The bytes of the file, with their kind as a browser names it.
    Found(&'static str, Vec<u8>),
    /// It is not shown, and why.
    Missing(String),
}

/// A larger file is not read.
const MOST_BYTES: u64 = 40 * 1024 * 1024;
/// A picture of more points than this each way is not unpacked, nor one that takes more memory.
const MOST_SIDE: u32 = 16_000;
const MOST_UNPACKED: u64 = 512 * 1024 * 1024;
/// Pictures are made smaller to this many points on the longer side: enough for a whole page at 200 points an inch.
const SHOWN_SIDE: u32 = 1600;
/// Of 100; at this the steps of a photograph's tones do not show.
const QUALITY: u8 = 82;

/// Reads the photograph of a name from a folder; only a plain file name is looked for, never a path.
///
/// What is returned was unpacked and packed again: turned upright as the camera says, not larger than 1600 points on a side, a
/// PNG where it is a drawing that fits as it is, else a JPEG, and without the place, time and owner that a camera writes into its
/// file.
pub fn photograph(folder: &Path, name: &str) -> Photograph {
    let missing = |why: &str| Photograph::Missing(format!("{name}: {why}"));
    let plain = Path::new(name).file_name().is_some_and(|file| file == name);
    if !plain || name.contains(['/', '\\']) {
        return missing("the name holds a path: write the name of the file alone");
    }
    let path = folder.join(name);
    if !lies_in(&path, folder) {
        return missing("not in the folder of photographs, or a link that leads out of it");
    }
    match std::fs::metadata(&path) {
        Ok(data) if !data.is_file() => return missing("this is not a file"),
        Ok(data) if data.len() > MOST_BYTES => {
            return missing("larger than 40 MiB: make it smaller");
        }
        Ok(_) => {}
        Err(_) => return missing("not in the folder of photographs"),
    }
    match read_bounded(&path, MOST_BYTES) {
        Ok(bytes) => scaled(&bytes).unwrap_or_else(|why| missing(&why)),
        Err(error) => missing(&format!("cannot be read ({error})")),
    }
}

/// Unpacks a picture, turns it upright, makes it smaller where it is large, and packs it again.
fn scaled(bytes: &[u8]) -> Result<Photograph, String> {
    let format = image::guess_format(bytes).ok();
    let format = format
        .filter(|format| matches!(format, ImageFormat::Jpeg | ImageFormat::Png))
        .ok_or("neither a JPEG nor a PNG")?;
    let damaged = |error: ImageError| format!("the picture cannot be shown ({error})");
    let decoder = unpack_bounded(bytes, format, MOST_SIDE, MOST_UNPACKED);
    let mut decoder = decoder.map_err(damaged)?;
    let upright = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let mut picture = DynamicImage::from_decoder(decoder).map_err(damaged)?;
    picture.apply_orientation(upright);
    let large = picture.width().max(picture.height()) > SHOWN_SIDE;
    let mut packed = Vec::new();
    if format == ImageFormat::Png && !large {
        picture
            .write_to(&mut Cursor::new(&mut packed), ImageFormat::Png)
            .map_err(damaged)?;
        return Ok(Photograph::Found("image/png", packed));
    }
    if large {
        picture = picture.thumbnail(SHOWN_SIDE, SHOWN_SIDE);
    }
    JpegEncoder::new_with_quality(&mut packed, QUALITY)
        .encode_image(&picture.into_rgb8())
        .map_err(damaged)?;
    Ok(Photograph::Found("image/jpeg", packed))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A picture whose left half is dark.
    fn half_dark(width: u32, height: u32) -> DynamicImage {
        let shade = |x, _| image::Luma([if x < width / 2 { 20_u8 } else { 230 }]);
        DynamicImage::ImageLuma8(image::ImageBuffer::from_fn(width, height, shade))
    }

    fn packed(picture: &DynamicImage, format: ImageFormat) -> Vec<u8> {
        let mut bytes = Vec::new();
        picture
            .write_to(&mut Cursor::new(&mut bytes), format)
            .expect("packs");
        bytes
    }

    /// Puts an Exif block behind the first marker of a JPEG that says: turn by a quarter to the right (6), and a place name.
    fn with_exif(jpeg: &[u8]) -> Vec<u8> {
        let mut exif = b"Exif\0\0II*\0\x08\0\0\0\x02\0".to_vec();
        exif.extend(b"\x12\x01\x03\0\x01\0\0\0\x06\0\0\0");
        exif.extend(b"\x0e\x01\x02\0\x04\0\0\0HOME");
        exif.extend([0; 4]);
        let length = u16::try_from(exif.len() + 2).expect("short").to_be_bytes();
        let mut out = jpeg[..2].to_vec();
        out.extend([0xFF, 0xE1]);
        out.extend(length);
        out.extend(exif);
        out.extend(&jpeg[2..]);
        out
    }

    #[test]
    fn a_large_photograph_is_turned_upright_and_made_smaller_and_says_nothing_of_its_place() {
        let bytes = with_exif(&packed(&half_dark(3000, 2000), ImageFormat::Jpeg));
        assert!(bytes.windows(4).any(|four| four == b"HOME"));
        let Ok(Photograph::Found("image/jpeg", small)) = scaled(&bytes) else {
            panic!("a picture");
        };
        let shown = image::load_from_memory(&small).expect("reads").into_luma8();
        // Turned right by a quarter, what was left is above.
        assert_eq!(shown.dimensions(), (1067, 1600));
        assert!(shown.get_pixel(500, 100).0[0] < 60 && shown.get_pixel(500, 1500).0[0] > 200);
        assert!(
            !small
                .windows(4)
                .any(|four| four == b"HOME" || four == b"Exif")
        );
    }

    #[test]
    fn a_small_drawing_stays_a_png_of_the_same_points() {
        let drawing = half_dark(40, 30);
        let Ok(Photograph::Found("image/png", bytes)) = scaled(&packed(&drawing, ImageFormat::Png))
        else {
            panic!("a drawing");
        };
        let again = image::load_from_memory(&bytes).expect("reads");
        assert_eq!(again.into_luma8(), drawing.into_luma8());
    }

    #[test]
    fn a_damaged_or_monstrous_picture_is_refused_in_words() {
        let mut cut = packed(&half_dark(300, 200), ImageFormat::Png);
        cut.truncate(cut.len() / 2);
        assert!(scaled(&cut).is_err());
        // A PNG head that claims 60000 by 60000 points.
        let mut monster = packed(&half_dark(30, 20), ImageFormat::Png);
        monster[16..20].copy_from_slice(&60_000_u32.to_be_bytes());
        monster[20..24].copy_from_slice(&60_000_u32.to_be_bytes());
        assert!(scaled(&monster).is_err());
    }

    #[cfg(unix)]
    #[test]
    fn a_link_that_leads_out_of_the_folder_is_not_followed() {
        use std::os::unix::fs::symlink;
        let folder = tempfile::tempdir().expect("a folder");
        let inside = folder.path().join("photos");
        std::fs::create_dir(&inside).expect("a folder");
        let picture = packed(&half_dark(20, 20), ImageFormat::Png);
        std::fs::write(folder.path().join("secret.png"), &picture).expect("writes");
        std::fs::write(inside.join("a.png"), &picture).expect("writes");
        symlink("../secret.png", inside.join("out.png")).expect("links");
        symlink("a.png", inside.join("in.png")).expect("links");
        let found = |name| matches!(photograph(&inside, name), Photograph::Found(..));
        assert!(!found("out.png") && found("in.png") && found("a.png"));
        // The folder itself may be reached by a link: the user named it.
        let link = folder.path().join("link");
        symlink(&inside, &link).expect("links");
        assert!(matches!(photograph(&link, "a.png"), Photograph::Found(..)));
    }

    #[test]
    fn only_pictures_of_the_folder_itself_are_read() {
        let folder = tempfile::tempdir().expect("a folder");
        let inside = folder.path().join("photos");
        std::fs::create_dir(&inside).expect("a folder");
        let picture = half_dark(20, 20);
        std::fs::write(
            folder.path().join("secret.png"),
            packed(&picture, ImageFormat::Png),
        )
        .expect("writes");
        std::fs::write(inside.join("a.jpg"), packed(&picture, ImageFormat::Jpeg)).expect("writes");
        std::fs::write(inside.join("b.jpg"), b"<script>").expect("writes");
        assert!(matches!(
            photograph(&inside, "a.jpg"),
            Photograph::Found("image/jpeg", _)
        ));
        for name in ["b.jpg", "../secret.png", "none.png", "", ".."] {
            assert!(
                matches!(photograph(&inside, name), Photograph::Missing(_)),
                "{name}"
            );
        }
    }
}
