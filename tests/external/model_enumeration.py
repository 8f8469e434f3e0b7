"""Checks the odds of `parts` against full enumeration with numpy, on 50 invented models of two or three places and one to three units.

For every regime of families, every listed ring that a place may have been made for and every listed ring that may have come out of a unit,
the chances are multiplied and added up, as the module `identification` documents them. The likelihood of a ring's readings is summed over
set (cut at zero, evenly stepped), both directions of squeeze and both laws of swell; given these it is a normal law. One reading of a ring
may be a slip. The share of unlisted rings is set to 0 on both sides, and no gland is given; the rings of one unit are read with different
tools, because what they tell of one hand is not a sum that closes.

Reads RINGWRIGHT (the program) and the tables in `data`. Tolerance: 0.5 % absolute on the odds of every ring that a place was made for, on
those of every ring that came out, and on the chance that it is a foreign one.
"""

import csv
import io
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np

MODELS = 50
SEED = 11
TOLERANCE = 0.005
BAND = 1.959964
LAST_DIGIT = 0.01  # readings are typed to a hundredth of a millimetre
OVAL = 0.32 / (2 * 2**0.5 * 18.2)  # one diameter of a ring that lies free, as a share of it (the module `evidence`)
TOOLS = (  # for each place
    {"od": "caliper", "cs": "caliper", "id": "caliper"},
    {"od": "tape", "cs": "flat", "id": "cone"},
    {"od": "micrometer", "cs": "gauge", "id": "pin"},
)
SLIP, SLIP_RANGE = 0.01, 7.7551  # the module `likelihood`
FAR_SWOLLEN = ((0.90, 1.0), (0.10, 2.5))  # the module `wear`
# The module `foreign`: share, share of these near the right size, and how near.
FOREIGN, NEAR, NEAR_ID, NEAR_SECTION, REACH = 0.1, 0.93, (0.2, 0.04), 0.2, 5.000001
ONE_GROUP, TWO_GROUPS, LOYAL = 0.65, 0.2, 0.96  # the module `families`
GROUPS = (
    ("AS568", "AS568-9xx", "ISO 3601-1"),
    ("ISO 3601-1 metric",),
    ("JIS B 2401 P", "JIS B 2401 G", "JIS B 2401 V"),
    ("BS 4518",),
    ("trade metric", "trade metric, implied"),
)
WEIGHTS = {"ISO 3601-1": 0.0, "trade metric, implied": 0.2}  # others count 1: the module `prior`
PROGRAM = os.environ["RINGWRIGHT"]
DATA = Path(__file__).parents[2] / "data" / "measurement"


def instruments():
    with (DATA / "instruments.csv").open(newline="") as rows:
        return {
            (row["measurand"], row["method"]): tuple(float(row[k]) for k in ("bias", "sd_between", "sd_repeat"))
            for row in csv.DictReader(rows)
        }


def wear():
    with (DATA / "conditions.csv").open(newline="") as rows:
        row = next(row for row in csv.DictReader(rows) if row["condition"] == "used")
    return tuple(float(row[k]) for k in ("swell_mean", "swell_sd", "set_mean", "set_sd"))


INSTRUMENTS, WEAR = instruments(), wear()


class Rings:
    """The physical rings (sizes within a hundredth of a millimetre are one) with their weight in each group of families."""

    def __init__(self):
        text = subprocess.run([PROGRAM, "size", "table", "--format", "csv"], check=True, capture_output=True, text=True).stdout
        sizes, weights, self.place = [], [], {}
        for row in csv.DictReader(io.StringIO(text)):
            d1, d2 = float(row["id_mm"]), float(row["cs_mm"])
            bands = [(2.25, 0.08), (3.15, 0.09), (4.50, 0.10), (6.30, 0.13), (8.40, 0.15), (10.0, 0.18)]
            class_b = next((t for upper, t in bands if d2 <= upper), 0.20)
            group = next(at for at, names in enumerate(GROUPS) if row["standard"] in names)
            same = (at for at, (x, y, *_) in enumerate(sizes) if abs(x - d1) <= 0.0100001 and abs(y - d2) <= 0.0100001)
            at = next(same, None)
            if at is None:
                at = len(sizes)
                sizes.append((d1, d2, float(row["id_tol_mm"] or 0.009 * d1**0.95 + 0.11), float(row["cs_tol_mm"] or class_b)))
                weights.append(np.zeros(len(GROUPS)))
            weights[at][group] += WEIGHTS.get(row["standard"], 1.0)
            self.place[row["code"]] = at
        self.d1, self.d2, self.t1, self.t2 = np.array(sizes).T
        weights = np.array(weights)
        self.shares = weights.sum(1) / weights.sum()
        self.regimes = self.laid_out(weights)
        self.kernel = self.fitted()

    def laid_out(self, weights):
        """The share of each regime, and in it that of each ring."""
        of_group = weights.sum(0) / weights.sum()
        in_group = weights / weights.sum(0)
        count = len(GROUPS)
        sets = [((a,), ONE_GROUP) for a in range(count)]
        sets += [((a, b), TWO_GROUPS / (count - 1)) for a in range(count) for b in range(a + 1, count)]
        regimes = []
        for groups, weight in sets:
            own = np.isin(np.arange(count), groups) * of_group
            shares = LOYAL * own / own.sum() + (1 - LOYAL) * of_group
            regimes.append((weight * own.sum(), in_group @ shares))
        return regimes + [(1 - ONE_GROUP - TWO_GROUPS, in_group @ of_group)]

    def fitted(self):
        """The chance that a foreign ring is the one of the column where that of the row belongs."""
        steps = np.log1p(NEAR_ID[1] * self.d1 / NEAR_ID[0]) / NEAR_ID[1]
        id_apart = np.abs(steps[None, :] - steps[:, None])
        section = np.abs(self.d2[None, :] - self.d2[:, None]) / NEAR_SECTION
        near = np.where((id_apart <= REACH) & (section <= REACH), np.exp(-id_apart - section) * (1 + 2 * np.exp(-id_apart)), 0.0)
        np.fill_diagonal(near, 0.0)
        near *= self.shares
        total = near.sum(1, keepdims=True)
        of_near = np.divide(near, total, out=np.zeros_like(near), where=total > 0)
        return np.where(total > 0, NEAR * of_near + (1 - NEAR) * self.shares, self.shares)


def counts_for(readings, tools):
    """What was measured, the mean with the bias taken off, its variance."""
    for what, values in readings.items():
        bias, between, repeat = INSTRUMENTS[what, tools[what]]
        across = what == "od" and len(values) == 1 and tools[what] != "tape"
        oval = OVAL * values[0] if across else 0.0
        yield what, np.mean(values) - bias, between**2 + repeat**2 / len(values) + oval**2 + LAST_DIGIT**2 / 12


def normal(residual, covariance):
    inverse = np.linalg.inv(covariance)
    square = np.einsum("...i,...ij,...j", residual, inverse, residual)
    return np.exp(-0.5 * square) / np.sqrt(np.linalg.det(2 * np.pi * covariance))


def likelihood(rings, readings, tools):
    """How likely the readings are for every listed ring."""
    swell, swell_sd, flat, flat_sd = WEAR
    low, high, steps = 0.0, flat + 4.5 * flat_sd, 40
    c = low + (high - low) * (np.arange(steps) + 0.5) / steps
    of_c = np.exp(-0.5 * ((c - flat) / flat_sd) ** 2)
    of_c /= of_c.sum()
    d1, d2, c = rings.d1[:, None], rings.d2[:, None], c[None, :]
    whats, values, variances = (np.array(column) for column in zip(*counts_for(readings, tools)))
    total = 0.0
    for axial in (False, True):
        thick = 1 / (1 - c) if axial else 1 - c
        predicted, by_d1, by_d2, by_swell = [], [], [], []
        for what in whats:
            k = {"od": (1.0, 1.0 + thick), "id": (1.0, 1.0 - thick), "cs": (0.0, 1 - c)}[what]
            middle = k[0] * d1 + k[1] * d2
            predicted.append(middle * (1 + swell))
            by_d1.append(k[0] * (1 + swell) + 0 * middle)
            by_d2.append(k[1] * (1 + swell) + 0 * middle)
            by_swell.append(middle)
        predicted, by_d1, by_d2, by_swell = (np.stack(x, -1) for x in (predicted, by_d1, by_d2, by_swell))
        residual = values - predicted
        outer = lambda slopes: slopes[..., :, None] * slopes[..., None, :]
        moulded = (rings.t1[:, None, None, None] / BAND) ** 2 * outer(by_d1) + (rings.t2[:, None, None, None] / BAND) ** 2 * outer(by_d2)
        for share, times in FAR_SWOLLEN:
            covariance = moulded + (swell_sd * times) ** 2 * outer(by_swell) + np.diag(variances)
            honest = (1 - SLIP) ** len(whats) * normal(residual, covariance)
            for slip in range(len(whats)):
                kept = [at for at in range(len(whats)) if at != slip]
                rest = normal(residual[..., kept], covariance[..., kept, :][..., kept])
                honest = honest + SLIP * (1 - SLIP) ** len(kept) * rest / (values[slip] * SLIP_RANGE)
            total = total + 0.5 * share * honest @ of_c
    return total


def enumerate_model(rings, units):
    """For each place the odds of what it was made for; for each ring those of what came out, and that it is foreign."""
    places = len(units[0])
    found = [[likelihood(rings, unit[place], TOOLS[place]) for unit in units] for place in range(places)]
    own = [[(1 - FOREIGN) * one for one in place] for place in found]
    other = [[FOREIGN * rings.kernel @ one for one in place] for place in found]
    seen = [np.prod([a + b for a, b in zip(own[p], other[p])], axis=0) for p in range(places)]
    evidence = np.array([[shares @ seen[p] for p in range(places)] for _, shares in rings.regimes])
    weight = np.array([share for share, _ in rings.regimes])
    answer = []
    for p in range(places):
        others = weight * np.prod(np.delete(evidence, p, axis=1), axis=1)
        made = sum(w * shares for w, (_, shares) in zip(others, rings.regimes)) * seen[p]
        made /= made.sum()
        out = []
        for u, one in enumerate(found[p]):
            by = np.divide(made, own[p][u] + other[p][u], out=np.zeros_like(made), where=made > 0)
            foreign = FOREIGN * (by @ rings.kernel) * one
            out.append((by * own[p][u] + foreign, foreign.sum()))
        answer.append((made, out))
    return answer


def draw(generator, rings):
    """A model: for each unit and place the readings of a ring."""
    small = lambda shares: shares * (rings.d1 < 45) * (rings.d1 > 3) * (rings.d2 < 4.2)
    pick = lambda shares: generator.choice(len(shares), p=shares / shares.sum())
    _, shares = rings.regimes[pick(np.array([share for share, _ in rings.regimes]))]
    made = [pick(small(shares)) for _ in range(generator.integers(2, 4))]
    swell, swell_sd, flat, flat_sd = WEAR
    units = []
    for _ in range(generator.integers(1, 4)):
        unit = []
        for place, tools in zip(made, TOOLS):
            ring = pick(rings.kernel[place]) if generator.random() < FOREIGN else place
            c, axial = abs(generator.normal(flat, flat_sd)), generator.random() < 0.5
            grown = 1 + generator.normal(swell, swell_sd)
            d1 = generator.normal(rings.d1[ring], rings.t1[ring] / BAND) * grown
            d2 = generator.normal(rings.d2[ring], rings.t2[ring] / BAND) * grown
            thick = d2 / (1 - c) if axial else d2 * (1 - c)
            truth = {"od": d1 + d2 + thick, "cs": d2 * (1 - c)}
            if generator.random() < 0.35 and d1 > 5:
                truth["id"] = d1 + d2 - thick
            readings = {}
            for what, value in truth.items():
                bias, between, repeat = INSTRUMENTS[what, tools[what]]
                mean = value + generator.normal(bias, between)
                readings[what] = [max(0.3, round(mean + generator.normal(0, repeat), 2)) for _ in range(generator.integers(1, 4))]
            unit.append(readings)
        units.append(unit)
    return units


def note(model, serial, unit):
    rows = [f"model {model}", f"unit {serial}", f"date 2026-02-{serial:02d}", "gas air", "supply 200 bar", "lengths mm", "", "[body]"]
    for at, readings in enumerate(unit):
        words = [f"{what} {' '.join(f'{v:.2f}' for v in values)} by {TOOLS[at][what]}" for what, values in readings.items()]
        rows.append(" ; ".join(["o-ring", f"at place {at + 1}", "replace", "used", *words]))
    return "\n".join(rows) + "\n"


def asked(folder, model, units):
    """What the program says: the lines of the parts list, by place."""
    book = folder / f"{model}.book"
    files = []
    for serial, unit in enumerate(units, 1):
        files.append(folder / f"{model}-{serial}.note")
        files[-1].write_text(note(model, serial, unit))
    subprocess.run([PROGRAM, "note", "add", *files, "--book", book], check=True, capture_output=True)
    words = [PROGRAM, "parts", model, "--prior", "unlisted=0", "--book", book, "--format", "json"]
    lines = json.loads(subprocess.run(words, check=True, capture_output=True, text=True).stdout)["lines"]
    return {line["position"]: line for line in lines}


def gaps(rings, line, made, out):
    """How far the program's odds lie from the enumerated ones, by what they are of."""
    for one in line["made_for_odds"]:
        yield "made for", abs(one["probability"] - made[rings.place[one["codes"][0]]])
    for unit, (odds, foreign) in zip(sorted(line["came_out"], key=lambda one: int(one["unit"])), out):
        yield "foreign", abs(unit["foreign_probability"] - foreign)
        for one in unit["odds"]:
            yield "came out", abs(one["probability"] - odds[rings.place[one["codes"][0]]])


def main():
    rings = Rings()
    generator = np.random.default_rng(SEED)
    every = {}
    with tempfile.TemporaryDirectory() as folder:
        for at in range(MODELS):
            units = draw(generator, rings)
            lines = asked(Path(folder), f"Small{at}", units)
            for place, (made, out) in enumerate(enumerate_model(rings, units), 1):
                for what, gap in gaps(rings, lines[f"at place {place}"], made, out):
                    every.setdefault(what, []).append((gap, at, place))
    wrong = False
    for what, all_gaps in every.items():
        worst = max(all_gaps)
        wrong |= worst[0] > TOLERANCE
        print(f"{what}: {len(all_gaps)} odds compared, largest difference {worst[0]:.4f} (model {worst[1]}, place {worst[2]})")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
