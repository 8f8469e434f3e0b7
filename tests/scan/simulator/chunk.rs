//! The chunks that a PNG file is made of.

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
