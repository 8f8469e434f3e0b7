"""Measures how time grows with the work: each task at 1, 10 and 100 times, whole processes, the least of three runs; then a large
book: commands that need every parts list, at first and when the lists are kept, and how long a write waits beside them.

Usage: python3 scripts/bench_growth.py PROGRAM [tasks|lists]. The exponent is that of the work above the start of the program:
log10 of the ratio of (time less the time of `--version`) from 10 to 100 times; 1 is proportional, 2 quadratic. Beside each
stands what bounds it from below.
"""

import itertools
import json
import math
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from bench_figures import Figures
from bench_inputs import note, offers, rings, yard

STEPS = (1, 10, 100)
RUNS = 3
MODELS, UNITS, RINGS = 300, 3, 6
MANY_UNITS = 40


def timed(command):
    """The time of one run."""
    begun = time.perf_counter()
    done = subprocess.run(command, capture_output=True)
    took = time.perf_counter() - begun
    if done.returncode not in (0, 1):
        sys.exit(f"{command}: {done.stderr.decode()}")
    return took


def least(command, fresh=()):
    """The least time of several runs; files named in `fresh` are taken away before each."""
    times = []
    for _ in range(RUNS):
        for file in fresh:
            Path(file).unlink(missing_ok=True)
        times.append(timed(command))
    return min(times)


def tasks(program, folder):
    rng = random.Random(20261125)
    gland = ["gland", "check", "--kind", "piston", "--bore", "25.40+0.05/-0 mm", "--groove", "22.40±0.02 mm", "--width", "2.4 mm",
             "--ring", "21.95x1.78 mm"]

    def written(name, text):
        path = folder / name
        path.write_text(text)
        return str(path)

    def book(step, name):
        return str(folder / f"{name}-{step}.book")

    def noted(step):
        place = book(step, "noted")
        if not Path(place).exists():
            file = written(f"n{step}.note", note(5 * step))
            subprocess.run([program, "note", "add", file, "--book", place], check=True, capture_output=True)
        return place

    def united(step):
        place = book(step, "united")
        if not Path(place).exists():
            files = [written(f"u{unit}.note", note(5, unit=unit)) for unit in range(6 * step)]
            subprocess.run([program, "note", "add", *files, "--book", place], check=True, capture_output=True)
        return place

    yield "note check, 20 parts", "each ring is named: the work of `ring`", lambda s: ([program, "note", "check", written(f"c{s}.note", note(20 * s))], ())
    yield "ring --batch, 100 rings", "each ring weighed against every listed one", lambda s: (
        [program, "ring", "--batch", written(f"r{s}.csv", rings(100 * s, rng)), "--threads", "1"], ())
    yield "gland check, 10,000 samples", "samples drawn at memory speed", lambda s: ([program, *gland, "--samples", str(10_000 * s)], ())
    yield "offer import, 1,000 rows", "sqlite3 .import with the same indexes", lambda s: (
        [program, "offer", "import", written(f"o{s}.csv", offers(1000 * s, rng)), "--supplier", "S", "--currency", "EUR", "--tax", "excluded",
         "--date", "2026-03-01", "--book", book(s, "offers")], (book(s, "offers"),))
    # What is kept beside the book would hide how the computing grows.
    yield "parts, 5 lines", "each line's rings weighed together", lambda s: (
        [program, "parts", "Growth", "--book", noted(s)], (noted(s) + ".lists",))
    yield "parts, 5 lines of 6 units", "the rings of all units weighed together", lambda s: (
        [program, "parts", "Growth", "--book", united(s)], (united(s) + ".lists",))
    yield "sheet parts, 5 lines", "the parts list, then bytes of the pages", lambda s: (
        [program, "sheet", "parts", "Growth", "--for", "owner", "--book", noted(s), "--out", str(folder / "p.pdf")], (noted(s) + ".lists",))
    yield "book export, 5 parts", "bytes of the book at memory speed", lambda s: (
        [program, "book", "export", str(folder / f"e{s}.json"), "--shop", "S", "--book", noted(s)], (str(folder / f"e{s}.json"),))


def supplied(program, folder, name, minimums):
    """The demo's book with one more supplier for each minimum."""
    rng = random.Random(20261128)
    place, file = str(folder / f"{name}.book"), folder / "yard.csv"
    call = lambda *words: subprocess.run([program, *words, "--book", place], check=True, capture_output=True)
    call("demo")
    for at, minimum in enumerate(minimums):
        file.write_text(yard(rng))
        call("offer", "import", str(file), "--supplier", f"Yard {at}", "--currency", "USD", "--tax", "excluded", "--date", "2026-03-01")
        call("offer", "supplier", f"Yard {at}", "--carriage", f"{rng.uniform(2, 6):.2f} USD", "--minimum", f"{minimum} USD")
    return place


def ordered(program, place, each):
    """The order of so many of each of the demo's models, and how long it took, in seconds."""
    models = [f"{model}={each}" for model in ("Tarn", "Tarn 2", "Beck")]
    begun = time.perf_counter()
    done = subprocess.run([program, "order", *models, "--book", place, "--format", "json"], check=True, capture_output=True)
    return json.loads(done.stdout), time.perf_counter() - begun


def orders(program, folder, figures):
    """Whether more suppliers make an order dearer, and how long a large one takes."""
    money = lambda report, key: report[key]["minor"] / 100
    few, _ = ordered(program, supplied(program, folder, "few", ()), 1)
    many, took = ordered(program, supplied(program, folder, "many", [8 + at % 5 * 7 for at in range(26)]), 1)
    print(f"order, 29 suppliers: {money(many, 'total'):.2f} against {money(few, 'total'):.2f} with 3; no order below {money(many, 'bound'):.2f}; {took:.2f} s")
    figures.add("order, 29 suppliers in place of 3", money(many, "total"), "USD", bound="its proved bound", bound_value=money(many, "bound"),
                peer="the order with 3 suppliers", peer_value=money(few, "total"), goal="at most the peer")
    large, took = ordered(program, supplied(program, folder, "large", [20 + 15 * at for at in range(10)]), 50)
    print(f"order, 10 minimums, 50 of each model: {took:.2f} s; {money(large, 'total'):.2f}, no order below {money(large, 'bound'):.2f}")
    figures.add("order, 10 minimums, 50 of each model", took, "s", bound="nothing: the time is a budget", goal="at most 5")
    figures.add("order, 10 minimums, 50 of each model, total", money(large, "total"), "USD", bound="its proved bound",
                bound_value=money(large, "bound"))


def filled(program, folder, name, models, units):
    """A book of models that were each taken apart several times."""
    place = str(folder / f"{name}.book")
    files = []
    for model in range(models):
        for unit in range(units):
            file = folder / f"{name}-{model}-{unit}.note"
            file.write_text(note(RINGS, f"Growth {model}", unit))
            files.append(str(file))
    subprocess.run([program, "note", "add", *files, "--book", place], check=True, capture_output=True)
    return place


def measure_lists(program, folder, figures):
    """The commands that need every list: without kept ones, and the least of three runs with them."""
    place = filled(program, folder, "wide", MODELS, UNITS)
    print(f"\n{MODELS} models of {UNITS} units, {RINGS} rings each")
    for name, words in (("uses", ["uses", "AS568-012"]), ("offer find", ["offer", "find", "AS568-012"])):
        Path(place + ".lists").unlink(missing_ok=True)
        command = [program, *words, "--book", place]
        first, after = timed(command), least(command)
        print(f"{name:<30}{first:>8.2f} s at first {after * 1000:>8.1f} ms after")
        figures.add(f"{name}, {MODELS} models, at first", first * 1000, "ms", bound="every list computed")
        figures.add(f"{name}, {MODELS} models, after", after * 1000, "ms", bound="the notes read and the kept lists with them", goal="at most 300")
    print(f"kept beside the book: {Path(place + '.lists').stat().st_size / 1e6:.1f} MB, book {Path(place).stat().st_size / 1e6:.1f} MB")


def measure_waits(program, folder, figures):
    """How long a write takes while a command computes: tried again and again until the command ends, the longest."""
    place = filled(program, folder, "deep", 1, MANY_UNITS)
    bins = itertools.count()

    def add():
        """The time of one write, into a bin of its own."""
        lot = ["--polymer", "NBR", "--hardness", "70A", "--bin", f"A{next(bins)}", "--quantity", "1"]
        return timed([program, "stock", "add", "AS568-012", *lot, "--book", place])

    alone = min(add() for _ in range(RUNS))
    print(f"\n`stock add` beside a command that computes {MANY_UNITS} units of a model; alone {alone * 1000:.1f} ms")
    page = str(folder / "deep.html")
    for name, words in (("uses", ["uses", "AS568-012"]), ("offer find", ["offer", "find", "AS568-012"]), ("sheet book", ["sheet", "book", "--out", page])):
        Path(place + ".lists").unlink(missing_ok=True)
        reading = subprocess.Popen([program, *words, "--book", place], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        begun, longest, tries = time.perf_counter(), 0.0, 0
        while reading.poll() is None:
            longest, tries = max(longest, add()), tries + 1
        took = time.perf_counter() - begun
        print(f"{name:<30}{took:>8.2f} s, beside it {tries} writes, the longest {longest * 1000:>8.1f} ms")
        figures.add(f"stock add beside {name}", longest * 1000, "ms", bound="the write alone", bound_value=alone * 1000, goal="at most 300")


def measure_tasks(program, folder, figures):
    start = least([program, "--version"])
    print(f"start of the program: {start * 1000:.1f} ms; the least of {RUNS} runs")
    print(f"{'task':<30}{'1x':>11}{'10x':>11}{'100x':>11}  exponent  bounded by")
    for name, bound, command in tasks(program, folder):
        times = [least(*command(step)) for step in STEPS]
        above = [max(took - start, 1e-5) for took in times]
        exponent = math.log10(above[2] / above[1])
        for step, took in zip(STEPS, times):
            figures.add(f"{name}, {step} times", took * 1000, "ms", bound=bound, bound_value=start * 1000 if step == 1 else None)
        figures.add(f"{name}, exponent", exponent, "", bound="1, where every part of the work is looked at once", goal="at most 1.3")
        print(f"{name:<30}" + "".join(f"{took * 1000:>8.1f} ms" for took in times) + f"  {exponent:>8.2f}  {bound}", flush=True)


def main():
    program = str(Path(sys.argv[1]).resolve())
    parts = sys.argv[2:] or ["tasks", "lists", "orders"]
    figures = Figures("growth")
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        if "tasks" in parts:
            measure_tasks(program, folder, figures)
        if "lists" in parts:
            measure_lists(program, folder, figures)
            measure_waits(program, folder, figures)
        if "orders" in parts:
            orders(program, folder, figures)
    figures.write()


main()
