//! Small PNG files of every pixel format, written by hand: stored, not packed, so that a mutation reaches the pixels.

use super::{Valid, level};
use crate::simulator::picture::chunk;

const SIDE: u32 = 24;
/// First column and row and step of the seven passes of an interlaced file (PNG, clause 8.2).
const PASSES: [[u32; 4]; 7] = [
    [0, 0, 8, 8],
    [4, 0, 8, 8],
    [0, 4, 4, 8],
    [2, 0, 4, 4],
    [0, 2, 2, 4],
    [1, 0, 2, 2],
    [0, 1, 1, 2],
];

/// Bits a sample, colour type and samples a pixel.
#[derive(Clone, Copy)]
struct Format {
    bits: u8,
    colour: u8,
    samples: usize,
}

const GREY: Format = Format {
    bits: 8,
    colour: 0,
    samples: 1,
};
const RGB: Format = Format {
    bits: 8,
    colour: 2,
    samples: 3,
};
const PALETTE: Format = Format {
    bits: 8,
    colour: 3,
    samples: 1,
};

pub(super) fn all() -> Vec<Valid> {
    let one = |name, format, side, interlaced| Valid {
        name,
        bytes: file(format, side, interlaced),
        ending: "png",
    };
    vec![
        one("png rgb", RGB, SIDE, false),
        one("png rgb interlaced", RGB, SIDE, true),
        one("png grey", GREY, SIDE, false),
        one("png grey of 1 bit", Format { bits: 1, ..GREY }, SIDE, false),
        one(
            "png grey of 16 bits",
            Format { bits: 16, ..GREY },
            SIDE,
            false,
        ),
        one(
            "png rgb of 16 bits",
            Format { bits: 16, ..RGB },
            SIDE,
            false,
        ),
        one(
            "png rgb of 16 bits interlaced",
            Format { bits: 16, ..RGB },
            SIDE,
            true,
        ),
        one("png palette", PALETTE, SIDE, false),
        one("png palette interlaced", PALETTE, SIDE, true),
        one(
            "png grey and alpha",
            Format {
                bits: 8,
                colour: 4,
                samples: 2,
            },
            SIDE,
            false,
        ),
        one(
            "png rgb and alpha",
            Format {
                bits: 8,
                colour: 6,
                samples: 4,
            },
            SIDE,
            false,
        ),
        one("png of one pixel", RGB, 1, false),
        one("png of one pixel interlaced", GREY, 1, true),
    ]
}

fn file(format: Format, side: u32, interlaced: bool) -> Vec<u8> {
    let mut file = b"\x89PNG\r\n\x1a\n".to_vec();
    let mut header = [side.to_be_bytes(), side.to_be_bytes()].concat();
    header.extend([format.bits, format.colour, 0, 0, u8::from(interlaced)]);
    file.extend(chunk(*b"IHDR", &header));
    // 23622 pixels a metre are 600 dpi.
    let density = [23_622_u32.to_be_bytes(), 23_622_u32.to_be_bytes()].concat();
    file.extend(chunk(*b"pHYs", &[&density[..], &[1]].concat()));
    file.extend(chunk(*b"gAMA", &45_455_u32.to_be_bytes()));
    if format.colour == 3 {
        let colours: Vec<u8> = (0..=255_u8).flat_map(|grey| [grey; 3]).collect();
        file.extend(chunk(*b"PLTE", &colours));
    }
    file.extend(chunk(*b"IDAT", &stored(&lines(format, side, interlaced))));
    file.extend(chunk(*b"IEND", &[]));
    file
}

/// All lines with their filter byte, pass after pass.
fn lines(format: Format, side: u32, interlaced: bool) -> Vec<u8> {
    let whole = [[0, 0, 1, 1]];
    let passes: &[[u32; 4]] = if interlaced { &PASSES } else { &whole };
    let mut lines = Vec::new();
    for &[left, top, right, down] in passes {
        if left >= side {
            continue;
        }
        for y in (top..side).step_by(down as usize) {
            lines.push(0);
            let levels: Vec<u8> = (left..side)
                .step_by(right as usize)
                .map(|x| level(x, y, side))
                .collect();
            lines.extend(line(format, &levels));
        }
    }
    lines
}

fn line(format: Format, levels: &[u8]) -> Vec<u8> {
    match format.bits {
        1 => levels
            .chunks(8)
            .map(|bits| {
                bits.iter().enumerate().fold(0, |byte, (place, &level)| {
                    byte | (u8::from(level > 128) << (7 - place))
                })
            })
            .collect(),
        bits => levels
            .iter()
            .flat_map(|&level| [level].repeat(format.samples * usize::from(bits / 8)))
            .collect(),
    }
}

/// A zlib stream of one stored block (RFC 1950, RFC 1951).
fn stored(bytes: &[u8]) -> Vec<u8> {
    let length = u16::try_from(bytes.len()).expect("small pictures fit one block");
    let mut stream = vec![0x78, 0x01, 0x01];
    stream.extend(length.to_le_bytes());
    stream.extend((!length).to_le_bytes());
    stream.extend(bytes);
    let (mut low, mut high) = (1_u32, 0_u32);
    for &byte in bytes {
        low = (low + u32::from(byte)) % 65_521;
        high = (high + low) % 65_521;
    }
    stream.extend(((high << 16) | low).to_be_bytes());
    stream
}
