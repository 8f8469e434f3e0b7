//! The picture of a page, read from its file within bounds.

use super::resolution::{Resolution, stated};
use crate::app::file::{read_bounded, unpack_bounded};
use crate::core::scan::Page;
use image::{DynamicImage, GenericImageView, ImageDecoder, ImageError, ImageFormat};
use std::path::Path;

/// A picture as the file has it.
#[derive(Debug)]
pub struct Picture {
    pub page: Page,
    pub stated: Option<Resolution>,
}

/// Says why a file is no picture that can be read.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PictureError {
    #[error("cannot be read ({0}): check the name and the rights")]
    Unreadable(#[from] std::io::Error),
    /// It is no form that is taken.
    #[error("neither a PNG, nor a JPEG, nor a TIFF: save the scan as one of these, best as PNG")]
    UnknownForm,
    /// It has too many points.
    #[error(
        "has {0} million points, more than {MOST_MEGAPIXELS}: scan at 600 dots an inch, or a part of the bed"
    )]
    TooManyPoints(u64),
    /// It is damaged, or of a kind that is not taken.
    #[error("the picture cannot be unpacked ({0}): save it anew, best as PNG of 8 bits")]
    Damaged(#[from] ImageError),
    /// It holds no points.
    #[error("the picture is empty: scan it again")]
    Empty,
}

/// A larger file is not read: an A4 page at 1200 dots an inch without packing has 420 MB.
const MOST_BYTES: u64 = 450 << 20;
/// A4 at 1200 dots an inch has 139 million points.
const MOST_MEGAPIXELS: u64 = 150;
const MOST_SIDE: u32 = 60_000;
/// What unpacking may take beside the pixels; points of 16 bits with a mask have eight bytes.
const MOST_UNPACKED: u64 = 1280 << 20;

/// Reads a picture.
///
/// # Errors
/// Says what is wrong with the file.
pub fn read_picture(path: &Path) -> Result<Picture, PictureError> {
    picture_of(&read_bounded(path, MOST_BYTES)?)
}

/// Unpacks the bytes of a picture.
///
/// # Errors
/// Says what is wrong with them.
pub fn picture_of(bytes: &[u8]) -> Result<Picture, PictureError> {
    let format = image::guess_format(bytes).map_err(|_| PictureError::UnknownForm)?;
    if !matches!(
        format,
        ImageFormat::Png | ImageFormat::Jpeg | ImageFormat::Tiff
    ) {
        return Err(PictureError::UnknownForm);
    }
    let decoder = unpack_bounded(bytes, format, MOST_SIDE, MOST_UNPACKED)?;
    let (width, height) = decoder.dimensions();
    let points = u64::from(width) * u64::from(height);
    if points > MOST_MEGAPIXELS * 1_000_000 {
        return Err(PictureError::TooManyPoints(points / 1_000_000));
    }
    let unpacked = DynamicImage::from_decoder(decoder)?;
    let pixels = on_white(unpacked);
    let page = Page::new(width as usize, height as usize, pixels).ok_or(PictureError::Empty)?;
    Ok(Picture {
        page,
        stated: stated(bytes, format),
    })
}

/// Gives the colours; what is transparent lies on white.
fn on_white(picture: DynamicImage) -> Vec<u8> {
    if !picture.color().has_alpha() {
        return picture.into_rgb8().into_raw();
    }
    let mut pixels = Vec::with_capacity(picture.width() as usize * picture.height() as usize * 3);
    for (_, _, point) in picture.pixels() {
        let [red, green, blue, cover] = point.0.map(u32::from);
        let over = |c: u32| u8::try_from((c * cover + 255 * (255 - cover)) / 255).unwrap_or(255);
        pixels.extend([red, green, blue].map(over));
    }
    pixels
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Cursor;

    fn packed(picture: &DynamicImage, format: ImageFormat) -> Vec<u8> {
        let mut bytes = Vec::new();
        picture
            .write_to(&mut Cursor::new(&mut bytes), format)
            .expect("packs");
        bytes
    }

    #[test]
    fn grey_deep_and_clear_pictures_become_pages() {
        let grey =
            DynamicImage::ImageLuma8(image::ImageBuffer::from_pixel(4, 3, image::Luma([90])));
        for format in [ImageFormat::Png, ImageFormat::Jpeg, ImageFormat::Tiff] {
            let page = picture_of(&packed(&grey, format)).expect("reads").page;
            assert_eq!((page.width(), page.height()), (4, 3));
            assert!(page.pixels().iter().all(|&v| v.abs_diff(90) < 3));
        }
        let deep = DynamicImage::ImageRgb16(image::ImageBuffer::from_pixel(
            2,
            2,
            image::Rgb([0xffff, 0, 0]),
        ));
        let page = picture_of(&packed(&deep, ImageFormat::Png))
            .expect("reads")
            .page;
        assert_eq!(page.pixels()[..3], [255, 0, 0]);
        let clear = DynamicImage::ImageRgba8(image::ImageBuffer::from_pixel(
            2,
            2,
            image::Rgba([0, 0, 0, 0]),
        ));
        let page = picture_of(&packed(&clear, ImageFormat::Png))
            .expect("reads")
            .page;
        assert_eq!(page.pixels()[..3], [255; 3]);
    }

    #[test]
    fn what_is_no_picture_is_refused() {
        assert!(matches!(
            picture_of(b"GIF89a"),
            Err(PictureError::UnknownForm)
        ));
        assert!(matches!(picture_of(b""), Err(PictureError::UnknownForm)));
        let whole = packed(&DynamicImage::new_luma8(9, 9), ImageFormat::Png);
        assert!(matches!(
            picture_of(&whole[..40]),
            Err(PictureError::Damaged(_))
        ));
    }
}
