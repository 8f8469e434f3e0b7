"""Measures price lists at a million rows: import against the sqlite3 command line, search, recall, and a kill half-way.

Usage: python3 scripts/bench_offers.py PROGRAM [ROWS]. Needs sqlite3; with rapidfuzz (PyPI) the recall and speed of the
search for mistyped numbers are compared with a full scan by that library.

The peer is the sqlite3 command line in the same run: `.import` of the same file, then the same indexes (the number, the
cells of both dimensions, the groups of three letters of number and description). It does not read descriptions, prices or
packs; the program does all that. The list is invented; half of its rows are rings written in five styles.
"""

import csv
import io
import os
import random
import resource
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from bench_figures import Figures, reading_time

SEED = 20261125
QUERIES = 201
HEAD = ["part no", "description", "pack", "price", "id_nm", "section_nm"]


def rows(count, rng):
    """Gives invented rows; the last two columns serve the peer, which reads no descriptions."""
    materials = ["NBR", "FKM", "EPDM", "BUNA-N", "SILICONE", "HNBR"]
    others = ["FILTER DISC", "CIRCLIP", "WASHER", "SPRING", "SEAT", "HOSE"]
    for number in range(count):
        prefix = "".join(rng.choices("ABCDEFGHJKLMNPRSTUVWXYZ", k=2))
        part = f"{prefix}-{rng.randrange(100000):05d}-{number % 10}"
        hard, pack = rng.choice([70, 75, 80, 90]), rng.choice([1, 10, 25, 100])
        ident, section = round(rng.uniform(2, 120), 2), round(rng.uniform(1, 5.3), 2)
        if rng.random() < 0.5:
            material = rng.choice(materials)
            text = rng.choice(
                [
                    f"O-RING {ident}x{section} {material} {hard}",
                    f"O-Ring {ident} x {section} mm {material} {hard}D",
                    f"ORING ID {ident} CS {section} MM {material}",
                ]
            )
            yield [part, text, pack, f"{rng.uniform(0.1, 40):.2f}", int(ident * 1e6), int(section * 1e6)]
        else:
            text = f"{rng.choice(others)} {ident} x {section} mm {rng.choice(['steel', 'bronze', 'plastic'])}"
            yield [part, text, pack, f"{rng.uniform(0.1, 40):.2f}", "", ""]


def timed(command, **more):
    begun = time.perf_counter()
    done = subprocess.run(command, check=True, capture_output=True, text=True, **more)
    return time.perf_counter() - begun, done.stdout


def peak_kib():
    return resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss


def importing(program, table, book):
    return [program, "--book", str(book), "offer", "import", str(table), "--supplier", "Bench", "--currency", "EUR",
            "--tax", "excluded", "--date", "2026-03-01", "--mapping", "number=1,description=2,pack=3,price=4"]


def peer_import(table, folder):
    base = folder / "peer.db"
    script = f"""
CREATE TABLE offer (number TEXT, description TEXT, pack INTEGER, price TEXT, id_nm INTEGER, section_nm INTEGER);
.import --csv --skip 1 {table} offer
CREATE INDEX offer_key ON offer (number);
CREATE INDEX offer_window ON offer (section_nm / 100000, id_nm) WHERE id_nm IS NOT NULL;
CREATE VIRTUAL TABLE offer_text USING fts5 (number, description, content = 'offer', tokenize = 'trigram', detail = 'none', columnsize = 0);
INSERT INTO offer_text (offer_text) VALUES ('rebuild');
"""
    took, _ = timed(["sqlite3", str(base)], input=script)
    return took, base.stat().st_size


def find_all(program, book, queries, folder):
    file = folder / "queries.txt"
    file.write_text("\n".join(queries) + "\n")
    _, out = timed([program, "--book", str(book), "offer", "find", "--from", str(file), "--top", "50"])
    times, found = {}, {}
    for row in csv.DictReader(io.StringIO(out)):
        times.setdefault(row["asked"], int(row["microseconds"]))
        found.setdefault(row["asked"], []).append(row["number"])
    return times, found


def window_times(program, book, windows, folder):
    file = folder / "windows.txt"
    file.write_text("\n".join(windows) + "\n")
    _, out = timed([program, "--book", str(book), "offer", "find", "--from", str(file), "--top", "50"])
    times, last = [], None
    for row in csv.DictReader(io.StringIO(out)):
        if row["rank"] in ("0", "1"):
            times.append(int(row["microseconds"]))
    return times


def show(figures, name, micros, goal):
    micros = sorted(micros)
    median = statistics.median(micros) / 1000
    p95 = micros[int(0.95 * (len(micros) - 1))] / 1000
    print(f"  {name:<34} median {median:8.3f} ms   p95 {p95:8.3f} ms   (goal < {goal} ms, {len(micros)} queries)")
    figures.add(name, median, "ms", bound="one page of an index from memory", goal=f"below {goal}")


def mistyped(key, errors, rng):
    letters = list(key)
    for _ in range(errors):
        at = rng.randrange(len(letters) - 1)
        kind = rng.randrange(4)
        if kind == 0:
            letters[at] = rng.choice("ABCDEFGH0123456789")
        elif kind == 1:
            del letters[at]
        elif kind == 2:
            letters.insert(at, rng.choice("ABCDEFGH0123456789"))
        else:
            letters[at], letters[at + 1] = letters[at + 1], letters[at]
    return "".join(letters)


def recall(figures, queries, found, times, keys):
    try:
        from rapidfuzz import process
        from rapidfuzz.distance import OSA
    except ImportError:
        print("  rapidfuzz is not installed, so that recall was not compared")
        return
    held = best = 0
    scans = []
    for query in queries:
        begun = time.perf_counter()
        hits = process.extract(query, keys, scorer=OSA.distance, score_cutoff=2, limit=50)
        scans.append(time.perf_counter() - begun)
        ours = {number.replace("-", "") for number in found.get(query, [])}
        nearest = min((distance for _, distance, _ in hits), default=None)
        for key, distance, _ in hits:
            if distance == nearest:
                best += 1
                held += key in ours
    mine = statistics.median(times[q] for q in queries) / 1e6
    ratio = statistics.median(scans) / mine
    figures.add("typing errors", mine * 1000, "ms", peer="rapidfuzz, full scan", peer_value=statistics.median(scans) * 1000,
                bound="the numbers from memory")
    print(f"  recall of rapidfuzz's best hits: {held} of {best} ({100 * held / max(best, 1):.2f} %); "
          f"its full scan (keys in memory) takes {ratio:.1f} times as long")


def killed(program, table, folder, rng, took):
    """Kills a second import at random moments; the list before it must stay whole."""
    book = folder / "killed.book"
    small = folder / "small.csv"
    small.write_text("part no,description,pack,price\nAB-1,O-RING 012 NBR 70,10,1.00\nAB-2,O-RING 014 NBR 70,10,1.10\n")
    subprocess.run(importing(program, small, book), check=True, capture_output=True)
    whole = 0
    tries = 5
    for _ in range(tries):
        running = subprocess.Popen(importing(program, table, book), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(rng.uniform(0.05, 0.9) * took)
        running.send_signal(signal.SIGKILL)
        running.wait()
        out = subprocess.run([program, "--book", str(book), "offer", "find", "AB", "--format", "csv"], check=True, capture_output=True, text=True).stdout
        check = subprocess.run([program, "--book", str(book), "book", "check"], capture_output=True).returncode
        numbers = [row["number"] for row in csv.DictReader(io.StringIO(out))]
        whole += numbers[:2] == ["AB-1", "AB-2"] and len(numbers) == 2 and check == 0
    print(f"  killed at a random moment: the former list whole in {whole} of {tries}")


def main():
    program = os.path.abspath(sys.argv[1])
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 1_000_000
    rng = random.Random(SEED)
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        table = folder / "list.csv"
        sample = []
        with table.open("w", newline="") as file:
            writer = csv.writer(file)
            writer.writerow(HEAD)
            for row in rows(count, rng):
                writer.writerow(row)
                sample.append(row[:2] if len(sample) < 200_000 else row[:1])
        print(f"price lists: {count} rows, {table.stat().st_size / 1e6:.0f} MB")
        book = folder / "bench.book"
        ours, _ = timed(importing(program, table, book))
        peak = peak_kib()
        peer, peer_size = peer_import(table, folder)
        print(f"  import with search indexes: {ours:.1f} s, peak memory {peak / 1024:.0f} MiB, book {book.stat().st_size / 1e6:.0f} MB")
        print(f"  sqlite3 .import and the same indexes: {peer:.1f} s, {peer_size / 1e6:.0f} MB; ratio {ours / peer:.2f} (goal at most 1)")
        read = reading_time(table)
        figures = Figures("offers")
        figures.add(f"import of {count:,} rows", ours, "s", peer="sqlite3 .import, same indexes", peer_value=peer,
                    bound="bytes of the list from memory", bound_value=read, goal="at most 1")
        figures.add("memory of that import", peak / 1024, "MiB", bound="the list is streamed; the page cache and the words", goal="below 100")
        picked = rng.sample(sample, QUERIES)
        numbers = [row[0] for row in picked]
        times, found = find_all(program, book, numbers, folder)
        right = sum(number in found.get(number, []) for number in numbers)
        show(figures, "exact number", [times[n] for n in numbers], 1)
        print(f"    {right} of {QUERIES} found")
        parts = sorted({f"{n[3:8]}-{n[9:]}" for n in numbers})
        times, _ = find_all(program, book, parts, folder)
        show(figures, "substring of a number", list(times.values()), 10)
        windows = [f"{rng.uniform(5, 110):.2f};{rng.uniform(1.2, 5):.2f}" for _ in range(QUERIES)]
        show(figures, "window ±0.1 mm x ±0.05 mm", window_times(program, book, windows, folder), 1)
        known = {row[0].replace("-", "") for row in sample}
        keys = [row[0].replace("-", "") for row in sample]
        for errors in (1, 2):
            wrong = [mistyped(n.replace("-", ""), errors, rng) for n in numbers]
            wrong = sorted({w for w in wrong if w not in known and not any(k.startswith(w) for k in ())})[:60]
            times, found = find_all(program, book, wrong, folder)
            show(figures, f"{errors} typing error(s)", list(times.values()), 50)
            recall(figures, wrong, found, times, keys)
        figures.write()
        killed(program, table, folder, rng, ours)


main()
