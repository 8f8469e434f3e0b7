"""Checks the rate of a spring from wire, diameter and coils against a frame of beams solved by PyNiteFEA, a general library of
structural analysis: the wire is cut into straight beams that bend, twist and stretch; nothing in it knows the spring formula.
A load stands on the axis of the coil at each end, by stiff arms, as between flat faces; the head may turn about the axis.
The pitch is small (2 degrees), where the formula holds. Tolerance 1 %: the formula leaves out the pitch (0.1 %), bending and
stretch; straight pieces for arcs of 7.5 degrees make the wire shorter and the frame stiffer (half of what remains goes with
pieces half as long)."""
import json
import math
import os
import subprocess
import sys

from Pynite import FEModel3D

PROGRAM = os.environ["RINGWRIGHT"]
PIECES = 48  # a turn
PITCH = math.radians(2.0)
TOLERANCE = 0.01
# Wire, outside diameter in mm, active coils; common steel springs of such units and wider.
SPRINGS = [(3.4, 25.6, 5.0), (2.5, 20.0, 6.0), (1.0, 10.0, 8.0), (4.0, 34.0, 4.0), (0.8, 9.6, 10.0), (3.0, 18.0, 5.0)]


MATERIAL = "stainless 302/304/316"
SHEAR_MPA = 69e3  # as data/stage/spring_materials.csv has it; both sides take the same
YOUNG_MPA = 193e3  # hardly matters: the wire twists


def by_program(wire, outside, coils):
    """Rate in N/mm; two closed coils at the ends do not give way."""
    words = [PROGRAM, "spring", "--wire", f"{wire} mm", "--od", f"{outside} mm", "--coils", str(coils + 2),
             "--format", "json"]
    done = subprocess.run(words, capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"{words}: {done.stderr}")
    return next(row["rate"]["n_per_mm"] for row in json.loads(done.stdout)["rates"] if row["by"] == MATERIAL)


def by_frame(wire, outside, coils, shear, young):
    """Rate in N/mm of the helix as a frame."""
    radius = (outside - wire) / 2
    rise = 2 * math.pi * radius * math.tan(PITCH) / PIECES
    model = FEModel3D()
    poisson = young / (2 * shear) - 1
    model.add_material("steel", young, shear, poisson, 7.85e-6)
    area = math.pi * wire**2 / 4
    bend = math.pi * wire**4 / 64
    model.add_section("wire", area, bend, bend, 2 * bend)
    model.add_section("arm", area * 1e4, bend * 1e4, bend * 1e4, 2e4 * bend)
    count = round(PIECES * coils)
    for at in range(count + 1):
        turn = 2 * math.pi * at / PIECES
        model.add_node(f"N{at}", radius * math.cos(turn), at * rise, radius * math.sin(turn))
        if at:
            model.add_member(f"M{at}", f"N{at - 1}", f"N{at}", "steel", "wire")
    for name, at in (("foot", 0), ("head", count)):
        model.add_node(name, 0, at * rise, 0)
        model.add_member(f"A{name}", name, f"N{at}", "steel", "arm")
    model.def_support("foot", True, True, True, True, True, True)
    # The head slides along the axis and may turn about it; it is held flat, as under a piston.
    model.def_support("head", True, False, True, True, False, True)
    model.add_node_load("head", "FY", -1.0)
    model.analyze_linear()
    sunk = -model.nodes["head"].DY["Combo 1"]
    return 1.0 / sunk


worst = 0.0
for spring in SPRINGS:
    ours = by_program(*spring)
    theirs = by_frame(*spring, SHEAR_MPA, YOUNG_MPA)
    off = ours / theirs - 1
    worst = max(worst, abs(off))
    print(f"wire {spring[0]} mm, outside {spring[1]} mm, {spring[2]} coils: {ours:.3f} N/mm, frame {theirs:.3f}, off by {off:+.2%}")
if worst > TOLERANCE:
    sys.exit(f"the greatest difference {worst:.2%} is above {TOLERANCE:.1%}")
