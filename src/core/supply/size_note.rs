//! What somebody who orders must know of how a description writes its size.

use super::described::{SizeFlag, Written};
use super::description::DescriptionReader;

/// Says how the size that a description writes differs from that of the ring it is taken for; nothing where it does not.
///
/// ```
/// use ringwright::core::supply::size_note;
/// let note = size_note("O-ring 7.66x1.78 NBR70").expect("differs");
/// assert!(note.starts_with("written 7.66 x 1.78 mm"), "{note}");
/// assert_eq!(size_note("O-ring 7.65x1.78 NBR70"), None);
/// ```
pub fn size_note(description: &str) -> Option<String> {
    let read = DescriptionReader::default().read(description);
    let notes: Vec<String> = read.flags.iter().filter_map(SizeFlag::words).collect();
    (!notes.is_empty()).then(|| notes.join("; "))
}

impl SizeFlag {
    fn words(&self) -> Option<String> {
        let size = |written: &Written| {
            format!(
                "{} x {} mm",
                written.id.mm_rounded(),
                written.section.mm_rounded()
            )
        };
        match self {
            Self::LastDigit(written) => Some(format!(
                "written {}, which differs from the listed ring in its last digits",
                size(written)
            )),
            Self::NominalInch(written) => Some(format!(
                "written {}, a nominal inch size in millimetres; the ring sold by it is another",
                size(written)
            )),
            Self::Contradiction => Some(
                "its number and its size name different rings: ask the supplier which it is"
                    .to_owned(),
            ),
            Self::SeveralSizes => None,
        }
    }
}
