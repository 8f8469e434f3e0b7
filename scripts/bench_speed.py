"""Times whole processes, interleaved, and prints medians with their ratios; called by scripts/bench."""

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from bench_figures import Figures

ROUNDS = 60
QUERY = (
    "SELECT code, id_mm, cs_mm FROM sizes "
    "ORDER BY (id_mm-9.385)*(id_mm-9.385)+(cs_mm-1.72)*(cs_mm-1.72) LIMIT 1;"
)


def make_database(program, folder):
    """Puts the program's open table of sizes into a SQLite file, as the peer reads it."""
    table = Path(folder) / "sizes.csv"
    table.write_bytes(
        subprocess.run([program, "size", "table", "--format", "csv"], check=True, capture_output=True).stdout
    )
    database = Path(folder) / "sizes.db"
    load = (
        "CREATE TABLE sizes(standard TEXT, code TEXT, id_mm REAL, id_tol_mm REAL, cs_mm REAL, "
        f"cs_tol_mm REAL, source TEXT, confidence TEXT);\n.import --csv --skip 1 {table} sizes\n"
    )
    subprocess.run(["sqlite3", str(database)], input=load.encode(), check=True)
    return str(database)


def once(command):
    begin = time.perf_counter()
    done = subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    took = time.perf_counter() - begin
    if done.returncode not in (0, 1):
        raise SystemExit(f"{command} ended with {done.returncode}")
    return took * 1000


def main():
    program = sys.argv[1]
    with tempfile.TemporaryDirectory() as folder:
        database = make_database(program, folder)
        ring = [program, "ring", "--od", "12.80 12.85 mm by caliper", "--cs", "1.72 mm by caliper"]
        commands = {
            "/bin/true": ["/bin/true"],
            "ringwright --version": [program, "--version"],
            "ringwright ring (all tables)": ring,
            "sqlite3 nearest row": ["sqlite3", database, QUERY],
        }
        times = {name: [] for name in commands}
        for _ in range(ROUNDS):
            for name, command in commands.items():
                times[name].append(once(command))
    medians = {name: statistics.median(values) for name, values in times.items()}
    print(f"median of {ROUNDS} whole processes, interleaved")
    for name, median in medians.items():
        least, most = min(times[name]), max(times[name])
        print(f"{name:30} {median:7.2f} ms  ({least:.2f} to {most:.2f})")
    named = medians["ringwright ring (all tables)"]
    true = medians["/bin/true"]
    figures = Figures("speed")
    for name, bound in (("ringwright --version", "start of a process"), ("ringwright ring (all tables)", "start of a process")):
        figures.add(name, medians[name], "ms", peer="/bin/true", peer_value=true, bound=bound, bound_value=true)
    figures.add("ringwright ring (all tables)", named, "ms", peer="sqlite3, nearest row", peer_value=medians["sqlite3 nearest row"],
                bound="every listed ring weighed in every mode", goal="at most 1")
    figures.write()
    print(f"ring / true           {named / medians['/bin/true']:.2f}")
    print(f"ring / sqlite3 query  {named / medians['sqlite3 nearest row']:.2f}")


if __name__ == "__main__":
    main()
