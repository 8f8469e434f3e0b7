//! The file of rows of a price list that are no offers.

use super::import::{ImportError, ImportQuestion};
use crate::core::formula::defused;
use crate::core::supply::Reject;
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

/// The first line of a file of rejected rows.
const HEADS: [&str; 4] = ["line", "column", "reason", "row"];

/// Writes rejected rows under a temporary name; the name is given when the list is in the book.
pub(super) struct RejectsFile {
    path: PathBuf,
    writer: Option<csv::Writer<File>>,
    /// The first reason, with its line.
    pub(super) first: Option<(u64, String)>,
}

impl RejectsFile {
    pub(super) fn new(question: &ImportQuestion) -> Self {
        let beside = || {
            let mut name = question.file.file_name().unwrap_or_default().to_owned();
            name.push(".rejects.csv");
            question.file.with_file_name(name)
        };
        Self {
            path: question.rejects.clone().unwrap_or_else(beside),
            writer: None,
            first: None,
        }
    }

    fn temporary(&self) -> PathBuf {
        let mut name = self.path.file_name().unwrap_or_default().to_owned();
        name.push(".part");
        self.path.with_file_name(name)
    }

    fn fault(path: &Path, source: std::io::Error) -> ImportError {
        ImportError::Rejects {
            path: path.display().to_string(),
            source,
        }
    }

    /// Refuses a name under which something else lies than rows that were rejected before.
    fn may_be_taken(path: &Path) -> Result<(), ImportError> {
        let Ok(found) = std::fs::metadata(path) else {
            return Ok(());
        };
        let heads = HEADS.join(",");
        let mut first = Vec::new();
        if found.is_file() {
            let file = File::open(path).map_err(|e| Self::fault(path, e))?;
            file.take(heads.len() as u64)
                .read_to_end(&mut first)
                .map_err(|e| Self::fault(path, e))?;
        }
        if first == heads.as_bytes() {
            return Ok(());
        }
        let other = "another file lies there, which is not replaced; name a new one with --rejects";
        Err(Self::fault(
            path,
            std::io::Error::new(std::io::ErrorKind::AlreadyExists, other),
        ))
    }

    /// Writes a rejected row; a sheet is named in front of its reason.
    pub(super) fn write(
        &mut self,
        sheet: Option<&str>,
        reject: &Reject,
        cells: &[String],
    ) -> Result<(), ImportError> {
        let reason = match sheet {
            Some(sheet) => format!("sheet {sheet:?}: {}", reject.fault),
            None => reject.fault.to_string(),
        };
        if self.writer.is_none() {
            Self::may_be_taken(&self.path)?;
            let path = self.temporary();
            let file = File::create(&path).map_err(|e| Self::fault(&path, e))?;
            let mut writer = csv::Writer::from_writer(file);
            writer
                .write_record(HEADS)
                .map_err(|e| Self::fault(&path, std::io::Error::other(e)))?;
            self.writer = Some(writer);
            self.first = Some((reject.line, reason.clone()));
        }
        let column = reject.column.map_or_else(String::new, |c| c.to_string());
        let row = one_line(cells);
        // People look at the rejected rows in a spreadsheet.
        let record = [
            reject.line.to_string(),
            column,
            defused(&reason),
            defused(&row),
        ];
        match &mut self.writer {
            Some(writer) => writer
                .write_record(&record)
                .map_err(|e| Self::fault(&self.path, std::io::Error::other(e))),
            None => Ok(()),
        }
    }

    /// Forces the rows to the disk; called before the list is in the book, so that a full disk is noticed in time.
    pub(super) fn sync(&mut self) -> Result<(), ImportError> {
        let Some(writer) = &mut self.writer else {
            return Ok(());
        };
        writer
            .flush()
            .and_then(|()| writer.get_ref().sync_all())
            .map_err(|e| Self::fault(&self.path, e))
    }

    /// Gives the file its name when the list is in the book; returns it where any row was rejected.
    pub(super) fn keep(&mut self) -> Result<Option<String>, ImportError> {
        if self.writer.take().is_none() {
            return Ok(None);
        }
        std::fs::rename(self.temporary(), &self.path).map_err(|source| {
            ImportError::RejectsUnnamed {
                path: self.path.display().to_string(),
                part: self.temporary().display().to_string(),
                source,
            }
        })?;
        Ok(Some(self.path.display().to_string()))
    }
}

impl Drop for RejectsFile {
    fn drop(&mut self) {
        if self.writer.take().is_some() {
            // A list that was not taken leaves no file of rejects behind; a file that cannot be removed harms nothing.
            let _ = std::fs::remove_file(self.temporary());
        }
    }
}

/// A rejected row is shown up to this many bytes: thousands of cells of a workbook can share one long text.
const MOST_SHOWN: usize = 8192;

fn one_line(cells: &[String]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Writing to memory does not fail.
    let _ = writer.write_record(cells);
    let bytes = writer.into_inner().unwrap_or_default();
    if bytes.len() <= MOST_SHOWN {
        return String::from_utf8_lossy(&bytes).trim_end().to_owned();
    }
    let shown = String::from_utf8_lossy(&bytes[..MOST_SHOWN]);
    // The cut may have gone through a character.
    format!("{}…", shown.trim_end_matches('\u{fffd}'))
}
