//! What is done to a valid picture.

use super::{Malformed, Valid};
use crate::simulator::picture::check_sum;
use rand_core::Rng;
use rand_pcg::Pcg64;

/// Sizes that break sums: nothing, one, the ends of signed and unsigned numbers, more than any memory.
const SIZES: [u32; 9] = [
    0,
    1,
    2,
    0x7fff,
    0xffff,
    0x0001_0000,
    0x7fff_ffff,
    0x8000_0000,
    0xffff_ffff,
];
/// Files that are hardly begun are shorter than this, in bytes.
const BYTES: u64 = 12;

/// Draws places and values.
struct Dice(Pcg64);

impl Dice {
    fn below(&mut self, count: usize) -> usize {
        (self.0.next_u64() % count.max(1) as u64) as usize
    }

    fn byte(&mut self) -> u8 {
        self.0.next_u64() as u8
    }

    fn size(&mut self) -> u32 {
        SIZES[self.below(SIZES.len())]
    }
}

/// What can be done.
#[derive(Clone, Copy, Debug)]
enum Act {
    Cut,
    CutHead,
    Flip,
    Overwrite,
    Enlarge,
    Resize,
    Number,
    Remove,
    Repeat,
    Splice,
    Wrap,
    Density,
    Pad,
}

const ACTS: [Act; 13] = [
    Act::Cut,
    Act::CutHead,
    Act::Flip,
    Act::Overwrite,
    Act::Enlarge,
    Act::Resize,
    Act::Number,
    Act::Remove,
    Act::Repeat,
    Act::Splice,
    Act::Wrap,
    Act::Density,
    Act::Pad,
];

/// The n-th file: first the valid ones, then bare beginnings and nothing, then mutations.
pub(super) fn file(valid: &[Valid], number: u64) -> Malformed {
    let index = number as usize;
    if let Some(picture) = valid.get(index) {
        return named(picture, "as it is", number, picture.bytes.clone());
    }
    let mut dice = Dice(Pcg64::new(
        u128::from(number),
        0x0a02_bdbf_7bb3_c0a7_ac28_fa16_a64a_bf96,
    ));
    let picture = &valid[dice.below(valid.len())];
    if index < 2 * valid.len() {
        let picture = &valid[index - valid.len()];
        let short = (number % BYTES) as usize;
        return named(
            picture,
            "hardly begun",
            number,
            picture.bytes[..short].to_vec(),
        );
    }
    let mut bytes = picture.bytes.clone();
    let mut done = String::new();
    for _ in 0..=dice.below(3) {
        let act = ACTS[dice.below(ACTS.len())];
        done.push_str(&format!("{act:?} ").to_lowercase());
        bytes = apply(act, bytes, valid, &mut dice);
    }
    if picture.ending == "png" && dice.below(4) > 0 {
        mend(&mut bytes);
        done.push_str("mended ");
    }
    named(picture, done.trim_end(), number, bytes)
}

fn named(picture: &Valid, done: &str, number: u64, bytes: Vec<u8>) -> Malformed {
    Malformed {
        name: format!("{}, {done}, number {number}", picture.name),
        bytes,
        ending: picture.ending,
    }
}

fn apply(act: Act, mut bytes: Vec<u8>, valid: &[Valid], dice: &mut Dice) -> Vec<u8> {
    if bytes.is_empty() {
        return bytes;
    }
    let at = dice.below(bytes.len());
    let run = 1 + dice.below(40.min(bytes.len() - at));
    match act {
        Act::Cut => bytes.truncate(at),
        Act::CutHead => drop(bytes.drain(..at)),
        Act::Flip => bytes[at] ^= 1 << dice.below(8),
        Act::Overwrite => bytes[at..at + run].fill_with(|| dice.byte()),
        Act::Enlarge => {
            let size = dice.size();
            put(&mut bytes, at, &size.to_be_bytes());
        }
        Act::Resize => {
            let size = dice.size();
            resize(&mut bytes, size, dice);
        }
        Act::Number => {
            let size = dice.size().to_le_bytes();
            put(&mut bytes, at, &size[..2]);
        }
        Act::Remove => drop(bytes.drain(at..at + run)),
        Act::Repeat => {
            let part = bytes[at..at + run].repeat(1 + dice.below(300));
            bytes.splice(at..at, part);
        }
        Act::Splice => {
            let other = &valid[dice.below(valid.len())].bytes;
            let from = dice.below(other.len());
            bytes.truncate(at);
            bytes.extend(&other[from..]);
        }
        Act::Wrap => {
            let front: Vec<u8> = (0..dice.below(64)).map(|_| dice.byte()).collect();
            bytes.splice(0..0, front);
        }
        Act::Density => density(&mut bytes, dice),
        Act::Pad => bytes.extend((0..dice.below(4000)).map(|place| place as u8)),
    }
    bytes
}

/// Writes over what is there, as far as there is something.
fn put(bytes: &mut [u8], at: usize, value: &[u8]) {
    for (target, byte) in bytes.iter_mut().skip(at).zip(value) {
        *target = *byte;
    }
}

/// Where a piece of a file stands.
fn find(bytes: &[u8], what: &[u8]) -> Option<usize> {
    bytes.windows(what.len()).position(|part| part == what)
}

/// Gives the picture a width or a height that its pixels do not have.
fn resize(bytes: &mut [u8], size: u32, dice: &mut Dice) {
    let second = dice.below(2);
    if let Some(at) = find(bytes, b"IHDR") {
        put(bytes, at + 4 + 4 * second, &size.to_be_bytes());
    } else if let Some(at) = find(bytes, &[0xff, 0xc0]) {
        put(bytes, at + 5 + 2 * second, &(size as u16).to_be_bytes());
    } else {
        // Width and height of a TIFF are tags 256 and 257; the value stands 8 bytes on.
        let tag = [second as u8, 1, 4, 0];
        if let Some(at) = find(bytes, &tag) {
            put(bytes, at + 8, &size.to_le_bytes());
        }
    }
}

/// Spoils what the file says of its dpi: nothing, endless, another along y, an unknown unit.
fn density(bytes: &mut [u8], dice: &mut Dice) {
    let value = dice.size();
    let second = dice.below(3);
    if let Some(at) = find(bytes, b"pHYs") {
        put(bytes, at + 4 + 4 * second, &value.to_be_bytes());
    } else if let Some(at) = find(bytes, b"JFIF\0") {
        let unit = dice.byte();
        put(bytes, at + 7, &[unit]);
        put(
            bytes,
            at + 8 + 2 * (second % 2),
            &(value as u16).to_be_bytes(),
        );
    } else {
        // The fractions of these TIFF files stand at bytes 16 to 31.
        put(bytes, 16 + 4 * dice.below(4), &value.to_le_bytes());
    }
}

/// Puts the check sums of a PNG right again, so that a reader gets past them.
fn mend(bytes: &mut [u8]) {
    let mut at = 8;
    while let Some(length) = bytes.get(at..at + 4) {
        let length = u32::from_be_bytes([length[0], length[1], length[2], length[3]]) as usize;
        let end = at.saturating_add(8).saturating_add(length);
        let Some(body) = bytes.get(at + 4..end) else {
            return;
        };
        let check = check_sum(body).to_be_bytes();
        put(bytes, end, &check);
        at = end + 4;
    }
}
