//! The seals of a record: SHA-256 over each entry and the seal before it.

use sha2::{Digest, Sha256};

/// What the first seal of a record covers.
#[derive(Debug, Clone, Copy)]
pub struct JobWords<'j> {
    /// Number of the job.
    pub number: i64,
    /// Row of the unit.
    pub unit: i64,
    /// Model as it stood on that day.
    pub model: &'j [u8],
    /// Serial number as it stood on that day.
    pub serial: &'j [u8],
    pub opened_at: &'j [u8],
}

/// What the seal of an entry covers.
#[derive(Debug, Clone, Copy)]
pub struct EntryWords<'e> {
    /// Place in the record.
    pub place: i64,
    pub added_at: &'e [u8],
    pub person: &'e [u8],
    pub kind: &'e [u8],
    /// What it says, as JSON.
    pub body: &'e [u8],
}

/// Returns the seal of a job's own row, in lower-case hex.
pub fn job_seal(job: &JobWords<'_>) -> String {
    let (number, unit) = (job.number.to_string(), job.unit.to_string());
    sealed(&[
        b"ringwright job 1",
        number.as_bytes(),
        unit.as_bytes(),
        job.model,
        job.serial,
        job.opened_at,
    ])
}

/// Returns the seal of an entry that follows the seal `before`, in lower-case hex.
pub fn entry_seal(before: &[u8], entry: &EntryWords<'_>) -> String {
    let place = entry.place.to_string();
    sealed(&[
        before,
        place.as_bytes(),
        entry.added_at,
        entry.person,
        entry.kind,
        entry.body,
    ])
}

/// Hashes pieces, each with its length before it, so that no two lists of pieces run together alike.
fn sealed(pieces: &[&[u8]]) -> String {
    let mut hash = Sha256::new();
    for piece in pieces {
        hash.update((piece.len() as u64).to_be_bytes());
        hash.update(piece);
    }
    hex(&hash.finalize())
}

/// Writes bytes in lower-case hex.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut hex, byte| {
        const DIGITS: &[u8; 16] = b"0123456789abcdef";
        hex.push(char::from(DIGITS[usize::from(byte >> 4)]));
        hex.push(char::from(DIGITS[usize::from(byte & 15)]));
        hex
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_the_published_one() {
        // FIPS 180-4 example: SHA-256("abc") = ba7816bf 8f01cfea 414140de 5dae2223 b00361a3 96177a9c b410ff61 f20015ad.
        let digest = Sha256::digest(b"abc");
        assert_eq!(digest[..4], [0xba, 0x78, 0x16, 0xbf]);
        assert_eq!(digest[28..], [0xf2, 0x00, 0x15, 0xad]);
    }

    #[test]
    fn every_piece_moves_the_seal_and_pieces_do_not_run_together() {
        let entry = |person: &'static str, kind: &'static str| EntryWords {
            place: 1,
            added_at: b"2026-03-14",
            person: person.as_bytes(),
            kind: kind.as_bytes(),
            body: b"{}",
        };
        let seal = |person, kind| entry_seal(b"0", &entry(person, kind));
        assert_ne!(seal("ab", "c"), seal("a", "bc"));
        assert_eq!(seal("a", "bc").len(), 64);
        assert_ne!(
            entry_seal(b"1", &entry("a", "b")),
            entry_seal(b"2", &entry("a", "b"))
        );
    }
}
