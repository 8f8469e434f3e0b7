"""Measures the sampling of a full tolerance stack against the same stack in numpy, in one run on one thread.

Usage: bench_glands.py PROGRAM [SAMPLES]   (needs numpy; 1,000,000 samples where none are given)
The stack: a piston gland with four toleranced dimensions and the ring's two, section by constant volume and stretch-loss
curve, seven limits in three states. Both sides are timed five times by the processor time of their one thread, so that other
work on the machine does not count, and the best is taken; the time of the program is that of the whole command less that of the
same command with one sample. Numpy works once on whole arrays, as it is usually written, and once in blocks that stay in
the cache, which is the fastest that was found for it; the ratio to both is told.
"""

import os
import resource
import subprocess
import sys
import time

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import numpy as np  # noqa: E402  (threads are limited first)

from bench_figures import Figures  # noqa: E402

BAND = 1.959964
GLAND = {"bore": (25.40, 0.05), "groove": (22.60, 0.02), "width": (2.4, 0.05), "piston": (25.30, 0.02)}
RING_ID, RING_SECTION = (21.95, 0.22), (1.78, 0.08)
STATES = [(1.0, 1.0), (1 - 112e-6 * 22, 1 - 19e-6 * 22), (1 + 112e-6 * 20, 1 + 19e-6 * 20)]
REPEATS = 5
BLOCK = 16_384


def program(path, samples):
    words = [path, "gland", "check", "--kind", "piston", "--format", "json", "--samples", str(samples)]
    for name, (value, tolerance) in GLAND.items():
        words += [f"--{name}", f"{value}±{tolerance} mm"]
    words += ["--ring", f"{RING_ID[0]}±{RING_ID[1]} x {RING_SECTION[0]}±{RING_SECTION[1]} mm"]
    words += ["--polymer", "NBR", "--temperature", "-2..40 C", "--pressure", "50 bar"]
    begin = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(words, stdout=subprocess.DEVNULL, check=False)
    end = resource.getrusage(resource.RUSAGE_CHILDREN)
    return end.ru_utime + end.ru_stime - begin.ru_utime - begin.ru_stime


def stretch_loss(s):
    low = np.minimum(0.01 + 1.06 * s - 0.10 * s * s, 1.26 * s)
    t = np.minimum(s, 25.0)
    high = np.maximum(0.56 + 0.59 * t - 0.0046 * t * t, 2.29)
    return np.where(s <= 0, 0.0, np.where(s <= 3, low, high))


def in_numpy(samples, block):
    """Takes the samples block by block."""
    begin = time.process_time()
    rng = np.random.default_rng(1)
    for start in range(0, samples, block):
        one_block(rng, min(block, samples - start))
    return time.process_time() - begin


def one_block(rng, samples):
    """Draws the same laws and holds the same figures against limits; Newton's method as in the program, four steps."""
    x = {name: rng.normal(value, tolerance / BAND, samples) for name, (value, tolerance) in GLAND.items()}
    d1 = rng.normal(RING_ID[0], RING_ID[1] / BAND, samples)
    w = rng.normal(RING_SECTION[0], RING_SECTION[1] / BAND, samples)
    share = rng.uniform(0, 1, samples)
    passed = np.ones(samples, dtype=bool)
    for ring, metal in STATES:
        bore, groove, width = x["bore"] * metal, x["groove"] * metal, x["width"] * metal
        inner, section = d1 * ring, w * ring
        depth = (bore - groove) / 2
        volume = np.pi / 4 * (bore * bore - groove * groove) * width
        kept = section * section * (inner + section)
        seated = section.copy()
        for _ in range(4):
            seated -= (seated * seated * (groove + seated) - kept) / (seated * (2 * groove + 3 * seated))
        stretch = 100 * (groove - inner) / inner
        nominal = np.where(stretch > 0, seated, section)
        least = np.minimum(nominal, section * (1 - stretch_loss(stretch) / 100))
        final = least + share * (np.maximum(seated, nominal) - least)
        squeeze = final - depth
        percent = 100 * squeeze / final
        printed = 100 * (section - depth) / section
        fill = 100 * (np.pi**2 / 4) * section * section * (inner + section) / volume
        gap = bore - x["piston"] * metal
        outside = [
            (percent < 10) | (percent > 34), squeeze < 0, squeeze < 0.13, (printed < 21.5) | (printed > 32.5),
            fill > 95, stretch > 5, gap > 0.254,
        ]
        for miss in outside:
            miss.mean()
        passed &= ~(outside[0] | outside[1] | outside[4] | outside[5] | outside[6])
        for figure in (percent, squeeze, fill, stretch, gap):
            figure.mean(), figure.std()
    passed.mean()


def main():
    path = sys.argv[1]
    samples = int(sys.argv[2]) if len(sys.argv) > 2 else 1_000_000
    one = min(program(path, 1) for _ in range(REPEATS))
    ours = min(program(path, samples) for _ in range(REPEATS)) - one
    whole = min(in_numpy(samples, samples) for _ in range(REPEATS))
    blocks = min(in_numpy(samples, BLOCK) for _ in range(REPEATS))
    figures = Figures("glands")
    for peer, took in (("numpy, whole arrays", whole), ("numpy, in blocks", blocks)):
        figures.add(f"{samples:,} samples of a stack", ours, "s", peer=peer, peer_value=took, bound="drawing the numbers", goal="a tenth")
    figures.write()
    print(
        f"{samples} samples of a full stack in {len(STATES)} states, processor time of one thread: {ours:.3f} s here "
        f"({one * 1000:.0f} ms for the rest of the command left out); numpy {np.__version__} {whole:.3f} s on whole arrays, "
        f"ratio {whole / ours:.1f} (goal 10), {blocks:.3f} s in blocks of {BLOCK}, ratio {blocks / ours:.1f}"
    )


if __name__ == "__main__":
    main()
