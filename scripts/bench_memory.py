"""Measures the greatest memory of whole commands, each beside the bytes it cannot do without.

Usage: python3 scripts/bench_memory.py PROGRAM. The figure is the kernel's: the most pages that were resident in the process
at one time, in MiB. The first row is the floor below which this way of measuring sees nothing.
"""

import os
import random
import subprocess
import sys
import tempfile
from pathlib import Path

from bench_figures import Figures
from bench_inputs import note, offers, rings

SEED = 20261125


# A process inherits the greatest memory of the one that started it, so a small one does: this script grows too large for that.
STARTER = """
import os, sys
_, status, used = os.wait4(os.posix_spawn(sys.argv[1], sys.argv[1:], os.environ), 0)
code = os.waitstatus_to_exitcode(status)
print(used.ru_maxrss, file=sys.stderr)
sys.exit(code if code in (0, 1) else 70)
"""


def peak(command):
    """Runs a command to its end and gives its greatest resident memory in MiB."""
    done = subprocess.run([sys.executable, "-S", "-E", "-c", STARTER, *command], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    if done.returncode not in (0, 1):
        sys.exit(f"{command}: {done.stderr}")
    return int(done.stderr.split()[-1]) / 1024


def commands(program, folder):
    """Gives each command with its name, the file whose bytes it must take in or hold, and the words for that bound."""
    rng = random.Random(SEED)

    def written(name, text):
        path = folder / name
        path.write_text(text)
        return str(path)

    many, book = 200_000, str(folder / "many.book")
    batch = written("rings.csv", rings(100_000, rng))
    table = written("offers.csv", offers(many, rng))
    parts = written("growth.note", note(500))
    yield "/bin/true", ["/bin/true"], None, "the process that starts the others"
    yield "--version", [program, "--version"], None, "the program's own pages"
    yield "ring", [program, "ring", "--od", "12.80 mm by caliper", "--cs", "1.72 mm by caliper"], None, "the listed rings"
    yield "ring --batch, 100,000 rings", [program, "ring", "--batch", batch, "--threads", "1"], batch, "rows may pass one by one"
    gland = ["--bore", "25.40+0.05/-0 mm", "--groove", "22.40±0.02 mm", "--width", "2.4 mm", "--ring", "21.95x1.78 mm"]
    yield "gland check, 1,000,000 samples", [program, "gland", "check", "--kind", "piston", *gland, "--samples", "1000000"], None, (
        "constant: moments are summed")
    yield f"offer import, {many:,} rows", [program, "--book", book, "offer", "import", table, "--supplier", "Bench", "--currency", "EUR",
                                           "--tax", "excluded", "--date", "2026-03-01"], table, "the page cache of the book; the file is streamed"
    yield "note add, 500 parts", [program, "--book", book, "note", "add", parts], parts, "the note and its rings"
    yield "parts, 500 lines", [program, "--book", book, "parts", "Growth"], parts, "the list"
    yield "sheet parts, 500 lines (PDF)", [program, "--book", book, "sheet", "parts", "Growth", "--for", "owner", "--out", str(folder / "m.pdf")], (
        parts), "the pages, which are laid out before the first is written"
    out = str(folder / "many.json")
    yield f"book export, {many:,} offers", [program, "--book", book, "book", "export", out, "--shop", "S"], book, "items may pass one by one"
    yield "book merge of that", [program, "--book", str(folder / "other.book"), "book", "merge", out], out, "the form is held whole"
    yield "book check", [program, "--book", book, "book", "check"], book, "the page cache of the book"
    yield "book backup", [program, "--book", book, "book", "backup", str(folder / "copy.book")], book, "pages may pass one by one"


def main():
    program = str(Path(sys.argv[1]).resolve())
    figures = Figures("memory")
    print("greatest resident memory of whole commands")
    with tempfile.TemporaryDirectory() as scratch:
        for name, command, file, bound in commands(program, Path(scratch)):
            most = peak(command)
            held = os.path.getsize(file) / 2**20 if file and os.path.exists(file) else None
            figures.add(name, most, "MiB", bound=bound, bound_value=held)
            print(f"  {name:<34}{most:>8.1f} MiB" + (f"   of {held:.1f} MiB in the file" if held else ""), flush=True)
    figures.write()


main()
