"""Kills commands at random moments and expects the state before or the state after each: see scripts/reliability.

    reliability_kill.py PROGRAM FOLDER ROUNDS SEED [COMMAND]

ROUNDS are spread over the commands. The same seed draws the same moments (what a moment hits depends on the machine).
A failure keeps its folder and ends with exit code 1.
"""

import pathlib
import random
import shutil
import signal
import subprocess
import sys
import time

from reliability_book import Bench, Fault, left, scenarios


def took(bench, scenario, folder):
    """Measures how long the command takes undisturbed: the longest of three."""
    times = []
    for _ in range(3):
        scenario.fresh(folder)
        started = time.monotonic()
        bench.run(folder, scenario.words)
        times.append(time.monotonic() - started)
    return max(times)


def killed_after(bench, scenario, folder, seconds):
    """Starts the command, kills it after a time; returns whether it was still running."""
    process = subprocess.Popen(
        [bench.program, *scenario.words],
        cwd=folder,
        env=bench.environment(folder),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    ends = time.monotonic() + seconds
    while time.monotonic() < ends and process.poll() is None:
        time.sleep(0.0002)
    process.kill()
    return process.wait() == -signal.SIGKILL


def round_of(bench, scenario, folder, seconds):
    """Does one round; returns whether it was killed, and the state that was left."""
    scenario.fresh(folder)
    killed = killed_after(bench, scenario, folder, seconds)
    kept = left(bench, scenario, folder)
    # What was stopped can be done again. A command that is done already may say so (exit 1 or 2).
    if kept == "old":
        result = bench.run(folder, scenario.words)
        again = left(bench, scenario, folder)
        if result.returncode != scenario.code or (again != "new" and scenario.new != scenario.old):
            raise Fault(f"done again: exit {result.returncode}, {again}: {result.stderr.decode()[:500]}")
    return killed, kept


def main():
    program, folder, rounds, seed = sys.argv[1], pathlib.Path(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])
    wanted = sys.argv[5] if len(sys.argv) > 5 else None
    bench = Bench(program, folder)
    draw = random.Random(seed)
    every = [scenario for scenario in scenarios(bench, 20_000) if wanted in (None, scenario.name)]
    each = -(-rounds // len(every))
    print(f"kill: seed {seed}, {each} rounds of each command")
    print(f"{'command':14} {'rounds':>6} {'killed':>6} {'old':>5} {'new':>5} {'failures':>8}  takes")
    totals, failures = [0, 0, 0, 0], 0
    for scenario in every:
        room = folder / "round"
        longest = took(bench, scenario, room)
        counts = {"killed": 0, "old": 0, "new": 0, "failures": 0}
        for number in range(each):
            seconds = draw.uniform(0, 1.05 * longest)
            try:
                killed, kept = round_of(bench, scenario, room, seconds)
                counts["killed"] += killed
                counts[kept] += 1
            except Fault as fault:
                counts["failures"] += 1
                keep = folder / f"failed-{scenario.name.replace(' ', '-')}-{number}"
                shutil.move(room, keep)
                print(f"FAIL {scenario.name}, seed {seed}, round {number}, {seconds:.4f} s: {fault}\n     kept: {keep}")
        print(
            f"{scenario.name:14} {each:6} {counts['killed']:6} {counts['old']:5} {counts['new']:5} "
            f"{counts['failures']:8}  {longest:.3f} s",
            flush=True,
        )
        failures += counts["failures"]
        totals = [a + b for a, b in zip(totals, (each, counts["killed"], counts["old"], counts["new"]))]
    print(f"{'all':14} {totals[0]:6} {totals[1]:6} {totals[2]:5} {totals[3]:5} {failures:8}")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
