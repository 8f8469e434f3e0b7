//! Closing a job.

use super::listed::{JobRead, Listed};
use super::{Hand, JobDesk, JobError, JobShown};
use crate::core::job::{Closing, ClosingAsked, JobEntry, Lack, UnitState, release};
use crate::store::{Book, BookWriter};

/// Says how closing went.
#[derive(Debug, Clone)]
pub enum Closed {
    /// The record is closed.
    Yes(Box<JobShown>),
    /// It lacks something, and nothing was written.
    Lacking(Box<JobShown>),
}

/// What a try to close came to inside its transaction.
enum Tried {
    Written,
    Lacking(Vec<Lack>),
    /// Notes or gas changed since the parts list was worked out.
    OutOfDate,
}

/// How often the parts list is worked out without a lock before it is with one.
const TRIES_WITHOUT_LOCK: u8 = 4;

/// What is asked, with who asks.
struct Asked<'a> {
    job: i64,
    hand: &'a Hand,
    closing: &'a Closing,
}

impl JobDesk<'_> {
    /// Closes a job: released where that is asked for and nothing stands against it, or without release.
    ///
    /// Whether it is released is decided on the state that stands inside the transaction that writes it, so that nothing can be
    /// added in between.
    ///
    /// # Errors
    /// No such job, a closed record, or a book that cannot be written.
    pub fn close(&self, job: i64, hand: &Hand, closing: &Closing) -> Result<Closed, JobError> {
        let asked = Asked { job, hand, closing };
        let mut tries = 0;
        let lacking = loop {
            let read = Book::open_to_read(self.book)?.read(|book| JobRead::of(book, job))?;
            let listed = read.listed(self.book);
            let last = tries >= TRIES_WITHOUT_LOCK;
            let tried = Book::open_to_write(self.book)?
                .write(|book| self.try_close(book, &asked, (!last).then_some(&listed)))?;
            match tried {
                Tried::Written => break Vec::new(),
                Tried::Lacking(lacks) => break lacks,
                Tried::OutOfDate => tries += 1,
            }
        };
        let mut page = self.show(job)?;
        if lacking.is_empty() {
            return Ok(Closed::Yes(Box::new(page)));
        }
        page.lack(lacking);
        Ok(Closed::Lacking(Box::new(page)))
    }

    fn try_close(
        &self,
        book: &BookWriter<'_>,
        asked: &Asked<'_>,
        worked_out: Option<&Listed>,
    ) -> Result<Tried, JobError> {
        let read = JobRead::of(book, asked.job)?;
        if read.record.is_closed() {
            return Err(JobError::Closed(asked.job));
        }
        let with_lock;
        let listed = match worked_out {
            Some(listed) if listed.holds(&read) => listed,
            Some(_) => return Ok(Tried::OutOfDate),
            None => {
                with_lock = read.listed(self.book);
                &with_lock
            }
        };
        let (hand, closing) = (asked.hand, asked.closing);
        let closes = ClosingAsked {
            person: &hand.person,
            at: &hand.at,
            closing,
        };
        let lacks = release(
            &UnitState::of(&read.record, &listed.places),
            &read.question(listed, self.limits, Some(closes)),
        );
        if closing.released && !lacks.is_empty() {
            return Ok(Tried::Lacking(lacks));
        }
        let entry = JobEntry::Close(Closing {
            lacking: lacks.iter().map(ToString::to_string).collect(),
            ..closing.clone()
        });
        book.add_job_entry(asked.job, &hand.person, &hand.at, &entry)?;
        Ok(Tried::Written)
    }
}
