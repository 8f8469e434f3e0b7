"""Holds the dialogue of `ring` in a real terminal of 80 columns and 24 lines, kept by tmux (a general terminal program).

Checked against what the terminal shows: the dialogue begins without --ask because it sees a terminal, a prompt waits for
each line, no line runs past 80 columns, a mistyped reading is marked and taken back, nothing is drawn over (no full-screen
mode), and the end of the input (Ctrl-D) ends with a part that the note language takes as it stands on the screen.
Where tmux is missing the check says so and is passed over.
"""

import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

COLUMNS, LINES = 80, 24
SESSION = "bench"
PATIENCE_SECONDS = 30


class Terminal:
    """A terminal of its own: a tmux server on a socket in a folder of its own, so that no other server is touched."""

    def __init__(self, folder):
        self.socket = str(Path(folder) / "socket")
        self.folder = folder

    def tmux(self, *words):
        command = ["tmux", "-S", self.socket, "-f", "/dev/null", *words]
        return subprocess.run(command, check=True, capture_output=True, text=True).stdout

    def start(self, command):
        environment = ["-e", f"XDG_DATA_HOME={self.folder}"]
        size = ["-x", str(COLUMNS), "-y", str(LINES)]
        self.tmux("new-session", "-d", "-s", SESSION, *size, *environment, command)

    def screen(self):
        """Everything shown so far, each screen line on its own."""
        return self.tmux("capture-pane", "-p", "-S", "-", "-t", SESSION).rstrip("\n").split("\n")

    def wait_for(self, wanted):
        deadline = time.monotonic() + PATIENCE_SECONDS
        while time.monotonic() < deadline:
            lines = self.screen()
            if wanted(lines):
                return lines
            time.sleep(0.05)
        raise AssertionError("the terminal never showed it:\n" + "\n".join(self.screen()))

    def type(self, line):
        before = sum(text.startswith(">") for text in self.screen())
        self.tmux("send-keys", "-t", SESSION, "-l", line)
        self.tmux("send-keys", "-t", SESSION, "Enter")
        return self.wait_for(
            lambda lines: sum(text.startswith(">") for text in lines) > before
            and lines[-1].strip() == ">"
        )

    def end(self):
        subprocess.run(["tmux", "-S", self.socket, "kill-server"], capture_output=True)


def note_part(lines):
    start = max(at for at, text in enumerate(lines) if text.startswith("For the teardown note"))
    part = []
    for text in lines[start + 1 :]:
        if not text.strip() or text.startswith("ended"):
            break
        part.append(text)
    return part


def check_note(program, part, folder):
    note = Path(folder) / "pasted.note"
    head = "model Tarn\nunit 1\ndate 2026-03-14\nlengths mm\n[cap]\n"
    note.write_text(head + "\n".join(part) + "\n", encoding="utf-8")
    check = subprocess.run([program, "note", "check", str(note)], capture_output=True, text=True)
    assert check.returncode == 0, check.stderr
    assert "od 12.80 12.85 mm by caliper" in check.stdout.replace("\n", " "), check.stdout


def hold(terminal, program, folder):
    terminal.start(f"'{program}' ring; echo ended $?; exec sleep 600")
    terminal.wait_for(lambda lines: lines[-1].strip() == ">")
    lines = terminal.type("od 12.80 12.85 mm by caliper")
    assert any("AS568-012" in text for text in lines), lines
    lines = terminal.type("cs 17.4 mm by flat")
    lines = terminal.type("undo")
    assert any(text.startswith("Taken back: section 17.4 mm") for text in lines), lines
    lines = terminal.type("cs 1.74 furlong")
    assert any(text.strip() == "|         ^^^^^^^" for text in lines), lines
    lines = terminal.type("cs 1.74 mm by flat")
    assert any(text.startswith("What changed: ") for text in lines), lines
    assert any(text.startswith("Another reading") or "can stop" in text for text in lines)
    terminal.tmux("send-keys", "-t", SESSION, "C-d")
    lines = terminal.wait_for(lambda lines: any(text.startswith("ended ") for text in lines))
    assert "ended 0" in lines, lines
    # A line that fills the terminal could have been broken by it: none may reach past the last column.
    assert max(len(text) for text in lines) <= COLUMNS
    assert lines[0].startswith("Naming a used ring"), "something was drawn over the beginning"
    part = note_part(lines)
    check_note(program, part, folder)
    return part


def main():
    if shutil.which("tmux") is None:
        print("bench dialogue: NOT checked in a terminal, because tmux is missing (apt-get install tmux)")
        return 0
    program = os.environ["RINGWRIGHT"]
    with tempfile.TemporaryDirectory() as folder:
        terminal = Terminal(folder)
        try:
            part = hold(terminal, program, folder)
        finally:
            terminal.end()
    print("bench dialogue: held in a terminal of 80 columns; pasted into a note:")
    print("\n".join(part))
    return 0


if __name__ == "__main__":
    sys.exit(main())
