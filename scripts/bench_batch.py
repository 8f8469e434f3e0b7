"""Measures `ring --batch` in rings a second against the same closed form vectorised in numpy, in the same run.

Usage: python3 scripts/bench_batch.py PROGRAM [RINGS]. Needs numpy. The numpy side gets every help that vectorising gives:
predictions, inverse covariances and slip constants are worked out once and not timed, numbers are read before the clock
starts, nothing is written, and rings go through in blocks that stay in the cache. It computes what the documentation of the
identification says: every listed ring, every wear mode in both directions, one slip among three readings.
The program is timed as a whole process: start, reading the table, naming, writing.
"""

import csv
import io
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

# One thread on either side.
for variable in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[variable] = "1"

import numpy as np  # noqa: E402  (the threads must be set before)

from bench_figures import Figures  # noqa: E402

BLOCK = 16
NEAR = 0.0100001
ISO_CODES = "ISO 3601-1"
SEED = 20261125
BAND_95 = 1.959964
# Copies of what the program weighs with: core/identification (likelihood.rs, prior), data/measurement (instruments, conditions).
SLIP_SHARE = 0.01
SLIP_LOG_RANGE = 7.7551
UNLISTED = 0.03
# OD by caliper, section flat, width by caliper, one reading each: bias, variance of one reading.
INSTRUMENTS = [(-0.04, 0.06**2 + 0.04**2), (-0.013, 0.02**2 + 0.01**2), (-0.06, 0.04**2 + 0.025**2)]
SWELL = (0.0, 0.012)
SET = (0.032, 0.024)


def class_b(d1):
    """Gives the tolerance of ISO 3601-1 class B for an inside diameter; it stands in where a table prints none."""
    return 0.009 * d1**0.95 + 0.11


def class_b_section(d2):
    bands = [(2.25, 0.08), (3.15, 0.09), (4.50, 0.10), (6.30, 0.13), (8.40, 0.15), (10.0, 0.18)]
    return next((t for upper, t in bands if d2 <= upper), 0.20)


def listed_rings(program):
    """Takes the rings from the program's open table; sizes that agree to a tenth of their tolerance are one ring."""
    text = subprocess.run([program, "size", "table", "--format", "csv"], check=True, capture_output=True, text=True).stdout
    rings = []
    for row in csv.DictReader(io.StringIO(text)):
        d1, d2 = float(row["id_mm"]), float(row["cs_mm"])
        new = [d1, d2, float(row["id_tol_mm"] or class_b(d1)), float(row["cs_tol_mm"] or class_b_section(d2))]
        weight = 0.0 if row["standard"] == ISO_CODES else 1.0
        same = (r for r in rings if abs(r[0] - new[0]) <= NEAR and abs(r[1] - new[1]) <= NEAR)
        ring = next(same, None)
        if ring is None:
            rings.append([*new, weight])
        else:
            ring[4] += weight
    d1, d2, t1, t2, weight = np.array(rings).T
    return d1, d2, t1 / BAND_95, t2 / BAND_95, weight


def modes():
    step = 0.5 * SET[1]
    spread = step / 12**0.5
    base = SET[1] ** 2 - spread**2
    centres = []
    centre = step / 2
    while centre <= SET[0] + 2.7 * SET[1]:
        centres.append(centre)
        centre += step
    weights = np.array([-0.5 * (c - SET[0]) ** 2 / base for c in centres])
    weights -= np.log(np.exp(weights).sum())
    return [(c, spread**2, w - np.log(2), side) for c, w in zip(centres, weights) for side in ("radial", "axial")]


def prepare(rings):
    """Works out predictions, inverse covariances and constants of every ring in every mode."""
    d1, d2, s1, s2, weight_of = rings
    predicted, precision, front = [], [], []
    for c, variance, weight, side in modes():
        gain = 1 / (1 - c)
        thick, by_set = ((1 - c), -1.0) if side == "radial" else (gain, gain * gain)
        zero, one = np.zeros_like(d1), np.ones_like(d1)
        values = np.stack([d1 + d2 + d2 * thick, d2 * (1 - c), d2 * gain], 1)
        slopes = np.stack(
            [
                np.stack([one, one + thick, d1 + d2 + d2 * thick, d2 * by_set], 1),
                np.stack([zero, one * (1 - c), d2 * (1 - c), -d2], 1),
                np.stack([zero, one * gain, d2 * gain, d2 * gain * gain], 1),
            ],
            1,
        )
        latent = np.stack([s1**2, s2**2, one * SWELL[1] ** 2, one * variance], 1)
        covariance = np.einsum("kil,kl,kjl->kij", slopes, latent, slopes)
        covariance += np.diag([v for _, v in INSTRUMENTS])
        predicted.append(values)
        precision.append(np.linalg.inv(covariance))
        front.append(weight - 0.5 * np.linalg.slogdet(covariance)[1] - 1.5 * np.log(2 * np.pi))
    predicted = np.concatenate(predicted)
    precision = np.concatenate(precision)
    count = len(d1)
    front = np.concatenate(front) + np.tile(np.log((1 - UNLISTED) * weight_of / weight_of.sum()), len(modes()))
    front += 3 * np.log1p(-SLIP_SHARE)
    diagonal = precision[:, range(3), range(3)]
    # The quadratic form and Λ(y − μ) are linear in the products of the readings, so that one matrix product makes them.
    pull = np.einsum("kij,kj->ki", precision, predicted)
    rows, columns = np.triu_indices(3)
    twice = np.where(rows == columns, 1.0, 2.0)
    square = np.concatenate(
        [(precision[:, rows, columns] * twice).T, -2 * pull.T, (pull * predicted).sum(1)[None]]
    )
    root = np.sqrt(0.5 / diagonal)
    linear = [np.concatenate([precision[:, i].T, -pull[:, i][None]]) * root[:, i] for i in range(3)]
    constants = 0.5 * np.log(2 * np.pi) - 0.5 * np.log(diagonal)
    return square, linear, front, constants, count


def name(values, prepared):
    """Returns the place and the probability of the five likeliest rings of each row."""
    square, linear, front, constants, count = prepared
    rows, columns = np.triu_indices(3)
    firsts, shares = [], []
    for begin in range(0, len(values), BLOCK):
        block = values[begin : begin + BLOCK]
        ones = np.ones((len(block), 1))
        honest = np.concatenate([block[:, rows] * block[:, columns], block, ones], 1) @ square
        honest *= -0.5
        honest += front
        first_order = np.concatenate([block, ones], 1)
        odds = np.log(SLIP_SHARE / (1 - SLIP_SHARE) / (block * SLIP_LOG_RANGE))
        slips = []
        for i in range(3):
            slip = first_order @ linear[i]
            slip *= slip
            slip += honest
            slip += constants[:, i]
            slip += odds[:, i, None]
            slips.append(slip)
        greatest = np.max([way.max(1) for way in [honest, *slips]], 0)[:, None]
        total = np.zeros_like(honest)
        for way in [honest, *slips]:
            way -= greatest
            np.exp(way, out=way)
            total += way
        ring = total.reshape(len(block), -1, count).sum(1)
        share = ring / ring.sum(1)[:, None]
        five = np.argpartition(-share, 5, axis=1)[:, :5]
        firsts.append(five)
        shares.append(np.take_along_axis(share, five, 1))
    return np.concatenate(firsts), np.concatenate(shares)


def draw(rings, number):
    generator = np.random.default_rng(SEED)
    d1, d2, s1, s2, _ = rings
    at = generator.choice(np.flatnonzero(d1 <= 60), number)
    swell = 1 + generator.normal(*SWELL, number)
    flat = np.abs(generator.normal(*SET, number))
    a, b = d1[at] + s1[at] * generator.normal(size=number), d2[at] + s2[at] * generator.normal(size=number)
    height, width = b * (1 - flat) * swell, b / (1 - flat) * swell
    radial = np.where(generator.random(number) < 0.5, height, width)
    truth = np.stack([(a + b) * swell + radial, height, width], 1)
    noise = [bias + generator.normal(0, variance**0.5, number) for bias, variance in INSTRUMENTS]
    return np.round(truth + np.stack(noise, 1), 2), at


def main():
    program, number = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 20000
    rings = listed_rings(program)
    typed, truth = draw(rings, number)
    prepared = prepare(rings)
    values = typed - np.array([bias for bias, _ in INSTRUMENTS])
    few = max(number // 10, 1)  # numpy is timed on a tenth: it is slow, and its pace does not change
    begin = time.perf_counter()
    five, shares = name(values[:few], prepared)
    numpy_pace = few / (time.perf_counter() - begin)
    with tempfile.TemporaryDirectory() as folder:
        table = Path(folder) / "rings.csv"
        lines = (f"{i},used,{a:.2f},caliper,{b:.2f},flat,{c:.2f},caliper\n" for i, (a, b, c) in enumerate(typed))
        table.write_text("case,condition,od_mm,od_method,cs_mm,cs_method,width_mm,width_method\n" + "".join(lines))
        paces = {}
        answers = {}
        for threads in (1, 2):
            command = [program, "ring", "--batch", str(table), "--format", "csv", "--threads", str(threads)]
            best = float("inf")
            for _ in range(3):
                begin = time.perf_counter()
                answers[threads] = subprocess.run(command, check=True, capture_output=True).stdout
                best = min(best, time.perf_counter() - begin)
            paces[threads] = number / best
    if answers[1] != answers[2]:
        raise SystemExit("the answer depends on the number of threads")
    first = {}
    for row in csv.DictReader(io.StringIO(answers[1].decode())):
        if row["rank"] == "1":
            first[int(row["case"])] = (float(row["id_mm"]), float(row["cs_mm"]), float(row["probability"]))
    best = five[np.arange(few), shares.argmax(1)]
    near = lambda row, k: abs(row[0] - rings[0][k]) <= NEAR and abs(row[1] - rings[1][k]) <= NEAR  # noqa: E731
    same = [first.get(i, ())[:2] == (round(rings[0][k], 6), round(rings[1][k], 6)) for i, k in enumerate(best)]
    right = np.mean([first.get(i, ())[:2] == (rings[0][k], rings[1][k]) for i, k in enumerate(truth)])
    print(f"{number} rings, {len(rings[0])} listed, OD by caliper, section flat, width by caliper, used")
    print(f"numpy {np.__version__}, one thread      {numpy_pace:10.0f} rings a second")
    for threads, pace in paces.items():
        print(f"ring --batch, {threads} thread(s)     {pace:10.0f} rings a second, {pace / numpy_pace:.1f} times numpy")
    figures = Figures("batch")
    for threads, pace in paces.items():
        figures.add(f"ring --batch, a ring, {threads} thread(s)", 1e6 / pace, "us", peer="numpy, one thread", peer_value=1e6 / numpy_pace,
                    bound="every listed ring weighed in every mode")
    figures.write()
    print(f"the first ring is the same as numpy's in {100 * np.mean(same):.1f} % of rings, and right in {100 * right:.1f} %")


if __name__ == "__main__":
    main()
