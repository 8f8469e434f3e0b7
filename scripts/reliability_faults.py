"""Makes the N-th call of the system fail, N = 1, 2, 3 ... until the command succeeds: see scripts/reliability.

    reliability_faults.py PROGRAM FOLDER MOST [COMMAND]

MOST bounds N of each kind of call. After each fault the book must be in the state before or after the command, the exit
code one of those documented, and a failure must have a message. Calls before the program opens its first own file (those
of the loader) are passed over by counting only calls that name or hold a file of the folder.
"""

import os
import pathlib
import re
import shutil
import signal
import sys

from reliability_book import Bench, Fault, left, scenarios

# What fails, and how. KILL ends the process at that call, as a power cut would end it.
CALLS = {
    "pwrite64": ["EIO", "ENOSPC", "KILL"],
    "write": ["EIO", "ENOSPC", "KILL"],
    "fsync": ["EIO", "ENOSPC", "KILL"],
    "ftruncate": ["EIO", "KILL"],
    "unlink": ["EIO", "EACCES", "KILL"],
    "rename": ["EIO", "ENOSPC", "EACCES", "KILL"],
    "linkat": ["EIO", "EPERM", "KILL"],
    "openat": ["EACCES", "ENOSPC", "EMFILE", "EIO"],
    "pread64": ["EIO"],
    "read": ["EIO"],
    "fstat,stat,statx,newfstatat": ["EACCES", "EIO"],
}

def traced(bench, scenario, folder, injection, log):
    call, how, number = injection
    what = f"signal=KILL:when={number}" if how == "KILL" else f"error={how}:when={number}"
    tracer = ["strace", "-f", "-qq", "-o", str(log), "-e", f"trace={call}", "-e", f"inject={call}:{what}"]
    # Every file that the command may touch, whether it is there yet or not; the loader's are passed over.
    for name in names_of(scenario, folder):
        tracer += ["-P", str(folder / name)]
    return bench.run(folder, scenario.words, tracer)


def names_of(scenario, folder):
    there = {path.name for path in folder.iterdir()}
    there |= {"", "shop.book", "shop.book-journal", "shop.book-wal", "shop.book.before-restore", "shop.book.before-restore.part"}
    there |= {"shop.book.before-version-8", "shop.book.before-version-8.part", "shop.book.before-version-8.part-journal"}
    there |= {"second.csv.rejects.csv", "second.csv.rejects.csv.part", "shop.book.before-restore.part-journal"}
    if scenario.makes:
        there |= {scenario.makes, f"{scenario.makes}.part", f"{scenario.makes}.part-journal"}
    return sorted(there)


# The message of a panic, wherever it is shown.
PANIC = re.compile(rb"panicked at")
# What a message says where the work is done all the same.
ADMITS = (b"is in the book", b"the work is done")


def judge(bench, scenario, folder, result, injected):
    """Returns the state that was left; raises where the answer does not fit it."""
    code, said = result.returncode, result.stderr
    killed = code in (-signal.SIGKILL, 128 + signal.SIGKILL)
    if PANIC.search(said):
        raise Fault(f"panic: {said.decode()[:800]}")
    if not killed and code not in (0, 1, 2, 3):
        raise Fault(f"exit {code}: {said.decode()[:500]}")
    kept = left(bench, scenario, folder)
    if killed or scenario.name == "order":
        return kept
    if code == scenario.code:
        if kept != "new" and (scenario.makes is not None or scenario.new != scenario.old):
            raise Fault(f"it says done, and the state is {kept}")
        return kept
    if not said.strip():
        raise Fault(f"exit {code} without a message")
    if kept == "new" and not any(words in said for words in ADMITS) and scenario.makes is None:
        raise Fault(f"exit {code} says it failed, and the state is new: {said.decode()[:500]}")
    return kept


def faults_of(bench, scenario, room, most):
    """Yields for each kind of fault: the call, the error, rounds, old, new, messages, failures."""
    for call, errors in CALLS.items():
        for how in errors:
            counts = {"rounds": 0, "old": 0, "new": 0}
            messages, failures = {}, []
            for number in range(1, most + 1):
                scenario.fresh(room)
                log = room.parent / "strace.log"
                result = traced(bench, scenario, room, (call, how, number), log)
                text = log.read_text(errors="replace")
                hit = "(INJECTED)" in text or "killed by SIGKILL" in text
                if not hit:
                    break
                counts["rounds"] += 1
                try:
                    counts[judge(bench, scenario, room, result, text)] += 1
                except Fault as fault:
                    keep = room.parent / f"failed-{scenario.name}-{call.split(',')[0]}-{how}-{number}".replace(" ", "-")
                    if not keep.exists():
                        shutil.move(room, keep)
                    failures.append(f"N={number}: {fault} (kept: {keep})")
                first = result.stderr.decode(errors="replace").strip().splitlines()
                said = re.sub(r"/\S+", "PATH", first[0])[:110] if first else ""
                messages.setdefault((result.returncode, said), number)
            yield call, how, counts, messages, failures


def main():
    program, folder, most = sys.argv[1], pathlib.Path(sys.argv[2]), int(sys.argv[3])
    wanted = sys.argv[4] if len(sys.argv) > 4 else None
    bench = Bench(program, folder)
    every = [scenario for scenario in scenarios(bench, 2_000) if wanted in (None, scenario.name)]
    verbose = os.environ.get("SHOW_MESSAGES")
    print(f"{'command':14} {'call':>9} {'fault':>7} {'rounds':>6} {'old':>5} {'new':>5} {'failures':>8}")
    rounds = failed = 0
    for scenario in every:
        for call, how, counts, messages, failures in faults_of(bench, scenario, folder / "round", most):
            rounds += counts["rounds"]
            failed += len(failures)
            if counts["rounds"]:
                print(
                    f"{scenario.name:14} {call.split(',')[0]:>9} {how:>7} {counts['rounds']:6} {counts['old']:5} "
                    f"{counts['new']:5} {len(failures):8}",
                    flush=True,
                )
            for line in failures:
                print(f"  FAIL {line}")
            if verbose:
                for (code, said), number in messages.items():
                    print(f"      exit {code}, first at N={number}: {said}")
    print(f"faults: {rounds} rounds, {failed} failures")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
