"""The figures that the benches measure, each beside its peer and what bounds it from below.

A bench makes one `Figures`, adds to it while it prints, and writes it; scripts/bench joins the parts into one report.
Usage as a program: python3 scripts/bench_figures.py FOLDER OUT.json   (prints the table, writes the same as JSON)
"""

import json
import os
import sys
import time
from pathlib import Path

FOLDER = "RINGWRIGHT_FIGURES"


class Figures:
    """Holds the figures of one bench; nothing is written unless the folder for them is set."""

    def __init__(self, part):
        self.part = part
        self.rows = []

    def add(self, name, value, unit, *, bound, bound_value=None, peer=None, peer_value=None, goal=None):
        """Adds one figure; `bound` says in words what it cannot be below, and the values are in its own unit."""
        ratio = value / peer_value if peer_value else None
        above = value / bound_value if bound_value else None
        self.rows.append(
            {
                "figure": name, "value": value, "unit": unit, "peer": peer, "peer_value": peer_value, "ratio_to_peer": ratio,
                "bound": bound, "bound_value": bound_value, "ratio_to_bound": above, "goal": goal,
            }
        )

    def write(self):
        folder = os.environ.get(FOLDER)
        if folder:
            text = json.dumps({"part": self.part, "figures": self.rows}, indent=2)
            Path(folder, f"{self.part}.json").write_text(text + "\n")


def reading_time(path):
    """The least time in which the bytes of a file come from memory, of three readings, in seconds."""
    times = []
    for _ in range(3):
        begun = time.perf_counter()
        Path(path).read_bytes()
        times.append(time.perf_counter() - begun)
    return min(times)


def short(value):
    if value is None:
        return ""
    return f"{value:.0f}" if abs(value) >= 1000 else f"{value:.3g}"


def main():
    folder, out = Path(sys.argv[1]), Path(sys.argv[2])
    parts = [json.loads(file.read_text()) for file in sorted(folder.glob("*.json"))]
    out.write_text(json.dumps({"cores": os.cpu_count(), "parts": parts}, indent=2) + "\n")
    print(f"{'figure':<46} {'value':>9} {'unit':<6} {'peer':<26} {'its value':>9} {'ratio':>7}  bounded by (its value, ratio)")
    for part in parts:
        print(part["part"])
        for row in part["figures"]:
            bound = row["bound"]
            if row["bound_value"] is not None:
                bound += f" ({short(row['bound_value'])}, {short(row['ratio_to_bound'])})"
            if row["goal"]:
                bound += f"; goal {row['goal']}"
            print(
                f"  {row['figure']:<44} {short(row['value']):>9} {row['unit']:<6} {row['peer'] or '':<26} "
                f"{short(row['peer_value']):>9} {short(row['ratio_to_peer']):>7}  {bound}"
            )
    print(f"written to {out}")


if __name__ == "__main__":
    main()
