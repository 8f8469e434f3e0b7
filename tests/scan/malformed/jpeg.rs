//! Small JPEG files: grey and RGB by an encoder, CMYK by hand.

use super::{Valid, level};
use image::ExtendedColorType;
use image::codecs::jpeg::{JpegEncoder, PixelDensity};
use std::fmt::Write;

const SIDE: u32 = 32;
/// Blocks along a side of the CMYK file, which has one level a block.
const BLOCKS: u32 = 8;

pub(super) fn all() -> Vec<Valid> {
    let one = |name, bytes| Valid {
        name,
        bytes,
        ending: "jpg",
    };
    vec![
        one("jpeg rgb", encoded(SIDE, 3, ExtendedColorType::Rgb8)),
        one("jpeg grey", encoded(SIDE, 1, ExtendedColorType::L8)),
        one("jpeg of one pixel", encoded(1, 3, ExtendedColorType::Rgb8)),
        one("jpeg cmyk", four_colours()),
        one("jpeg of 12 bits", deep()),
    ]
}

fn encoded(side: u32, samples: usize, colour: ExtendedColorType) -> Vec<u8> {
    let pixels: Vec<u8> = (0..side * side)
        .flat_map(|index| [level(index % side, index / side, side)].repeat(samples))
        .collect();
    let mut file = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut file, 85);
    encoder.set_pixel_density(PixelDensity::dpi(600));
    encoder
        .encode(&pixels, side, side, colour)
        .expect("memory takes every file");
    file
}

/// One segment with its length.
fn segment(marker: u8, body: &[u8]) -> Vec<u8> {
    let length = u16::try_from(body.len() + 2).expect("segments here are small");
    let mut bytes = vec![0xff, marker];
    bytes.extend(length.to_be_bytes());
    bytes.extend(body);
    bytes
}

/// A CMYK file as presses have them: four components, an Adobe segment, blocks that are even within themselves.
fn four_colours() -> Vec<u8> {
    let side = (BLOCKS * 8) as u8;
    let mut file = vec![0xff, 0xd8];
    file.extend(segment(0xee, b"Adobe\0\x64\0\0\0\0\0"));
    file.extend(segment(0xdb, &[&[0][..], &[1; 64]].concat()));
    let mut frame = vec![8, 0, side, 0, side, 4];
    frame.extend((1..=4).flat_map(|component| [component, 0x11, 0]));
    file.extend(segment(0xc0, &frame));
    // Sizes 0 to 11 of a level's difference, each by a code of four bits; the end of a block by one bit.
    let sizes: Vec<u8> = (0..12).collect();
    let direct = [
        &[0x00, 0, 0, 0, 12, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0][..],
        &sizes,
    ]
    .concat();
    file.extend(segment(0xc4, &direct));
    file.extend(segment(
        0xc4,
        &[0x10, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0],
    ));
    let mut scan = vec![4];
    scan.extend((1..=4).flat_map(|component| [component, 0]));
    scan.extend([0, 63, 0]);
    file.extend(segment(0xda, &scan));
    file.extend(even_blocks());
    file.extend([0xff, 0xd9]);
    file
}

/// The levels of all blocks by 4 components, coded as differences. With steps of 1 a block's number is 8 times its level off 128.
fn even_blocks() -> Vec<u8> {
    let mut bits = String::new();
    let mut last = [0_i32; 4];
    for block in 0..BLOCKS * BLOCKS {
        let (x, y) = (block % BLOCKS * 8 + 4, block / BLOCKS * 8 + 4);
        let grey = level(x, y, BLOCKS * 8);
        for (component, last) in last.iter_mut().enumerate() {
            // Adobe's files hold the paper that shows, not the ink; black shows all but the ring.
            let shown = if component == 3 { grey } else { 255 };
            let value = (i32::from(shown) - 128) * 8;
            let step = value - *last;
            *last = value;
            let size = 32 - step.unsigned_abs().leading_zeros();
            let _ = write!(bits, "{size:04b}");
            if size > 0 {
                let code = if step > 0 {
                    step
                } else {
                    step + (1 << size) - 1
                };
                let _ = write!(bits, "{code:0width$b}", width = size as usize);
            }
            bits.push('0');
        }
    }
    while !bits.len().is_multiple_of(8) {
        bits.push('1');
    }
    let bytes = bits.as_bytes().chunks(8).map(|byte| {
        byte.iter()
            .fold(0_u8, |sum, &bit| (sum << 1) | u8::from(bit == b'1'))
    });
    // A byte of ones in the data is followed by a zero, so that it is no marker.
    bytes
        .flat_map(|byte| {
            if byte == 0xff {
                vec![0xff, 0]
            } else {
                vec![byte]
            }
        })
        .collect()
}

/// The grey file called one of 12 bits: right in form, readable by few.
fn deep() -> Vec<u8> {
    let mut file = encoded(SIDE, 1, ExtendedColorType::L8);
    let frame = file
        .windows(2)
        .position(|pair| pair == [0xff, 0xc0])
        .expect("every baseline file has a frame");
    file[frame + 1] = 0xc1;
    file[frame + 4] = 12;
    file
}
