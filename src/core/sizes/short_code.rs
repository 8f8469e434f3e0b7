//! The code of a size as its own table prints it, kept in place.

/// A short code such as `012` or `P10A` without a pointer.
///
/// The size tables are static; every pointer in them would have to be set at each start of the program.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct ShortCode {
    bytes: [u8; Self::MOST],
    length: u8,
}

impl ShortCode {
    /// The most bytes of a code.
    pub const MOST: usize = 10;

    /// Keeps a code.
    ///
    /// # Panics
    /// Panics, while the program is compiled, on a code of more than [`Self::MOST`] bytes.
    #[allow(clippy::cast_possible_truncation, reason = "the length is at most ten")]
    pub(super) const fn new(text: &str) -> Self {
        let from = text.as_bytes();
        assert!(from.len() <= Self::MOST, "the code is too long");
        let mut bytes = [0; Self::MOST];
        let mut at = 0;
        while at < from.len() {
            bytes[at] = from[at];
            at += 1;
        }
        Self {
            bytes,
            length: from.len() as u8,
        }
    }

    /// Returns the code.
    pub fn as_str(&self) -> &str {
        let bytes = &self.bytes[..usize::from(self.length)];
        std::str::from_utf8(bytes).unwrap_or_default()
    }
}

impl std::fmt::Debug for ShortCode {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:?}", self.as_str())
    }
}
