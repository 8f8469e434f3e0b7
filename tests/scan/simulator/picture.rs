//! The scan as a file: PNG with pHYs, JPEG with a density, TIFF with a resolution.

use super::chunk::chunk;
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

    /// Uncompressed little-endian TIFF 6.0 in one strip.
    pub(crate) fn tiff(&self) -> Vec<u8> {
        let [width, height] = self.sides();
        let bytes = u32::try_from(self.rgb.len()).expect("pages are smaller than 4 GB");
        let pixels = 8_u32;
        let directory = pixels + bytes;
        let after = directory + 2 + 12 * 12 + 4;
        // Tag, type (3 short, 4 long, 5 fraction), count, value or place.
        let entries: [[u32; 4]; 12] = [
            [256, 4, 1, width],
            [257, 4, 1, height],
            [258, 3, 3, after],
            [259, 3, 1, 1],
            [262, 3, 1, 2],
            [273, 4, 1, pixels],
            [277, 3, 1, 3],
            [278, 4, 1, height],
            [279, 4, 1, bytes],
            [282, 5, 1, after + 6],
            [283, 5, 1, after + 14],
            [296, 3, 1, 2],
        ];
        let mut file = b"II\x2a\0".to_vec();
        file.extend(directory.to_le_bytes());
        file.extend(&self.rgb);
        file.extend(12_u16.to_le_bytes());
        for [tag, kind, count, value] in entries {
            file.extend((tag as u16).to_le_bytes());
            file.extend((kind as u16).to_le_bytes());
            file.extend(count.to_le_bytes());
            file.extend(value.to_le_bytes());
        }
        file.extend([0; 4]);
        file.extend([8, 0, 8, 0, 8, 0]);
        for _ in 0..2 {
            file.extend(self.dpi.to_le_bytes());
            file.extend(1_u32.to_le_bytes());
        }
        file
    }

    fn sides(&self) -> [u32; 2] {
        [self.width, self.height]
            .map(|side| u32::try_from(side).expect("pages have few thousand pixels"))
    }
}
