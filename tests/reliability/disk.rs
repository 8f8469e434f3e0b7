//! Full disks, read-only places, missing folders and odd paths.

use crate::workshop::{Answer, Workshop, digest, furnish, import_words};
use std::ffi::OsStr;
use std::fs;
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::path::Path;
use std::process::Command;

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
    let check = workshop.run(&["book", "check"]);
    assert_eq!(check.code, Some(0), "{}", check.shown());
    assert!(workshop.done(&["model", "list"]).out.contains("Tarn 2"));
    let suppliers = workshop.done(&["offer", "supplier"]).out;
    assert!(!suppliers.contains(" S "), "half a list: {suppliers}");
}

#[test]
fn a_limit_on_the_size_of_files_is_told_and_leaves_the_book_whole() {
    let workshop = Workshop::new();
    furnish(&workshop);
    workshop.write("long.csv", long_list(20_000));
    // In blocks of 512 bytes: 1 MiB. The signal of the limit is ignored, as a shell that sets quotas does.
    let answer = workshop.under(
        "trap '' XFSZ; ulimit -f 2048",
        &import_words("long.csv", "S"),
    );
    assert_eq!(answer.code, Some(3), "{}", answer.shown());
    assert!(
        answer.err.contains("the book is as it was"),
        "{}",
        answer.shown()
    );
    still_whole(&workshop);
    for words in [
        ["book", "backup", "copy.book"],
        ["book", "export", "ours.json"],
        ["sheet", "book", "--out"],
    ] {
        let mut words = words.to_vec();
        if words[0] == "sheet" {
            words.push("book.html");
        }
        if words[1] == "export" {
            words.extend(["--shop", "S"]);
        }
        let answer = workshop.under("trap '' XFSZ; ulimit -f 16", &words);
        assert!(matches!(answer.code, Some(2 | 3)), "{}", answer.shown());
        assert!(
            !workshop
                .path(words.iter().find(|w| w.contains('.')).expect("a file"))
                .exists()
        );
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
    let run = |words: &[&str]| Answer::of(workshop.command(words).env("RINGWRIGHT_BOOK", &book));
    assert_eq!(run(&["demo"]).code, Some(0));
    workshop.write("long.csv", long_list(20_000));
    let answer = run(&import_words("long.csv", "S"));
    assert_eq!(answer.code, Some(3), "{}", answer.shown());
    assert!(
        answer.err.contains("the disk is full"),
        "{}",
        answer.shown()
    );
    assert_eq!(run(&["book", "check"]).code, Some(0));
    assert!(!run(&["offer", "supplier"]).out.contains(" S "));
    // What ended there has left no room taken: smaller work goes on.
    assert_eq!(
        run(&["stock", "add", "AS568-012", "--bin", "A", "--quantity", "1"]).code,
        Some(0)
    );
    let full = small.join("filling");
    let _ = fs::write(&full, vec![0; 2_000_000]);
    for words in [
        &["stock", "add", "AS568-012", "--bin", "B", "--quantity", "1"][..],
        &["book", "backup", "small/copy.book"],
    ] {
        let answer = run(words);
        assert_eq!(answer.code, Some(3), "{}", answer.shown());
        assert!(
            answer.err.contains("the disk is full"),
            "{}",
            answer.shown()
        );
    }
    assert_eq!(run(&["stock", "list"]).code, Some(0));
    fs::remove_file(full).expect("removes");
    assert_eq!(run(&["book", "check"]).code, Some(0));
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
    let workshop = Workshop::new();
    furnish(&workshop);
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
        let read = unprivileged(&workshop, &["model", "list"]);
        assert_eq!(read.code, Some(0), "{}", read.shown());
        let check = unprivileged(&workshop, &["book", "check"]);
        assert_eq!(check.code, Some(0), "{}", check.shown());
        let write = unprivileged(
            &workshop,
            &["stock", "add", "AS568-012", "--bin", "B", "--quantity", "1"],
        );
        assert_eq!(write.code, Some(3), "{}", write.shown());
        assert!(write.err.contains("cannot be"), "{}", write.shown());
        assert_eq!(digest(&workshop.book()), before);
        let out = unprivileged(&workshop, &["sheet", "rings", "Tarn", "--out", "rings.pdf"]);
        assert_eq!(
            out.code,
            Some(if folder == 0o777 { 0 } else { 2 }),
            "{}",
            out.shown()
        );
    }
    set(&workshop.path(""), 0o777);
    set(&workshop.book(), 0o000);
    let none = unprivileged(&workshop, &["model", "list"]);
    none.refuses_the_book("cannot be opened");
    set(&workshop.book(), 0o666);
}

/// Runs a command as somebody who owns nothing.
fn unprivileged(workshop: &Workshop, words: &[&str]) -> Answer {
    let own = workshop.command(words);
    let mut command = Command::new("setpriv");
    command
        .args(["--reuid=65534", "--regid=65534", "--clear-groups"])
        .arg(own.get_program())
        .args(words)
        .current_dir(workshop.path(""))
        .env("RINGWRIGHT_BOOK", workshop.book());
    Answer::of(&mut command)
}

fn drops_rights(workshop: &Workshop) -> bool {
    let everybody = fs::Permissions::from_mode(0o777);
    let _ = fs::set_permissions(workshop.path(""), everybody);
    Command::new("setpriv")
        .args(["--reuid=65534", "--regid=65534", "--clear-groups"])
        .arg(env!("CARGO_BIN_EXE_ringwright"))
        .arg("--version")
        .output()
        .is_ok_and(|output| output.status.success())
}

#[test]
fn a_missing_folder_is_named_and_not_made() {
    let workshop = Workshop::new();
    let book = workshop.path("no/such/shop.book");
    for words in [
        &["demo"][..],
        &["stock", "add", "AS568-012", "--bin", "A", "--quantity", "1"],
    ] {
        let answer = Answer::of(workshop.command(words).env("RINGWRIGHT_BOOK", &book));
        answer.refuses_the_book("does not exist");
    }
    let answer = Answer::of(
        workshop
            .command(&["model", "list"])
            .env("RINGWRIGHT_BOOK", &book),
    );
    answer.refuses_the_book("there is no book");
    workshop.done(&["demo"]);
    for words in [
        &["book", "backup", "no/copy.book"][..],
        &["book", "export", "no/ours.json", "--shop", "S"],
        &["sheet", "rings", "Tarn", "--out", "no/rings.pdf"],
    ] {
        let answer = workshop.run(words);
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
        let run = |words: &[&str]| Answer::of(workshop.command(words).env("RINGWRIGHT_BOOK", book));
        for words in [
            &["demo"][..],
            &["model", "list"],
            &["book", "path"],
            &["book", "check"],
        ] {
            let answer = run(words);
            assert_eq!(answer.code, Some(0), "{name:?}: {}", answer.shown());
        }
        assert!(workshop.path(book).is_file(), "{name:?}");
        let mut copy = name.to_vec();
        copy.extend(b".copy");
        let mut words: Vec<&OsStr> = ["book", "backup", "--"].iter().map(OsStr::new).collect();
        words.push(OsStr::from_bytes(&copy));
        let answer = Answer::of(workshop.command(&words).env("RINGWRIGHT_BOOK", book));
        assert_eq!(answer.code, Some(0), "{name:?}: {}", answer.shown());
        assert!(workshop.path(OsStr::from_bytes(&copy)).is_file());
    }
    // A missing file of such a name is named without steering the terminal.
    for words in [
        ["note", "check"],
        ["book", "merge"],
        ["offer", "find"],
        ["ring", "--batch"],
    ] {
        let mut words: Vec<&OsStr> = words.iter().map(OsStr::new).collect();
        if words[1] == "find" {
            words.push(OsStr::new("--from"));
        }
        words.push(OsStr::from_bytes(b"gone\x1b[2J\xff"));
        workshop.done(&["book", "path"]);
        let answer = workshop.run(&words);
        assert!(matches!(answer.code, Some(2 | 3)), "{}", answer.shown());
    }
    let answer = workshop.run(&[OsStr::from_bytes(b"\x1b[2Jno \xe2\x80\xae command")]);
    assert_eq!(answer.code, Some(2), "{}", answer.shown());
}
