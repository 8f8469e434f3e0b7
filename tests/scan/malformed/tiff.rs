//! Small TIFF 6.0 files, uncompressed, in both byte orders.

use super::{Valid, level};

const SIDE: u32 = 24;

/// Byte order and pixels of a file.
#[derive(Clone, Copy)]
struct Format {
    big: bool,
    bits: u16,
    samples: u16,
    /// 0 white is zero, 1 black is zero, 2 RGB, 3 palette, 5 CMYK.
    colour: u16,
}

const RGB: Format = Format {
    big: false,
    bits: 8,
    samples: 3,
    colour: 2,
};

pub(super) fn all() -> Vec<Valid> {
    let one = |name, format, side| Valid {
        name,
        bytes: file(format, side),
        ending: "tif",
    };
    vec![
        one("tiff rgb", RGB, SIDE),
        one("tiff rgb big-endian", Format { big: true, ..RGB }, SIDE),
        one("tiff rgb of 16 bits", Format { bits: 16, ..RGB }, SIDE),
        one(
            "tiff grey",
            Format {
                samples: 1,
                colour: 1,
                ..RGB
            },
            SIDE,
        ),
        one(
            "tiff cmyk",
            Format {
                samples: 4,
                colour: 5,
                ..RGB
            },
            SIDE,
        ),
        one(
            "tiff palette without palette",
            Format {
                samples: 1,
                colour: 3,
                ..RGB
            },
            SIDE,
        ),
        one("tiff of one pixel", RGB, 1),
    ]
}

impl Format {
    fn short(self, value: u16) -> [u8; 2] {
        if self.big {
            value.to_be_bytes()
        } else {
            value.to_le_bytes()
        }
    }

    fn long(self, value: u32) -> [u8; 4] {
        if self.big {
            value.to_be_bytes()
        } else {
            value.to_le_bytes()
        }
    }

    /// One entry of the directory: tag, type (3 short, 4 long, 5 fraction), count, value or place.
    fn entry(self, tag: u16, kind: u16, count: u32, value: u32) -> Vec<u8> {
        let mut bytes = [self.short(tag), self.short(kind)].concat();
        bytes.extend(self.long(count));
        if kind == 3 && count == 1 {
            bytes.extend(self.short(value as u16));
            bytes.extend([0, 0]);
        } else {
            bytes.extend(self.long(value));
        }
        bytes
    }
}

fn file(format: Format, side: u32) -> Vec<u8> {
    let pixels: Vec<u8> = (0..side * side)
        .flat_map(|index| {
            let level = level(index % side, index / side, side);
            [level].repeat(usize::from(format.samples * format.bits / 8))
        })
        .collect();
    let length = u32::try_from(pixels.len()).expect("small pictures");
    // Head, bits of four samples, two fractions, pixels, directory.
    let (bits, fractions, start) = (8, 16, 32);
    let mut file = if format.big {
        b"MM\0\x2a".to_vec()
    } else {
        b"II\x2a\0".to_vec()
    };
    file.extend(format.long(start + length));
    for _ in 0..4 {
        file.extend(format.short(format.bits));
    }
    for _ in 0..2 {
        file.extend(format.long(600));
        file.extend(format.long(1));
    }
    file.extend(pixels);
    let samples = u32::from(format.samples);
    let few = if samples == 1 {
        u32::from(format.bits)
    } else {
        bits
    };
    let entries = [
        format.entry(256, 4, 1, side),
        format.entry(257, 4, 1, side),
        format.entry(258, 3, samples, few),
        format.entry(259, 3, 1, 1),
        format.entry(262, 3, 1, u32::from(format.colour)),
        format.entry(273, 4, 1, start),
        format.entry(277, 3, 1, samples),
        format.entry(278, 4, 1, side),
        format.entry(279, 4, 1, length),
        format.entry(282, 5, 1, fractions),
        format.entry(283, 5, 1, fractions + 8),
        format.entry(296, 3, 1, 2),
    ];
    file.extend(format.short(entries.len() as u16));
    file.extend(entries.concat());
    file.extend([0; 4]);
    file
}
