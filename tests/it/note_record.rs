//! Recording a teardown: over a pipe, gone on with, killed in the middle, and on a terminal.

use super::program::Workshop;
use ringwright::core::note::read_note;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const HEADER: &str =
    "Fellwater Tarn 2\nFT2-1\n2026-03-14\n\nfirst stage\n\n200 bar\n\n\n\nIMG_0009.jpg\ny\ninlet\n";
const NUT: &str = "n\n\n\n3 threads\n\n\n1 in wrench\n+\n\n";
const SHIM: &str = "h x2\nunder spring\nspring end\n\n\n0.25\n+\nbright one on top\n";

const RECORD: &str = "note record t.note";

#[test]
fn over_a_pipe_a_note_is_written_that_a_person_would_have_written() {
    let shop = Workshop::new();
    let ring = "o\nat filter seat\n\n\n\n16.0 15.9\ncs 1.72 by flat\n\n\n\n+\n\n";
    let output = shop.typed(RECORD, &format!("{HEADER}{NUT}{ring}{SHIM}done\n"));
    assert_eq!(output.code, Some(0));
    let text = shop.read("t.note");
    let reading = read_note(&text);
    assert!(
        reading.diagnostics.is_empty(),
        "{text}{:?}",
        reading.diagnostics
    );
    assert!(
        text.contains("nut ; exposed 3 threads ; keep ; tool 1 in wrench ; photo IMG_0010.jpg\n"),
        "{text}"
    );
    assert!(
        text.contains(
            "shim x2 ; under spring ; side spring end ; keep ; thick 0.25\n  photo IMG_0012.jpg"
        ),
        "{text}"
    );
    assert!(
        text.contains("od 16.0 15.9 mm by caliper\n  cs 1.72 mm by flat"),
        "{text}"
    );
    assert!(text.contains("looks like AS568-014"), "{text}");
    assert!(!text.contains("not finished"), "{text}");
    let prompts = output.err;
    assert!(prompts.contains("CAUTION") && !prompts.contains('\u{1b}'));
    assert!(
        prompts
            .lines()
            .filter(|l| !l.contains(" ; "))
            .all(|l| l.chars().count() <= 80)
    );
}

#[test]
fn a_ring_on_a_scanned_page_is_recorded_by_its_number_there() {
    let shop = Workshop::new();
    let ring = "o\nat cap joint\n\n+\n\n\ncs 1.72 by flat\nscan page.png ring\nscan page.png ring 3\n\n\n\n";
    let output = shop.typed(RECORD, &format!("{HEADER}{NUT}{ring}done\n"));
    assert_eq!(output.code, Some(0));
    let text = shop.read("t.note");
    assert!(
        text.contains("scan page.png ring 3") && text.contains("cs 1.72 mm by flat"),
        "{text}"
    );
    assert!(read_note(&text).is_sound(), "{text}");
    let prompts = output.err;
    assert!(prompts.contains("names no ring of a page"), "{prompts}");
}

#[test]
fn the_end_of_the_input_in_the_middle_of_a_part_loses_no_answer() {
    let shop = Workshop::new();
    let ring = "o\nat filter seat\n\nflattened\n\n16.0\ncs 1.72 by flat\n\n\n\n\n\n";
    let all = format!("{HEADER}{NUT}{ring}{SHIM}");
    let lines: Vec<&str> = all.split_inclusive('\n').collect();
    for at in 2..lines.len() {
        let _ = std::fs::remove_file(shop.path("t.note"));
        let first = shop.typed(RECORD, &lines[..at].concat());
        assert_eq!(first.code, Some(0));
        assert!(
            read_note(&shop.read("t.note")).is_sound(),
            "{at}: {}",
            shop.read("t.note")
        );
        shop.typed(RECORD, &lines[at..].concat());
        let text = shop.read("t.note");
        let reading = read_note(&text);
        assert!(
            reading.is_sound() && reading.note.entries.len() == 3,
            "{at}: {text}"
        );
        assert_eq!(
            reading.note.entries[2].remarks,
            ["bright one on top"],
            "{at}: {text}"
        );
        assert_eq!(reading.note.entries[1].readings.len(), 2, "{at}: {text}");
        assert!(!text.contains("not finished"), "{at}: {text}");
    }
}

#[test]
fn killed_in_the_middle_the_note_is_sound_and_goes_on() {
    let shop = Workshop::new();
    let mut program = shop.command(RECORD);
    let program = program.stdin(Stdio::piped()).stderr(Stdio::piped());
    let mut child = program.stdout(Stdio::null()).spawn().expect("starts");
    let mut stdin = child.stdin.take().expect("a pipe");
    let half = format!("{HEADER}{NUT}h x2\nunder spring\nspring end\n");
    stdin.write_all(half.as_bytes()).expect("written");
    stdin.write_all(b"half a li").expect("written");
    let prompts = BufReader::new(child.stderr.take().expect("a pipe"));
    let reached = prompts
        .lines()
        .map_while(Result::ok)
        .any(|line| line.contains("which face"));
    assert!(reached);
    // `kill` is SIGKILL: nothing of the program runs any more.
    child.kill().expect("killed");
    child.wait().expect("gone");
    drop(stdin);
    let text = shop.read("t.note");
    let reading = read_note(&text);
    assert!(reading.is_sound(), "{text}");
    assert_eq!(reading.note.entries.len(), 2, "{text}");
    assert_eq!(reading.note.entries[1].side.as_deref(), Some("spring end"));
    shop.typed(RECORD, "\n\n0.25\n\n\ndone\n");
    let text = shop.read("t.note");
    assert!(
        text.ends_with("shim x2 ; under spring ; side spring end ; keep ; thick 0.25\n"),
        "{text}"
    );
}

#[test]
fn undo_takes_back_the_last_answer_also_of_an_earlier_sitting_and_redo_gives_it_back() {
    let shop = Workshop::new();
    shop.typed(
        RECORD,
        &format!("{HEADER}{NUT}h x2\nwrong\nundo\nunder spring\ndone\n"),
    );
    let whole = shop.read("t.note");
    assert!(whole.ends_with("shim x2 ; under spring\n"), "{whole}");
    shop.typed(RECORD, "undo\n");
    let text = shop.read("t.note");
    assert!(
        text.ends_with("shim x2\n# not finished, next: position\n"),
        "{text}"
    );
    shop.typed(RECORD, "undo\n");
    assert_eq!(read_note(&shop.read("t.note")).note.entries.len(), 1);
    shop.write("t.note", &whole);
    shop.typed(RECORD, "undo\nundo\nundo\nredo\nredo\nredo\ndone\n");
    assert_eq!(shop.read("t.note"), whole);
}

#[test]
fn a_line_of_the_head_is_written_anew_by_its_key() {
    let shop = Workshop::new();
    let edits =
        "edit unit FT2-8\nedit gas nitrox 32\nedit by A. Lind\nedit by\nedit unit\nedit wrong\n";
    let output = shop.typed(RECORD, &format!("{HEADER}{edits}{NUT}done\n"));
    let text = shop.read("t.note");
    let header = read_note(&text).note.header;
    assert_eq!(header.unit, "FT2-8", "{text}");
    assert_eq!(header.gas.as_deref(), Some("nitrox 32"), "{text}");
    assert_eq!(header.by, None, "{text}");
    let said = output.err;
    assert!(said.contains("Taken: unit FT2-8."), "{said}");
    assert!(said.contains("write what it is to be: edit unit"), "{said}");
    assert!(said.contains("as edit date 2026-03-14"), "{said}");
    // Between the answers it is one of them: it is taken back like any other.
    shop.typed(RECORD, "edit date 2026-01-05\nundo\ndone\n");
    assert_eq!(shop.read("t.note"), text);
}

#[test]
fn a_note_that_is_not_sound_is_shown_and_left_alone() {
    let shop = Workshop::new();
    let faulty = "model Tarn\nunit 1\n[a]\nclip ; odd 3\n";
    shop.write("t.note", faulty);
    assert_eq!(shop.run(RECORD).code, Some(2));
    assert_eq!(shop.read("t.note"), faulty);
}

fn tmux(folder: &Path, words: &[&str]) -> Option<String> {
    let socket = folder.join("socket");
    let output = Command::new("tmux")
        .arg("-S")
        .arg(socket)
        .args(words)
        .output()
        .ok()?;
    Some(String::from_utf8_lossy(&output.stdout).into_owned())
}

fn wait_for(folder: &Path, words: &str) -> String {
    let until = Instant::now() + Duration::from_secs(60);
    loop {
        let shown = tmux(folder, &["capture-pane", "-p"]).unwrap_or_default();
        if shown.trim_end().ends_with('>') && shown.contains(words) || Instant::now() > until {
            return shown;
        }
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// Begins the recording on a terminal of its own.
fn on_terminal(path: &Path) {
    let line = format!(
        "cd {0} && XDG_DATA_HOME={0} {1} note record t.note",
        path.display(),
        env!("CARGO_BIN_EXE_ringwright")
    );
    let size = ["-x", "80", "-y", "50"];
    let start = ["-f", "/dev/null", "new-session", "-d"];
    tmux(path, &[start.as_slice(), &size, &[&line]].concat());
}

/// Types each line once the words before it are asked, and returns what was seen.
fn type_lines(path: &Path, lines: &[(&str, &str)]) -> String {
    let mut seen = String::new();
    for (wait, line) in lines {
        let shown = wait_for(path, wait);
        assert!(shown.contains(wait), "{wait:?} is not asked:\n{shown}");
        seen.push_str(&shown);
        tmux(path, &["send-keys", "-l", line]);
        tmux(path, &["send-keys", "Enter"]);
    }
    seen
}

#[test]
fn wrong_answers_are_told_at_once_and_what_was_recorded_is_taken_back_and_edited() {
    let shop = Workshop::new();
    let path = &shop.path("");
    if tmux(path, &["-V"]).is_none() {
        eprintln!("no tmux here: the terminal is NOT looked at");
        return;
    }
    let header = "model Tarn\nunit 1\ndate 2026-03-14\nlengths mm\n[inlet]\n";
    std::fs::write(path.join("t.note"), header).expect("written");
    on_terminal(path);
    type_lines(
        path,
        &[
            ("What comes off next?", "change 3"),
            ("| change 3", "h x2"),
            ("where did it sit?", "under spring"),
            ("which side", "spring end"),
            ("which face", ""),
            ("r replace", "perhaps"),
            ("| perhaps", "k"),
            ("Taken: keep", "3 furlongs"),
            ("| 3 furlongs", "0.25"),
            ("Taken: thick 0.25", ""),
            ("anything else?", ""),
            ("Saved, part 1", "quit"),
        ],
    );
    std::thread::sleep(Duration::from_millis(500));
    on_terminal(path);
    type_lines(
        path,
        &[
            ("Going on with Tarn 1: 1 part so far.", "undo"),
            ("Taken back: thick 0.25.", "0.30"),
            ("Taken: thick 0.30", "done"),
            ("Saved, part 1", "edit 1"),
            ("[under spring]", ""),
            ("[2]", ""),
            ("[side spring end]", "far end"),
            ("Taken: side far end", "done"),
            ("side far end ; keep", "list"),
            ("1 shim, x2, under spring, keep", "done"),
            ("Store the note in the book?", "y"),
        ],
    );
    let until = Instant::now() + Duration::from_secs(60);
    while !path.join("ringwright/shop.book").exists() && Instant::now() < until {
        std::thread::sleep(Duration::from_millis(50));
    }
    let text = shop.read("t.note");
    assert_eq!(
        text,
        format!("{header}shim x2 ; under spring ; side far end ; keep ; thick 0.30\n")
    );
    assert!(path.join("ringwright/shop.book").exists());
}

#[test]
fn a_groove_is_asked_for_one_length_at_a_time_and_names_the_ring_anew() {
    let shop = Workshop::new();
    let ring = "o\nat piston head\n\n\n\n16.0\ncs 1.72 by flat\n\npiston\n16.0\nround\n13.2\n2.4\n\nmoving\n10 bar\n\n\n\n";
    let output = shop.typed(RECORD, &format!("{HEADER}{ring}done\n"));
    let text = shop.read("t.note");
    let gland = "  gland piston ; bore 16.0 ; groove 13.2 ; width 2.4 ; moving ; pressure 10 bar\n";
    assert!(text.contains(gland), "{text}");
    let said = output.err;
    for words in [
        "BORE: across the hole",
        "GROOVE: across it",
        "Taken: bore 16 mm",
        "before",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let behind = &said[said.find("Taken: pressure 10 bar").expect("said")..];
    assert!(
        behind.contains("With its groove and the other rings of the model"),
        "{behind}"
    );
    assert!(behind.contains("AS568-"), "named anew: {behind}");
}

#[test]
fn the_second_ring_of_a_note_is_weighed_with_the_first() {
    let shop = Workshop::new();
    let ring = |place: &str, od: &str, cs: &str| {
        format!("o\nat {place}\n\n\n\n{od} by scan\ncs {cs} by flat\n\n\n\n\n\n")
    };
    let (first, second) = (
        ring("cap joint", "14.41", "2.61"),
        ring("stem", "12.78", "1.76"),
    );
    let words = "the other rings of the model";
    let said = |rings: &str| {
        let _ = std::fs::remove_file(shop.path("t.note"));
        shop.typed(RECORD, &format!("{HEADER}{rings}done\n")).err
    };
    let alone = said(&first);
    assert!(!alone.contains(words), "{alone}");
    let both = said(&format!("{first}{second}"));
    assert_eq!(both.matches(words).count(), 1, "{both}");
}

#[test]
fn a_place_that_another_unit_names_otherwise_is_joined_where_it_is_one() {
    let shop = Workshop::new();
    let other = "model Fellwater Tarn 2\nunit FT2-9\ndate 2026-03-01\nlengths mm\n[inlet]\no-ring ; at yoke retainer ; replace ; od 16.0 ; cs 1.75\n";
    shop.add_note(other);
    let output = shop.typed(RECORD, &format!("{HEADER}o\nat retainer\ny\ndone\ndone\n"));
    let said = output.err;
    assert!(
        said.contains("Unit FT2-9 has its o-ring at yoke retainer."),
        "{said}"
    );
    assert!(shop.read("t.note").contains("o-ring ; at yoke retainer\n"));
}

#[test]
fn the_parts_list_asks_on_a_terminal_whether_two_names_are_one_place() {
    let shop = Workshop::new();
    let path = &shop.path("");
    if tmux(path, &["-V"]).is_none() {
        return;
    }
    for (unit, place) in [("1", "at retainer"), ("2", "at yoke retainer")] {
        let text = format!(
            "model Gull\nunit {unit}\ndate 2026-03-14\nlengths mm\n[inlet]\no-ring ; {place} ; replace ; od 16 ; cs 1.75\n"
        );
        assert_eq!(shop.add_note(&text).code, Some(0));
    }
    let line = format!(
        "cd {} && {} parts Gull --book shop.book ; echo 'and then >' ; sleep 60",
        path.display(),
        env!("CARGO_BIN_EXE_ringwright")
    );
    let size = ["-x", "80", "-y", "50"];
    let begin = ["-f", "/dev/null", "new-session", "-d"];
    tmux(path, &[begin.as_slice(), &size, &[&line]].concat());
    type_lines(path, &[("one place? y joins them", "y")]);
    let shown = wait_for(path, "and then");
    assert!(shown.contains("o-ring at yoke retainer"), "{shown}");
    assert!(!shown.contains("may be one place"), "{shown}");
    tmux(path, &["kill-server"]);
}

#[test]
fn on_a_terminal_a_kill_loses_only_the_line_being_typed() {
    let shop = Workshop::new();
    let path = &shop.path("");
    if tmux(path, &["-V"]).is_none() {
        eprintln!("no tmux here: the terminal is NOT looked at");
        return;
    }
    std::fs::write(
        path.join("t.note"),
        "model Tarn\nunit 1\ndate 2026-03-14\nlengths mm\n[inlet]\n",
    )
    .expect("written");
    on_terminal(path);
    assert!(wait_for(path, "What comes off next?").contains("Tarn"));
    tmux(path, &["send-keys", "h x2", "Enter"]);
    wait_for(path, "where did it sit");
    tmux(path, &["send-keys", "under spring", "Enter"]);
    wait_for(path, "which side");
    tmux(path, &["send-keys", "spring end", "Enter"]);
    wait_for(path, "which face");
    tmux(path, &["send-keys", "half a li"]);
    // Ends the server of this socket alone, and with it the terminal under the program.
    tmux(path, &["kill-server"]);
    let text = shop.read("t.note");
    let reading = read_note(&text);
    assert!(reading.is_sound() && !text.contains("half"), "{text}");
    assert_eq!(reading.note.entries[0].side.as_deref(), Some("spring end"));
}
