//! The resolution that the file of a picture states.

use image::ImageFormat;

/// Dots an inch along each axis, as a file states them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resolution {
    /// Along the rows.
    pub across: f64,
    /// Along the columns.
    pub down: f64,
}

const MM_PER_INCH: f64 = 25.4;

/// Reads the resolution from the bytes of a file; `None` where it states none.
pub(super) fn stated(bytes: &[u8], format: ImageFormat) -> Option<Resolution> {
    let found = match format {
        ImageFormat::Png => png(bytes),
        ImageFormat::Jpeg => jpeg(bytes),
        ImageFormat::Tiff => Tiff::open(bytes)?.resolution(),
        _ => None,
    }?;
    let sound = |dpi: f64| dpi.is_finite() && dpi > 0.0;
    (sound(found.across) && sound(found.down)).then_some(found)
}

/// The chunk pHYs: dots a metre (PNG, third edition, 11.3.4.3).
fn png(bytes: &[u8]) -> Option<Resolution> {
    let mut rest = bytes.get(8..)?;
    loop {
        let (length, name) = (be32(rest, 0)? as usize, rest.get(4..8)?);
        let data = rest.get(8..)?.get(..length)?;
        match name {
            b"pHYs" => {
                let dpi = |dots: u32| f64::from(dots) * MM_PER_INCH / 1000.0;
                return (data.get(8) == Some(&1)).then_some(Resolution {
                    across: dpi(be32(data, 0)?),
                    down: dpi(be32(data, 4)?),
                });
            }
            b"IDAT" | b"IEND" => return None,
            _ => rest = rest.get(12..)?.get(length..)?,
        }
    }
}

/// The segment APP0 of JFIF (ITU-T T.871, 10.1), else the Exif block's own tags.
fn jpeg(bytes: &[u8]) -> Option<Resolution> {
    const APP0: u8 = 0xe0;
    const APP1: u8 = 0xe1;
    const START_OF_SCAN: u8 = 0xda;
    let mut rest = bytes.get(2..)?;
    let mut found = None;
    while let Some(&[0xff, marker]) = rest.get(..2) {
        if marker == START_OF_SCAN {
            break;
        }
        let length = usize::from(be16(rest, 2)?);
        let data = rest.get(4..)?.get(..length.checked_sub(2)?)?;
        if marker == APP0 && data.starts_with(b"JFIF\0") {
            found = found.or_else(|| in_unit(be16(data, 8)?, be16(data, 10)?, data[7]));
        }
        if marker == APP1 && data.starts_with(b"Exif\0\0") {
            let exif = Tiff::open(&data[6..]).and_then(|tiff| tiff.resolution());
            found = found.or(exif);
        }
        rest = rest.get(2..)?.get(length..)?;
    }
    found
}

/// Unit 1: an inch; 2: a centimetre; others state a ratio alone.
fn in_unit(across: u16, down: u16, unit: u8) -> Option<Resolution> {
    let factor = match unit {
        1 => 1.0,
        2 => MM_PER_INCH / 10.0,
        _ => return None,
    };
    Some(Resolution {
        across: f64::from(across) * factor,
        down: f64::from(down) * factor,
    })
}

/// The first directory of a TIFF (TIFF 6.0, section 2).
struct Tiff<'b> {
    bytes: &'b [u8],
    little: bool,
    entries: &'b [u8],
}

impl<'b> Tiff<'b> {
    const X_RESOLUTION: u16 = 282;
    const Y_RESOLUTION: u16 = 283;
    const RESOLUTION_UNIT: u16 = 296;

    fn open(bytes: &'b [u8]) -> Option<Self> {
        let little = match bytes.get(..4)? {
            b"II*\0" => true,
            b"MM\0*" => false,
            _ => return None,
        };
        let mut tiff = Self {
            bytes,
            little,
            entries: &[],
        };
        let at = tiff.long(bytes, 4)? as usize;
        let directory = bytes.get(at..)?;
        let count = usize::from(tiff.short(directory, 0)?);
        tiff.entries = directory.get(2..)?.get(..count * 12)?;
        Some(tiff)
    }

    fn resolution(&self) -> Option<Resolution> {
        // Without the tag the unit is the inch.
        let unit = self
            .entry(Self::RESOLUTION_UNIT)
            .and_then(|entry| self.short(entry, 8));
        let factor = match unit.unwrap_or(2) {
            2 => 1.0,
            3 => MM_PER_INCH / 10.0,
            _ => return None,
        };
        let across = self.rational(Self::X_RESOLUTION)? * factor;
        let down = self
            .rational(Self::Y_RESOLUTION)
            .map_or(across, |d| d * factor);
        Some(Resolution { across, down })
    }

    fn entry(&self, tag: u16) -> Option<&'b [u8]> {
        let mut entries = self.entries.chunks_exact(12);
        entries.find(|entry| self.short(entry, 0) == Some(tag))
    }

    fn rational(&self, tag: u16) -> Option<f64> {
        let at = self.long(self.entry(tag)?, 8)? as usize;
        let pair = self.bytes.get(at..)?;
        let (over, under) = (self.long(pair, 0)?, self.long(pair, 4)?);
        (under > 0).then(|| f64::from(over) / f64::from(under))
    }

    fn short(&self, bytes: &[u8], at: usize) -> Option<u16> {
        let value = be16(bytes, at)?;
        Some(if self.little {
            value.swap_bytes()
        } else {
            value
        })
    }

    fn long(&self, bytes: &[u8], at: usize) -> Option<u32> {
        let value = be32(bytes, at)?;
        Some(if self.little {
            value.swap_bytes()
        } else {
            value
        })
    }
}

fn be16(bytes: &[u8], at: usize) -> Option<u16> {
    let pair = bytes.get(at..)?.first_chunk::<2>()?;
    Some(u16::from_be_bytes(*pair))
}

fn be32(bytes: &[u8], at: usize) -> Option<u32> {
    let four = bytes.get(at..)?.first_chunk::<4>()?;
    Some(u32::from_be_bytes(*four))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_form_tells_its_resolution() {
        let mut png = b"\x89PNG\r\n\x1a\n\0\0\0\x09pHYs".to_vec();
        png.extend(
            [
                &23_622_u32.to_be_bytes()[..],
                &11_811_u32.to_be_bytes(),
                &[1],
                &[0; 4],
            ]
            .concat(),
        );
        let found = stated(&png, ImageFormat::Png).expect("states it");
        assert!((found.across - 600.0).abs() < 0.01 && (found.down - 300.0).abs() < 0.01);
        let jpeg = b"\xff\xd8\xff\xe0\0\x10JFIF\0\x01\x02\x02\0\x76\0\x76\0\0\xff\xda".to_vec();
        let found = stated(&jpeg, ImageFormat::Jpeg).expect("states it");
        assert!(
            (found.across - 299.72).abs() < 0.01,
            "118 to the centimetre"
        );
        let mut tiff = b"II*\0\x08\0\0\0\x02\0".to_vec();
        for tag in [282_u16, 283] {
            tiff.extend(
                [
                    &tag.to_le_bytes()[..],
                    &5_u16.to_le_bytes(),
                    &1_u32.to_le_bytes(),
                    &34_u32.to_le_bytes(),
                ]
                .concat(),
            );
        }
        tiff.extend([1200_u32, 2].map(u32::to_le_bytes).concat());
        let found = stated(&tiff, ImageFormat::Tiff).expect("states it");
        assert!((found.across - 600.0).abs() < 1e-9 && (found.down - 600.0).abs() < 1e-9);
    }

    #[test]
    fn a_file_cut_anywhere_states_nothing_or_what_it_says() {
        let jpeg = b"\xff\xd8\xff\xe0\0\x10JFIF\0\x01\x02\x01\x02\x58\x02\x58\0\0\xff\xda";
        for end in 0..jpeg.len() {
            for format in [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::Tiff] {
                assert!(stated(&jpeg[..end], format).is_none_or(|found| found.across > 599.0));
            }
        }
    }
}
