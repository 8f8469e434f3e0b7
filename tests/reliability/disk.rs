//! Full disks, read-only places, missing folders, odd paths, and a command that is asked to end while it puts a file in its place.

use super::{LOT, furnished};
use crate::program::{Answer, Workshop, digest, import_line};
use std::ffi::OsStr;
use std::fs;
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// A price list that no small disk holds.
fn long_list(rows: usize) -> String {
    let rows: Vec<String> = (0..rows)
        .map(|n| {
            format!(
                "N{n:06},O-ring -0{:02} NBR 70 for filling a disk {n},10,1.60\n",
                10 + n % 20
            )
        })
        .collect();
    format!("number,description,pack,price\n{}", rows.concat())
}

fn still_whole(workshop: &Workshop) {
    let check = workshop.run("book check");
    assert_eq!(check.code, Some(0), "{}", check.shown());
    assert!(workshop.done("model list").out.contains("Tarn 2"));
    let suppliers = workshop.done("offer supplier").out;
    assert!(!suppliers.contains(" S "), "half a list: {suppliers}");
}

#[test]
fn a_limit_on_the_size_of_files_is_told_and_leaves_the_book_whole() {
    let workshop = furnished();
    workshop.write("long.csv", long_list(20_000));
    // In blocks of 512 bytes: 1 MiB. The signal of the limit is ignored, as a shell that sets quotas does.
    let answer = workshop.under(
        "trap '' XFSZ; ulimit -f 2048",
        &import_line("long.csv", "S"),
    );
    assert_eq!(answer.code, Some(3), "{}", answer.shown());
    assert!(
        answer.err.contains("the book is as it was"),
        "{}",
        answer.shown()
    );
    still_whole(&workshop);
    for (line, file) in [
        ("book backup copy.book", "copy.book"),
        ("book export ours.json --shop S", "ours.json"),
        ("sheet book --out book.html", "book.html"),
    ] {
        let answer = workshop.under("trap '' XFSZ; ulimit -f 16", line);
        assert!(matches!(answer.code, Some(2 | 3)), "{}", answer.shown());
        assert!(!workshop.path(file).exists());
    }
    still_whole(&workshop);
}

#[test]
fn a_full_disk_is_told_and_leaves_the_book_whole() {
    let workshop = Workshop::new();
    let small = workshop.path("small");
    fs::create_dir(&small).expect("a folder");
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=1500k", "tmpfs"])
        .arg(&small)
        .output()
        .is_ok_and(|output| output.status.success());
    if !mounted {
        println!("skipped: only root can mount a small disk");
        return;
    }
    let _unmounted = Unmount(&small);
    let book = small.join("shop.book");
    let run = |line: &str| Answer::of(workshop.command(line).env("RINGWRIGHT_BOOK", &book));
    assert_eq!(run("demo").code, Some(0));
    workshop.write("long.csv", long_list(20_000));
    let answer = run(&import_line("long.csv", "S"));
    assert_eq!(answer.code, Some(3), "{}", answer.shown());
    assert!(
        answer.err.contains("the disk is full"),
        "{}",
        answer.shown()
    );
    assert_eq!(run("book check").code, Some(0));
    assert!(!run("offer supplier").out.contains(" S "));
    // What ended there has left no room taken: smaller work goes on.
    assert_eq!(run(&LOT.replace("bin B", "bin A")).code, Some(0));
    let full = small.join("filling");
    let _ = fs::write(&full, vec![0; 2_000_000]);
    for line in [LOT, "book backup small/copy.book"] {
        let answer = run(line);
        assert_eq!(answer.code, Some(3), "{}", answer.shown());
        assert!(
            answer.err.contains("the disk is full"),
            "{}",
            answer.shown()
        );
    }
    assert_eq!(run("stock list").code, Some(0));
    fs::remove_file(full).expect("removes");
    assert_eq!(run("book check").code, Some(0));
}

/// Takes a small disk away again, also where the test fails.
struct Unmount<'p>(&'p Path);

impl Drop for Unmount<'_> {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("-l").arg(self.0).output();
    }
}

#[test]
fn a_read_only_book_or_folder_is_told_and_can_be_read() {
    let workshop = furnished();
    if fs::metadata(workshop.book()).expect("facts").uid() == 0 && !drops_rights(&workshop) {
        println!("skipped: root may write everywhere, and there is no way to run as somebody else");
        return;
    }
    let set = |path: &Path, mode| {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).expect("sets rights");
    };
    let before = digest(&workshop.book());
    for (book, folder) in [(0o444, 0o777), (0o666, 0o555), (0o444, 0o555)] {
        set(&workshop.book(), book);
        set(&workshop.path(""), folder);
        let read = unprivileged(&workshop, "model list");
        assert_eq!(read.code, Some(0), "{}", read.shown());
        let check = unprivileged(&workshop, "book check");
        assert_eq!(check.code, Some(0), "{}", check.shown());
        let write = unprivileged(&workshop, LOT);
        assert_eq!(write.code, Some(3), "{}", write.shown());
        assert!(write.err.contains("cannot be"), "{}", write.shown());
        assert_eq!(digest(&workshop.book()), before);
        let out = unprivileged(&workshop, "sheet rings Tarn --out rings.pdf");
        assert_eq!(
            out.code,
            Some(if folder == 0o777 { 0 } else { 2 }),
            "{}",
            out.shown()
        );
    }
    set(&workshop.path(""), 0o777);
    set(&workshop.book(), 0o000);
    let none = unprivileged(&workshop, "model list");
    none.refuses_the_book("cannot be opened");
    set(&workshop.book(), 0o666);
}

/// What makes somebody of a command who owns nothing.
const NOBODY: [&str; 3] = ["--reuid=65534", "--regid=65534", "--clear-groups"];

/// Runs a command as somebody who owns nothing.
fn unprivileged(workshop: &Workshop, line: &str) -> Answer {
    let own = workshop.command(line);
    let mut command = Command::new("setpriv");
    command
        .args(NOBODY)
        .arg(own.get_program())
        .args(own.get_args())
        .current_dir(workshop.path(""))
        .env("RINGWRIGHT_BOOK", workshop.book());
    Answer::of(&mut command)
}

fn drops_rights(workshop: &Workshop) -> bool {
    let everybody = fs::Permissions::from_mode(0o777);
    let _ = fs::set_permissions(workshop.path(""), everybody);
    Command::new("setpriv")
        .args(NOBODY)
        .arg(env!("CARGO_BIN_EXE_ringwright"))
        .arg("--version")
        .output()
        .is_ok_and(|output| output.status.success())
}

#[test]
fn a_missing_folder_is_named_and_not_made() {
    let workshop = Workshop::new();
    let book = workshop.path("no/such/shop.book");
    for line in ["demo", LOT] {
        let answer = Answer::of(workshop.command(line).env("RINGWRIGHT_BOOK", &book));
        answer.refuses_the_book("does not exist");
    }
    let answer = Answer::of(workshop.command("model list").env("RINGWRIGHT_BOOK", &book));
    answer.refuses_the_book("there is no book");
    workshop.done("demo");
    for line in [
        "book backup no/copy.book",
        "book export no/ours.json --shop S",
        "sheet rings Tarn --out no/rings.pdf",
    ] {
        let answer = workshop.run(line);
        assert!(matches!(answer.code, Some(2 | 3)), "{}", answer.shown());
    }
    assert!(!workshop.path("no").exists());
}

#[test]
fn odd_paths_are_paths_and_are_shown_without_harm() {
    let workshop = Workshop::new();
    let names: [&[u8]; 7] = [
        b"with space.book",
        b"line\nbreak.book",
        b"not-utf8-\xff\xfe.book",
        b"esc\x1b[31m.book",
        b"-dash.book",
        b"per%20cent?mode=memory&x.book",
        b"file:shop.book",
    ];
    for name in names {
        let book = OsStr::from_bytes(name);
        let run = |command: &mut Command| Answer::of(command.env("RINGWRIGHT_BOOK", book));
        for line in ["demo", "model list", "book path", "book check"] {
            let answer = run(&mut workshop.command(line));
            assert_eq!(answer.code, Some(0), "{name:?}: {}", answer.shown());
        }
        assert!(workshop.path(book).is_file(), "{name:?}");
        let mut copy = name.to_vec();
        copy.extend(b".copy");
        let copy = OsStr::from_bytes(&copy);
        let answer = run(workshop.command("book backup --").arg(copy));
        assert_eq!(answer.code, Some(0), "{name:?}: {}", answer.shown());
        assert!(workshop.path(copy).is_file());
    }
    // A missing file of such a name is named without steering the terminal.
    for line in [
        "note check",
        "book merge",
        "offer find --from",
        "ring --batch",
    ] {
        workshop.done("book path");
        let gone = OsStr::from_bytes(b"gone\x1b[2J\xff");
        let answer = Answer::of(workshop.command(line).arg(gone));
        assert!(matches!(answer.code, Some(2 | 3)), "{}", answer.shown());
    }
    let answer = Answer::of(
        workshop
            .command("")
            .arg(OsStr::from_bytes(b"\x1b[2Jno \xe2\x80\xae command")),
    );
    assert_eq!(answer.code, Some(2), "{}", answer.shown());
    assert!(answer.out.is_empty(), "{}", answer.shown());
}

/// The process that writes a file of a folder, by the name of its part; `None` where none does.
fn writer_of(workshop: &Workshop, name: &str) -> Option<String> {
    let begin = format!(".{name}.");
    let names = fs::read_dir(workshop.path("")).expect("lists").flatten();
    names
        .filter_map(|entry| entry.file_name().into_string().ok())
        .find_map(|found| {
            let number = found.strip_prefix(&begin)?.strip_suffix(".part")?;
            Some(number.to_owned())
        })
}

#[test]
fn a_request_to_end_waits_for_the_file_and_leaves_no_part_of_it() {
    if Command::new("strace").arg("--version").output().is_err() {
        println!("skipped: the moment is held open by strace, which is not installed");
        return;
    }
    let workshop = furnished();
    let program = workshop.command("sheet book --out book.html");
    // Each sync takes a second, so that the request comes while the part lies there.
    let mut slow = Command::new("strace");
    slow.args("-qq -o /dev/null -e trace=fsync -e inject=fsync:delay_enter=1000000".split(' '))
        .arg(program.get_program())
        .args(program.get_args())
        .current_dir(workshop.path(""))
        .env("RINGWRIGHT_BOOK", workshop.book())
        .stdout(Stdio::null());
    let mut running = slow.spawn().expect("starts");
    let begun = Instant::now();
    let writer = loop {
        if let Some(writer) = writer_of(&workshop, "book.html") {
            break writer;
        }
        assert!(
            begun.elapsed() < Duration::from_secs(120),
            "no part appears"
        );
        std::thread::sleep(Duration::from_millis(2));
    };
    let asked = Command::new("kill").args(["-TERM", &writer]).status();
    assert!(asked.expect("runs").success());
    let ended = running.wait().expect("ends");
    assert!(!ended.success(), "it ends by the signal: {ended}");
    assert_eq!(writer_of(&workshop, "book.html"), None, "no part stays");
    let page = workshop.read("book.html");
    assert!(page.ends_with("</html>\n"), "whole");
}
