//! The program run as a person runs it, in a scratch folder with a book of its own, and its answer judged.

use serde_json::Value;
use sha2::{Digest, Sha256};
use std::ffi::OsStr;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::sync::OnceLock;
use tempfile::TempDir;

/// Holds a scratch folder with the book that lies there.
pub(crate) struct Workshop {
    folder: TempDir,
}

/// Holds what a command answered.
#[derive(Debug)]
pub(crate) struct Answer {
    /// The words of the command, to name it in a failure.
    pub(crate) command: String,
    /// The exit code; `None` where a signal ended it.
    pub(crate) code: Option<i32>,
    /// Standard output.
    pub(crate) out: String,
    /// Standard error.
    pub(crate) err: String,
}

impl Workshop {
    /// Makes an empty folder: the book comes with the first thing that is put into it.
    pub(crate) fn new() -> Self {
        Self {
            folder: TempDir::new().expect("a folder"),
        }
    }

    /// Makes a folder with the demo's book: a copy of one that the program made once, because making it takes a second.
    pub(crate) fn demo() -> Self {
        static MADE: OnceLock<Vec<u8>> = OnceLock::new();
        let made = MADE.get_or_init(|| {
            let workshop = Self::new();
            workshop.done("demo");
            workshop.bytes()
        });
        Self::with_book(made)
    }

    /// Makes a folder with a book of these bytes.
    pub(crate) fn with_book(bytes: &[u8]) -> Self {
        let workshop = Self::new();
        workshop.write("shop.book", bytes);
        workshop
    }

    /// Returns the bytes of the book.
    pub(crate) fn bytes(&self) -> Vec<u8> {
        fs::read(self.book()).expect("a book")
    }

    /// Returns the path of a file in the folder.
    pub(crate) fn path(&self, name: impl AsRef<Path>) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Returns the path of the book.
    pub(crate) fn book(&self) -> PathBuf {
        self.path("shop.book")
    }

    /// Writes a file into the folder.
    pub(crate) fn write(&self, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        fs::write(&path, bytes).expect("writes");
        path
    }

    /// Reads a text that lies in the folder.
    pub(crate) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    /// Adds a note to the book.
    pub(crate) fn add_note(&self, text: &str) -> Answer {
        self.write("added.note", text);
        self.done("note add added.note")
    }

    /// Prepares the command of a line, on the book of the folder and in the folder; nothing of the person's own is touched.
    pub(crate) fn command(&self, line: &str) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_ringwright"));
        command
            .args(words(line))
            .current_dir(self.folder.path())
            .env("RINGWRIGHT_BOOK", self.book())
            .env("XDG_DATA_HOME", self.folder.path())
            .env_remove("COLUMNS")
            .stdin(Stdio::null());
        command
    }

    /// Runs the command of a line as a person sees its answer, on one screen.
    pub(crate) fn screen(&self, line: &str) -> Answer {
        Answer::of(&mut self.command(line))
    }

    /// Runs the command of a line, everything of its answer shown.
    pub(crate) fn run(&self, line: &str) -> Answer {
        Answer::of(self.command(line).arg("--full"))
    }

    /// Runs a command that must be done.
    pub(crate) fn done(&self, line: &str) -> Answer {
        let answer = self.run(line);
        assert_eq!(answer.code, Some(0), "{}", answer.shown());
        answer
    }

    /// Runs a command whose answer is yes or no, and gives what it printed.
    pub(crate) fn printed(&self, line: &str) -> String {
        let answer = self.run(line);
        assert!(matches!(answer.code, Some(0 | 1)), "{}", answer.shown());
        answer.out
    }

    /// Runs a command whose answer is yes or no, and gives what it printed with its lines joined.
    pub(crate) fn page(&self, line: &str) -> String {
        flat(&self.printed(line))
    }

    /// Runs a command whose answer is yes or no, and reads it as JSON.
    pub(crate) fn json(&self, line: &str) -> Value {
        let (code, answer) = self.coded(line);
        assert!(matches!(code, Some(0 | 1)), "{line}: {answer}");
        answer
    }

    /// Runs a command and reads its answer as JSON, with the exit code before it.
    pub(crate) fn coded(&self, line: &str) -> (Option<i32>, Value) {
        let answer = self.run(&format!("{line} --format json"));
        (answer.code, answer.json())
    }

    /// Runs a command and types its input.
    pub(crate) fn typed(&self, line: &str, input: &str) -> Answer {
        let mut command = self.command(line);
        let mut child = spawned(command.stdin(Stdio::piped()));
        let mut stdin = child.stdin.take().expect("a pipe");
        // A command that does not ask may have ended before it is spoken to.
        match stdin.write_all(input.as_bytes()) {
            Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => panic!("{error}"),
            _ => drop(stdin),
        }
        Answer::judged(line, &child.wait_with_output().expect("it ends"))
    }

    /// Runs a command in a shell under a limit, as "ulimit -v 1048576".
    pub(crate) fn under(&self, limit: &str, line: &str) -> Answer {
        let program = self.command(line);
        let mut shell = Command::new("sh");
        shell
            .args(["-c", &format!("{limit}; exec \"$@\""), "sh"])
            .arg(program.get_program())
            .args(program.get_args())
            .current_dir(self.folder.path())
            .env("RINGWRIGHT_BOOK", self.book())
            .stdin(Stdio::null());
        Answer::of(&mut shell)
    }

    /// Starts a command and lets it run.
    pub(crate) fn start(&self, line: &str) -> Child {
        spawned(&mut self.command(line))
    }

    /// Lists the names of the folder's files, sorted.
    pub(crate) fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(self.folder.path())
            .expect("a folder")
            .map(|file| file.expect("a file").file_name().to_string_lossy().into())
            .collect();
        names.sort();
        names
    }
}

fn spawned(command: &mut Command) -> Child {
    command
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts")
}

impl Answer {
    /// Runs a command and judges what holds for every answer.
    pub(crate) fn of(command: &mut Command) -> Self {
        let output = command.output().expect("the program runs");
        let words: Vec<_> = command.get_args().map(OsStr::to_string_lossy).collect();
        Self::judged(&words.join(" "), &output)
    }

    /// Judges what holds for every answer: no panic, no signal, a documented exit code, a message where it failed, and
    /// nothing in it that could steer a terminal.
    pub(crate) fn judged(command: &str, output: &Output) -> Self {
        let answer = Self {
            command: command.chars().take(300).collect(),
            code: output.status.code(),
            out: String::from_utf8(output.stdout.clone()).expect("UTF-8"),
            err: String::from_utf8(output.stderr.clone()).expect("UTF-8"),
        };
        let shown = answer.shown();
        assert!(answer.code.is_some(), "ended by a signal: {shown}");
        assert!(matches!(answer.code, Some(0..=3)), "{shown}");
        assert!(!answer.err.contains("panicked"), "{shown}");
        if answer.code > Some(1) {
            // An answer as JSON says in itself what is wrong with the input.
            assert!(!answer.said().trim().is_empty(), "no message: {shown}");
        }
        let steering = answer.said().chars().find(|c| steers(*c));
        assert_eq!(steering, None, "{shown}");
        answer
    }

    /// Reads what was printed as JSON.
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}: {}", self.shown()))
    }

    /// Returns what was printed and what was said beside it.
    pub(crate) fn said(&self) -> String {
        format!("{}{}", self.out, self.err)
    }

    /// Shows the answer, cut to what a person can read.
    pub(crate) fn shown(&self) -> String {
        let cut = |text: &str| text.chars().take(1500).collect::<String>();
        format!(
            "{} -> {:?}\n{}\n{}",
            self.command,
            self.code,
            cut(&self.out),
            cut(&self.err)
        )
    }

    /// Expects a book that cannot be used, with words that say so.
    pub(crate) fn refuses_the_book(&self, words: &str) {
        assert_eq!(self.code, Some(3), "{}", self.shown());
        assert!(self.err.contains(words), "no {words:?}: {}", self.shown());
    }
}

/// Joins the lines of a text, so that a sentence is found wherever it was broken.
pub(crate) fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Runs the command of a line where no book is, everything of its answer shown.
pub(crate) fn run(line: &str) -> Answer {
    Workshop::new().run(line)
}

/// Runs the command of a line where no book is, and reads its answer as JSON.
pub(crate) fn json(line: &str) -> (Option<i32>, Value) {
    Workshop::new().coded(line)
}

/// Parts a line into words as a shell does: quotes of either kind hold a word with spaces together, \" stands for a quote.
pub(crate) fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    let (mut quote, mut begun) = (None, false);
    let mut chars = line.chars();
    while let Some(c) = chars.next() {
        match c {
            '\\' if quote != Some('\'') => word.extend(chars.next()),
            _ if quote == Some(c) => quote = None,
            '"' | '\'' if quote.is_none() => (quote, begun) = (Some(c), true),
            ' ' if quote.is_none() => {
                if begun || !word.is_empty() {
                    words.push(std::mem::take(&mut word));
                }
                begun = false;
            }
            _ => word.push(c),
        }
    }
    if begun || !word.is_empty() {
        words.push(word);
    }
    words
}

/// Puts a text into quotes, so that it is one word of a line whatever stands in it.
pub(crate) fn quoted(text: &str) -> String {
    format!("'{}'", text.replace('\'', r"'\''"))
}

/// The line that imports a price list in EUR without tax.
pub(crate) fn import_line(file: &str, supplier: &str) -> String {
    format!(
        "offer import {file} --supplier {supplier} --currency EUR --tax excluded --date 2026-03-01"
    )
}

/// The value of a list at which a text stands under a key.
pub(crate) fn find<'v>(list: &'v Value, key: &str, text: &str) -> &'v Value {
    let found = items(list).iter().find(|one| one[key] == text);
    found.unwrap_or_else(|| panic!("no {key} {text}: {list}"))
}

/// The values of a list.
pub(crate) fn items(list: &Value) -> &[Value] {
    list.as_array()
        .map_or_else(|| panic!("no list: {list}"), Vec::as_slice)
}

/// A number of an answer.
pub(crate) fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("no number: {value}"))
}

/// A text of an answer.
pub(crate) fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_else(|| panic!("no text: {value}"))
}

/// Tells whether a character could steer a terminal, turn the order of letters or hide; line feeds are ours.
fn steers(c: char) -> bool {
    c != '\n'
        && (c.is_control()
            || matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}'))
}

/// Forms the digest of a file.
pub(crate) fn digest(path: &Path) -> Vec<u8> {
    Sha256::digest(fs::read(path).expect("reads")).to_vec()
}
