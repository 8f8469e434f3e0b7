//! A scratch folder in which the program is run as a user runs it, and its answer judged.

use sha2::{Digest, Sha256};
use std::ffi::OsStr;
use std::fs;
use std::os::unix::process::ExitStatusExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use tempfile::TempDir;

/// Holds a scratch folder.
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
    /// Makes an empty folder.
    pub(crate) fn new() -> Self {
        Self {
            folder: TempDir::new().expect("a folder"),
        }
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

    /// Prepares a command on the book of the folder; it runs in the folder.
    pub(crate) fn command<W: AsRef<OsStr>>(&self, words: &[W]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_ringwright"));
        command
            .args(words)
            .current_dir(self.folder.path())
            .env("RINGWRIGHT_BOOK", self.book())
            .env("COLUMNS", "200")
            .stdin(Stdio::null());
        command
    }

    /// Runs a command and judges what holds for every answer.
    pub(crate) fn run<W: AsRef<OsStr>>(&self, words: &[W]) -> Answer {
        Answer::of(&mut self.command(words))
    }

    /// Runs a command that must be done.
    pub(crate) fn done<W: AsRef<OsStr>>(&self, words: &[W]) -> Answer {
        let answer = self.run(words);
        assert_eq!(answer.code, Some(0), "{answer:?}");
        answer
    }

    /// Runs a command in a shell under a limit, as "ulimit -v 1048576".
    pub(crate) fn under<W: AsRef<OsStr>>(&self, limit: &str, words: &[W]) -> Answer {
        let program = self.command(words);
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
    pub(crate) fn start<W: AsRef<OsStr>>(&self, words: &[W]) -> Child {
        self.command(words)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts")
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

/// A gibibyte of addresses, threads and program included.
pub(crate) const CAP: &str = "ulimit -v 1048576";

/// The words that import a price list.
pub(crate) const fn import_words<'w>(file: &'w str, supplier: &'w str) -> [&'w str; 11] {
    [
        "offer",
        "import",
        file,
        "--supplier",
        supplier,
        "--currency",
        "EUR",
        "--tax",
        "excluded",
        "--date",
        "2026-03-01",
    ]
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
        assert_eq!(output.status.signal(), None, "{shown}");
        assert!(matches!(answer.code, Some(0..=3)), "{shown}");
        assert!(!answer.err.contains("panicked"), "{shown}");
        if answer.code > Some(1) {
            // An answer as JSON says in itself what is wrong with the input.
            let said = format!("{}{}", answer.err, answer.out);
            assert!(!said.trim().is_empty(), "no message: {shown}");
        }
        for text in [&answer.out, &answer.err] {
            let steering = text.chars().find(|c| steers(*c));
            assert_eq!(steering, None, "{shown}");
        }
        answer
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

/// Commands that only read a book, each from another corner of it. The demo shop is in it.
pub(crate) const READING: &[&[&str]] = &[
    &["book", "path"],
    &["book", "check"],
    &["book", "set-aside"],
    &["model", "list"],
    &["model", "show", "Tarn"],
    &["parts", "Beck"],
    &["note", "list"],
    &["note", "show", "FT2-004417"],
    &["offer", "supplier"],
    &["offer", "find", "AS568-012"],
    &["offer", "find", "filtr"],
    &["offer", "find", "--id", "9.25 mm", "--cs", "1.78 mm"],
    &["order", "Tarn=1"],
    &["stock", "list"],
    &["job", "list"],
    &["job", "show", "1"],
    &["uses", "AS568-012"],
    &["ring", "--learned"],
    &["setting", "gauge", "list"],
    &["size", "012"],
];

/// Fills the book with the demo shop, a lot on the shelf, a gauge and a job.
pub(crate) fn furnish(workshop: &Workshop) {
    let lines: &[&[&str]] = &[
        &["demo"],
        &[
            "stock",
            "add",
            "AS568-012 N70",
            "--bin",
            "A1",
            "--quantity",
            "10",
            "--lot",
            "X1",
            "--cured",
            "2025-Q2",
        ],
        &[
            "setting",
            "gauge",
            "add",
            "2",
            "--offset",
            "+1.5 psi",
            "--checked",
            "2026-10-01",
            "--against",
            "dead weight tester",
        ],
        &["job", "open", "Tarn 2", "FT2-004417", "--by", "M. Okafor"],
        &[
            "job",
            "step",
            "1",
            "--torque",
            "cap 25 N m",
            "--by",
            "M. Okafor",
        ],
    ];
    for words in lines {
        workshop.done(words);
    }
}
