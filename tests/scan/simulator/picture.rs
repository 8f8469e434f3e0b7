//! The scan as a file: PNG with pHYs, JPEG with a density, TIFF with a resolution.

use super::render::Pixels;
use super::truth::Truth;
use image::codecs::jpeg::{JpegEncoder, PixelDensity};
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder, ImageFormat};

/// A scan: pixels as a program that reads the file gets them, and the truth.
#[derive(Clone, Debug)]
pub(crate) struct Scan {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) rgb: Vec<u8>,
    pub(crate) dpi: u32,
    pub(crate) truth: Truth,
    /// The scanner's own file when it writes JPEG.
    jpeg: Option<Vec<u8>>,
}

impl Scan {
    pub(crate) fn of(pixels: Pixels, truth: Truth) -> Self {
        let mut scan = Self {
            width: pixels.width,
            height: pixels.height,
            rgb: pixels.rgb,
            dpi: truth.bed.scanner.dpi,
            jpeg: None,
            truth,
        };
        if let Some(quality) = scan.truth.bed.scanner.jpeg {
            let file = scan.jpeg(quality);
            scan.rgb = image::load_from_memory_with_format(&file, ImageFormat::Jpeg)
                .expect("the file was just written")
                .into_rgb8()
                .into_raw();
            scan.jpeg = Some(file);
        }
        scan
    }

    /// The file as the scanner writes it: JPEG if it does, else PNG. Its ending comes with it.
    pub(crate) fn file(&self) -> (Vec<u8>, &'static str) {
        match &self.jpeg {
            Some(file) => (file.clone(), "jpg"),
            None => (self.png(), "png"),
        }
    }

    pub(crate) fn jpeg(&self, quality: u8) -> Vec<u8> {
        let mut file = Vec::new();
        let mut encoder = JpegEncoder::new_with_quality(&mut file, quality);
        let dpi = u16::try_from(self.dpi).expect("scanners have some thousand dpi at most");
        encoder.set_pixel_density(PixelDensity::dpi(dpi));
        let [width, height] = self.sides();
        encoder
            .encode(&self.rgb, width, height, ExtendedColorType::Rgb8)
            .expect("memory takes every file");
        file
    }

    pub(crate) fn png(&self) -> Vec<u8> {
        let mut file = Vec::new();
        let [width, height] = self.sides();
        PngEncoder::new_with_quality(&mut file, CompressionType::Fast, FilterType::Up)
            .write_image(&self.rgb, width, height, ExtendedColorType::Rgb8)
            .expect("memory takes every file");
        let density = (f64::from(self.dpi) / 0.0254).round() as u32;
        let mut body = density.to_be_bytes().repeat(2);
        body.push(1);
        // pHYs stands between IHDR, which ends at byte 33, and the pixels.
        file.splice(33..33, chunk(*b"pHYs", &body));
        file
    }

    fn sides(&self) -> [u32; 2] {
        [self.width, self.height]
            .map(|side| u32::try_from(side).expect("pages have few thousand pixels"))
    }
}

/// One chunk with its length and check sum.
pub(crate) fn chunk(name: [u8; 4], body: &[u8]) -> Vec<u8> {
    let length = u32::try_from(body.len()).expect("chunks here are small");
    let mut bytes = length.to_be_bytes().to_vec();
    bytes.extend(name);
    bytes.extend(body);
    let check = check_sum(&bytes[4..]);
    bytes.extend(check.to_be_bytes());
    bytes
}

/// CRC-32 as PNG wants it (ISO 3309), bit by bit.
pub(crate) fn check_sum(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for &byte in bytes {
        sum ^= u32::from(byte);
        for _ in 0..8 {
            sum = if sum & 1 == 1 {
                (sum >> 1) ^ 0xedb8_8320
            } else {
                sum >> 1
            };
        }
    }
    !sum
}
