//! Bytes of a file as text.

/// Makes text of the bytes of a file: UTF-8, or UTF-16 where a byte order mark says so.
///
/// Bytes that are neither become U+FFFD, which reading the note then reports at its place.
pub fn decode(bytes: &[u8]) -> String {
    let words = |bytes: &[u8], word: fn([u8; 2]) -> u16| -> String {
        let units = bytes.chunks(2).map(|pair| match pair {
            [a, b] => word([*a, *b]),
            _ => u16::MAX,
        });
        char::decode_utf16(units)
            .map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER))
            .collect()
    };
    match bytes {
        [0xff, 0xfe, rest @ ..] => words(rest, u16::from_le_bytes),
        [0xfe, 0xff, rest @ ..] => words(rest, u16::from_be_bytes),
        _ => String::from_utf8_lossy(bytes).into_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_orders_of_utf_16_and_utf_8_read_alike() {
        assert_eq!(decode(b"\xff\xfeo\0d\0"), "od");
        assert_eq!(decode(b"\xfe\xff\0o\0d"), "od");
        assert_eq!(decode("ø 9".as_bytes()), "ø 9");
        assert_eq!(decode(b"\xd8 9"), "\u{fffd} 9");
    }
}
