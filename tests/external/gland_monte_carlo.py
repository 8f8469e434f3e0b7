"""Compares the sampled chances of 100 random glands with an independent Monte Carlo in numpy.

The other side is written from the published formulas alone: constant volume (by bisection), the stretch-loss curve, squeeze
over the seated section, volumes of annuli, triangles and dovetails by Pappus. The program draws a low-discrepancy sequence;
numpy draws 200,000 pseudo-random ones. A chance may differ by five standard errors of both samples taken together, and 0.2 %
for the corners of the sequence; means and deviations of squeeze and fill by five standard errors of 16,384 samples.
"""

import json
import math
import os
import subprocess
import sys

import numpy as np

GLANDS = 100
DRAWS = 200_000
SAMPLES = 16_384
SEED = 20_260_314
BAND = 1.959964
SECTIONS = [1.78, 2.0, 2.4, 2.62, 3.0, 3.53]


def stretch_loss(s):
    """Per cent of section lost for a stretch in per cent: the published two-branch fit, straight below 0.05 %."""
    low = np.minimum(0.01 + 1.06 * s - 0.10 * s * s, 1.26 * s)
    t = np.minimum(s, 25.0)
    high = np.maximum(0.56 + 0.59 * t - 0.0046 * t * t, 2.29)
    return np.where(s <= 0, 0.0, np.where(s <= 3, low, high))


def keep_volume(volume, slope_sign, diameter, section):
    """Solves w^2 (diameter + sign w) = volume by bisection around the free section."""
    low, high = 0.3 * section, 1.5 * section
    for _ in range(50):
        mid = 0.5 * (low + high)
        small = mid * mid * (diameter + slope_sign * mid) < volume
        low, high = np.where(small, mid, low), np.where(small, high, mid)
    return 0.5 * (low + high)


def seated(d1, w, inside, outside, centre, share):
    volume = w * w * (d1 + w)
    if inside is not None:
        stretch = 100 * (inside - d1) / d1
        by_volume = keep_volume(volume, 1, inside, w)
        nominal = np.where(stretch > 0, by_volume, w)
        greatest = by_volume if outside is None else np.sqrt(volume / (0.5 * (inside + outside)))
    elif centre is not None:
        stretch = 100 * (centre / (d1 + w) - 1)
        by_volume = w * np.sqrt((d1 + w) / centre)
        nominal = np.where(stretch > 0, by_volume, w)
        greatest = by_volume
    else:
        stretch = np.zeros_like(w)
        nominal = w
        pressed = keep_volume(volume, -1, outside, w)
        greatest = np.where(outside < d1 + 2 * w, pressed, w)
    greatest = np.maximum(greatest, nominal)
    least = np.minimum(nominal, w * (1 - stretch_loss(stretch) / 100))
    return least + share * (greatest - least), stretch


def turned(area, centroid_radius):
    return 2 * math.pi * area * centroid_radius


def random_gland(rng):
    """Returns the flags of a gland with its ring, and the dimensions with tolerances."""
    kind = rng.choice(["piston", "rod", "face-in", "face-out", "crush", "dovetail", "counterbore", "carrier"])
    w = float(rng.choice(SECTIONS))
    d1 = round(float(rng.uniform(13.0, 60.0)), 2)
    depth = w * (1 - rng.uniform(0.10, 0.33))
    root = d1 * (1 + rng.uniform(0.005, 0.05))
    width = w * rng.uniform(1.25, 1.5)
    tol = lambda: round(float(rng.uniform(0.01, 0.06)), 3)
    dims = {}
    if kind in ("piston", "carrier"):
        dims = {"bore": root + 2 * depth, "groove": root, "width": width, kind: root + 2 * depth - 0.2}
    elif kind == "rod":
        rod = d1 * (1 + rng.uniform(-0.01, 0.03))
        dims = {"rod": rod, "groove": rod + 2 * depth, "width": width}
    elif kind == "face-in":
        dims = {"outer": (d1 + 2 * w) * rng.uniform(0.97, 1.01), "depth": depth, "width": width}
    elif kind == "face-out":
        dims = {"inner": root, "depth": depth, "width": width}
    elif kind == "crush":
        dims = {"neck": root, "chamfer": w * rng.uniform(1.25, 1.45)}
    elif kind == "dovetail":
        dims = {"centre": (d1 + w) * rng.uniform(0.99, 1.03), "depth": depth, "width": w * rng.uniform(0.8, 0.9)}
    else:
        dims = {"outer": (d1 + 2 * w) * rng.uniform(0.98, 1.02), "neck": root, "depth": depth}
    dims = {name: (round(float(value), 3), tol()) for name, value in dims.items()}
    law = str(rng.choice(["measured", "uniform", "triangular"]))
    return kind, dims, (d1, round(float(rng.uniform(0.05, 0.3)), 3)), (w, 0.08), law


def draw(rng, law, value, tolerance):
    if law == "measured":
        return rng.normal(value, tolerance / BAND, DRAWS)
    if law == "uniform":
        return rng.uniform(value - tolerance, value + tolerance, DRAWS)
    return rng.triangular(value - tolerance, value, value + tolerance, DRAWS)


def figures(kind, x, d1, w, share):
    """Returns every figure for arrays of settled dimensions."""
    inside = outside = centre = gap = None
    annulus = lambda outer, inner, length: turned((outer - inner) / 2 * length, (outer + inner) / 4)
    if kind in ("piston", "carrier"):
        inside, depth = x["groove"], (x["bore"] - x["groove"]) / 2
        volume, gap = annulus(x["bore"], x["groove"], x["width"]), x["bore"] - x[kind]
    elif kind == "rod":
        inside, outside, depth = x["rod"], x["groove"], (x["groove"] - x["rod"]) / 2
        volume = annulus(x["groove"], x["rod"], x["width"])
    elif kind == "face-in":
        outside, depth = x["outer"], x["depth"]
        volume = annulus(x["outer"], x["outer"] - 2 * x["width"], depth)
    elif kind == "face-out":
        inside, depth = x["inner"], x["depth"]
        volume = annulus(x["inner"] + 2 * x["width"], x["inner"], depth)
    elif kind == "crush":
        inside, leg = x["neck"], x["chamfer"]
        depth = leg * (2 - math.sqrt(2))
        volume = turned(leg * leg / 2, x["neck"] / 2 + leg / 3)
    elif kind == "dovetail":
        centre, depth = x["centre"], x["depth"]
        volume = turned(depth * (x["width"] + depth / math.tan(math.radians(66))), centre / 2)
    else:
        inside, outside, depth = x["neck"], x["outer"], x["depth"]
        volume = annulus(x["outer"], x["neck"], depth)
    section, stretch = seated(d1, w, inside, outside, centre, share)
    if inside is not None and outside is not None:
        stretch = np.maximum(stretch, 0)
    squeeze = section - depth
    found = {
        "squeeze": 100 * squeeze / section,
        "squeeze against the printed table": 100 * (w - depth) / w,
        "squeeze in millimetres": squeeze,
        "contact": squeeze,
        "stretch": np.maximum(stretch, 0) if centre is not None else stretch,
        "fill": 100 * (math.pi**2 / 4 * w * w * (d1 + w)) / volume,
    }
    if kind == "face-in":
        found["room at the other wall"] = d1 - (x["outer"] - 2 * x["width"])
    if kind == "face-out":
        found["room at the other wall"] = x["inner"] + 2 * x["width"] - (d1 + 2 * w)
    return found


def program(kind, dims, ring_id, ring_section, law):
    words = [os.environ["RINGWRIGHT"], "gland", "check", "--format", "json", "--kind", kind.split("-")[0]]
    for name, (value, tolerance) in dims.items():
        words += [f"--{name}", f"{value}±{tolerance} mm"]
    words += ["--ring", f"{ring_id[0]}±{ring_id[1]} x {ring_section[0]}±{ring_section[1]} mm"]
    words += ["--law", law, "--samples", str(SAMPLES)]
    done = subprocess.run(words, capture_output=True, text=True)
    if done.returncode not in (0, 1):
        raise SystemExit(f"{words}: {done.stderr}")
    return json.loads(done.stdout)["stack"]


def main():
    rng = np.random.default_rng(SEED)
    faults, compared, worst = [], 0, 0.0
    for number in range(GLANDS):
        kind, dims, ring_id, ring_section, law = random_gland(rng)
        stack = program(kind, dims, ring_id, ring_section, law)
        x = {name: draw(rng, law, *pair) for name, pair in dims.items()}
        d1, w = draw(rng, "measured", *ring_id), draw(rng, "measured", *ring_section)
        mine = figures(kind, x, d1, w, rng.uniform(0, 1, DRAWS))
        for row in stack["outside"]:
            if row["name"] not in mine:
                continue
            value, slack = mine[row["name"]], 0.5 if "printed" in row["name"] else 1e-9
            outside = np.zeros(DRAWS, dtype=bool)
            if row["low"] is not None:
                outside |= value < row["low"] - slack
            if row["high"] is not None:
                outside |= value > row["high"] + slack
            theirs, ours = row["chance"], float(outside.mean())
            spread = max(ours, 1 / DRAWS) * (1 - min(ours, 1 - 1 / DRAWS))
            error = 5 * math.sqrt(spread * (1 / DRAWS + 1 / SAMPLES)) + 0.002
            compared += 1
            worst = max(worst, abs(theirs - ours))
            if abs(theirs - ours) > error:
                faults.append(f"gland {number} {kind} {law} {row['name']}: {theirs:.4f} here, {ours:.4f} by numpy")
        for row in stack["spreads"]:
            name = {"squeeze_mm": "contact", "squeeze_pct": "squeeze", "fill_pct": "fill"}.get(row["figure"])
            if name is None:
                continue
            mean, deviation = float(mine[name].mean()), float(mine[name].std())
            compared += 2
            error = 5 * deviation / math.sqrt(SAMPLES)
            if abs(row["mean"] - mean) > error or abs(row["deviation"] - deviation) > error:
                faults.append(f"gland {number} {kind} {law} {row['figure']}: {row} here, {mean} ± {deviation} by numpy")
    print(f"{GLANDS} glands, {compared} figures compared with numpy {np.__version__}, {len(faults)} differ; greatest difference of a chance {100 * worst:.2f} %")
    for fault in faults:
        print(f"  {fault}")
    return 1 if faults or compared < 500 else 0


if __name__ == "__main__":
    sys.exit(main())
