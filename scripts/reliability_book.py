"""Books for the slow reliability tests: the commands that are disturbed, and what counts as a whole state of a book.

A state is the digest of all rows of all ordinary tables, without moments (columns *_at) and without the seals that are
formed over them. A disturbed command may leave the state before it or the state after it, and nothing between.
"""

import hashlib
import os
import pathlib
import re
import shutil
import sqlite3
import subprocess

ROOT = pathlib.Path(__file__).resolve().parent.parent
SCHEMA = ROOT / "src/store/schema"
APPLICATION_ID = 0x5257626B
# The search index is checked by itself; its parts are laid out as SQLite sees fit.
NOT_COMPARED = re.compile(r"^(sqlite_|offer_text)")


def schema_files():
    """Lists the schema files in the order of the program's steps."""
    steps = (ROOT / "src/store/migration.rs").read_text()
    return [SCHEMA / name for name in re.findall(r'include_str!\("schema/([^"]+)"\)', steps)]


class Fault(Exception):
    """Says what is wrong with what a disturbed command left."""


def ordinary_tables(book):
    names = [row[0] for row in book.execute("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name")]
    return [name for name in names if not NOT_COMPARED.match(name)]


def compared_columns(book, table):
    names = [row[1] for row in book.execute(f"PRAGMA table_info('{table}')")]
    return [name for name in names if not name.endswith("_at") and name != "hash"]


def state(path):
    """Opens a book as the next command would, checks it, and returns its version and the digest of its rows."""
    book = sqlite3.connect(path)
    try:
        found = [row[0] for row in book.execute("PRAGMA integrity_check")]
        if found != ["ok"]:
            raise Fault(f"integrity_check: {found[:3]}")
        lost = book.execute("PRAGMA foreign_key_check").fetchall()
        if lost:
            raise Fault(f"foreign_key_check: {lost[:3]}")
        tables = ordinary_tables(book)
        if "offer" in tables:
            # Rank 1 compares the index with its table (SQLite, "FTS5", 6.7).
            book.execute("INSERT INTO offer_text (offer_text, rank) VALUES ('integrity-check', 1)")
            book.rollback()
        digest = hashlib.sha256()
        for table in tables:
            columns = ", ".join(f'"{name}"' for name in compared_columns(book, table))
            digest.update(table.encode())
            for row in book.execute(f"SELECT {columns} FROM {table} ORDER BY {columns}"):
                digest.update(repr(row).encode())
        return book.execute("PRAGMA user_version").fetchone()[0], digest.hexdigest()
    except sqlite3.Error as error:
        raise Fault(f"cannot be read: {error}") from error
    finally:
        book.close()


def make_version(version, path, full):
    """Makes a book of a version with all rows of another book for which it has a place; without one it has no rows."""
    book = sqlite3.connect(path)
    for step in schema_files()[:version]:
        book.executescript(step.read_text())
    book.execute(f"PRAGMA user_version = {version}")
    book.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    if full is not None:
        book.execute("ATTACH ? AS full", (str(full),))
    for table in ordinary_tables(book) if full is not None else []:
        columns = ", ".join(f'"{row[1]}"' for row in book.execute(f"PRAGMA table_info('{table}')"))
        book.execute(f"INSERT INTO main.{table} ({columns}) SELECT {columns} FROM full.{table}")
    if version >= 5 and full is not None:
        book.execute("INSERT INTO offer_text (offer_text) VALUES ('rebuild')")
    book.commit()
    book.close()


class Scenario:
    """Holds one command with the folder in which it starts."""

    def __init__(self, name, words, template):
        self.name = name
        self.words = words
        self.template = template
        self.old = None
        self.new = None
        # Files that the command makes beside the book: absent, or whole.
        self.makes = None
        # A command that makes the book first may end with a book without rows.
        self.begun = None

    def fresh(self, folder):
        if folder.exists():
            shutil.rmtree(folder)
        shutil.copytree(self.template, folder)


class Bench:
    """Holds the program and a folder to work in."""

    def __init__(self, program, folder):
        self.program = str(program)
        self.folder = pathlib.Path(folder)

    def environment(self, folder):
        kept = {key: value for key, value in os.environ.items() if not key.startswith("RINGWRIGHT")}
        return dict(kept, RINGWRIGHT_BOOK=str(folder / "shop.book"), COLUMNS="200")

    def run(self, folder, words, before=()):
        """Runs a command in a folder and returns its result."""
        return subprocess.run(
            [*before, self.program, *words],
            cwd=folder,
            env=self.environment(folder),
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=120,
        )

    def done(self, folder, *words):
        result = self.run(folder, words)
        if result.returncode != 0:
            raise SystemExit(f"{words}: exit {result.returncode}: {result.stderr.decode()}")

    def template(self, name):
        folder = self.folder / "templates" / name
        folder.mkdir(parents=True)
        self.done(folder, "demo")
        return folder

    def check(self, folder):
        """Has the program itself examine the book, seals of the jobs and all."""
        result = self.run(folder, ["book", "check"])
        if result.returncode != 0:
            raise Fault(f"book check: exit {result.returncode}: {(result.stdout + result.stderr).decode()[:600]}")


def price_list(path, rows, start):
    with open(path, "w") as file:
        file.write("number,description,pack,price\n")
        for row in range(start, start + rows):
            if row % 97 == 0:
                file.write(f"X{row},Shop apron,1,on request\n")
            else:
                file.write(f"N{row},O-ring -{10 + row % 40:03} NBR 70,10,{1 + row % 7}.{row % 100:02}\n")


IMPORT = ["--supplier", "Bench Seals", "--currency", "EUR", "--tax", "excluded", "--date", "2026-03-01"]


def note_text(unit):
    rings = "".join(
        f"o-ring ; at place {place} ; replace ; used ; od {12.8 + place} {12.9 + place} by caliper ; cs 1.75 by flat\n"
        for place in range(8)
    )
    return f"model Bench Beck\nunit {unit}\ndate 2026-03-14\ngas air\nlengths mm\n\n[body]\n{rings}"


def job_lines():
    lines = (ROOT / "data/demo/job_walk.txt").read_text().splitlines()
    return [line for line in lines if line and not line.startswith("#")]


def scenarios(bench, rows):
    """Prepares every command that is disturbed; `rows` is the length of a price list."""
    import shlex

    made = []

    folder = bench.template("note add")
    (folder / "bench.note").write_text(note_text("B-1"))
    made.append(Scenario("note add", ["note", "add", "bench.note"], folder))

    folder = bench.template("offer import")
    price_list(folder / "first.csv", 200, 0)
    price_list(folder / "second.csv", rows, 100)
    bench.done(folder, "offer", "import", "first.csv", *IMPORT)
    made.append(Scenario("offer import", ["offer", "import", "second.csv", *IMPORT], folder))

    folder = bench.template("order")
    made.append(Scenario("order", ["order", "Tarn=2", "Tarn 2=1", "Beck=1"], folder))

    folder = bench.template("stock take")
    for number in range(8):
        words = ["AS568-012 N70", "--bin", f"B{number}", "--quantity", "2", "--cured", "2025-Q2"]
        bench.done(folder, "stock", "add", *words)
    made.append(Scenario("stock take", ["stock", "take", "AS568-012 N70", "--quantity", "15", "--for", "X"], folder))

    folder = bench.template("job close")
    for line in job_lines():
        words = shlex.split(line)
        if words[:2] == ["job", "close"]:
            made.append(Scenario("job close", words, folder))
            break
        result = bench.run(folder, words)
        if result.returncode > 1:
            raise SystemExit(f"{line}: {result.stderr.decode()}")

    folder = bench.template("migration")
    (folder / "shop.book").rename(folder / "full.book")
    # The first version that has an offer: its index and rows go through the later steps.
    make_version(5, folder / "shop.book", folder / "full.book")
    (folder / "full.book").unlink()
    made.append(Scenario("migration", ["book", "path"], folder))

    other = bench.template("other shop")
    price_list(other / "first.csv", rows // 4, 0)
    bench.done(other, "offer", "import", "first.csv", *IMPORT)
    for unit in range(6):
        (other / "n.note").write_text(note_text(f"M-{unit}"))
        bench.done(other, "note", "add", "n.note")
    bench.done(other, "book", "export", "theirs.json", "--shop", "Other Shop")
    folder = bench.template("book merge")
    shutil.copy(other / "theirs.json", folder)
    made.append(Scenario("book merge", ["book", "merge", "theirs.json"], folder))

    folder = bench.template("book backup")
    made.append(Scenario("book backup", ["book", "backup", "copy.book"], folder))
    made[-1].makes = "copy.book"

    folder = bench.template("book restore")
    shutil.copy(other / "shop.book", folder / "copy.book")
    made.append(Scenario("book restore", ["book", "restore", "copy.book"], folder))

    folder = bench.template("book export")
    made.append(Scenario("book export", ["book", "export", "ours.json", "--shop", "Bench"], folder))
    made[-1].makes = "ours.json"

    folder = bench.folder / "templates" / "demo"
    folder.mkdir()
    made.append(Scenario("demo", ["demo"], folder))
    bare = bench.folder / "bare.book"
    make_version(len(schema_files()), bare, None)
    made[-1].begun = state(bare)

    for scenario in made:
        learn(bench, scenario)
    return made


def learn(bench, scenario):
    """Runs the command undisturbed and keeps the states before and after it."""
    folder = bench.folder / "undisturbed"
    scenario.fresh(folder)
    scenario.old = state(folder / "shop.book") if (folder / "shop.book").exists() else None
    result = bench.run(folder, scenario.words)
    if result.returncode > 1:
        raise SystemExit(f"{scenario.name}: exit {result.returncode}: {result.stderr.decode()}")
    scenario.code = result.returncode
    scenario.new = state(folder / "shop.book")
    if scenario.name != "order" and scenario.new == scenario.old and scenario.makes is None:
        raise SystemExit(f"{scenario.name} changes nothing: {result.stdout.decode()}")
    scenario.made = read_made(scenario, folder)
    shutil.rmtree(folder)


def read_made(scenario, folder):
    """Returns what stands in the file that a command makes, in a form that can be compared; `None` where there is none."""
    if scenario.makes is None or not (folder / scenario.makes).exists():
        return None
    path = folder / scenario.makes
    if path.suffix == ".book":
        return state(path)
    return re.sub(r'"written_at": "[^"]*"', "", path.read_text())


def left(bench, scenario, folder):
    """Judges what a disturbed command left: "old" or "new"; anything else is a fault."""
    made = read_made(scenario, folder)
    if made is not None and made != scenario.made:
        raise Fault(f"{scenario.makes} is not whole")
    book = folder / "shop.book"
    if not book.exists() or (book.stat().st_size == 0 and scenario.old is None):
        found = None
    else:
        found = state(book)
    # A book that was begun and never came to its first rows: SQLite rolls it back to no page at all.
    if found is not None and scenario.old is None and found[0] == 0:
        found = None
    if found is not None:
        bench.check(folder)
    if found == scenario.new and found != scenario.old:
        return "new"
    if found is not None and found == scenario.begun:
        return "old"
    if found == scenario.old:
        return "new" if found == scenario.new and made is not None else "old"
    raise Fault(f"neither the state before nor the one after: {found}")
