"""Chooses few and short inputs that together reach most features (edges, and how often); called by scripts/fuzz.

Usage: fuzz_keep.py CONTROL-FILE MOST-FILES MOST-BYTES. The control file of a libFuzzer merge says which features each input
reaches. Again and again the input with most new features for its bytes is taken, until none adds any or a limit is met.
Prints one path a line.
"""

import heapq
import sys

# What a file costs beside its bytes, so that many tiny files do not crowd out one that reaches far.
BYTES_OF_A_FILE = 1000


def read(path):
    """Gives the inputs of a control file as (path, bytes, features)."""
    with open(path, encoding="utf-8", errors="surrogateescape") as lines:
        count = int(next(lines))
        next(lines)
        names = [next(lines).rstrip("\n") for _ in range(count)]
        sizes, features = {}, {}
        for line in lines:
            word, number, *rest = line.split()
            if word == "STARTED":
                sizes[int(number)] = int(rest[0])
            elif word == "FT":
                features[int(number)] = frozenset(map(int, rest))
    return [(names[at], sizes[at], found) for at, found in sorted(features.items())]


def choose(inputs, most_files, most_bytes):
    """Yields paths. The worth of an input only falls, so an old worth is an upper bound and is looked at again when it leads."""
    reached, files, used = set(), 0, 0

    def worth(at):
        return -len(inputs[at][2] - reached) / (inputs[at][1] + BYTES_OF_A_FILE)

    queue = [(worth(at), at) for at in range(len(inputs))]
    heapq.heapify(queue)
    while queue and files < most_files:
        _, at = heapq.heappop(queue)
        now = worth(at)
        if now == 0:
            continue
        if queue and now > queue[0][0]:
            heapq.heappush(queue, (now, at))
            continue
        path, size, found = inputs[at]
        if used + size <= most_bytes:
            files, used = files + 1, used + size
            reached |= found
            yield path
    everything = set().union(*(found for _, _, found in inputs)) if inputs else set()
    print(f"{len(reached)} of {len(everything)} features", file=sys.stderr)


for chosen in choose(read(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])):
    print(chosen)
