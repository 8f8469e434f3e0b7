"""Invented notes, rings and offers of any number, for the benches."""


def note(parts, model="Growth", unit=1):
    lines = [
        f"o-ring ; at place {at} ; replace ; used ; od {5 + at % 90}.85 by caliper ; cs 1.72 by caliper" for at in range(parts)
    ]
    return f"model {model}\nunit {unit}\ndate 2026-03-14\nlengths mm\n\n[body]\n" + "\n".join(lines) + "\n"


def rings(count, rng):
    rows = [f"{at},{rng.uniform(6, 90):.2f},{rng.uniform(1.5, 5.6):.2f}" for at in range(count)]
    return "case,od_mm,cs_mm\n" + "\n".join(rows) + "\n"


# What the demo's models need: description, pieces in a pack, price.
NEEDED = (
    ("O-RING AS568-025 NBR 70", 10, 2.0), ("O-RING AS568-118 NBR 70", 10, 2.2), ("O-RING AS568-011 NBR 70", 1, 0.3),
    ("Filter disc 12.7 x 3.2 mm", 1, 1.9), ("Seat 6.35 x 3.2 mm hard plastic", 1, 2.5), ("Clip 14.3 x 1.1 mm", 1, 0.3),
    ("O-RING AS568-012 NBR 90", 10, 2.0), ("Filter cone 10.5 x 14.0 mm", 1, 2.2), ("Circlip 13.0 x 1.0 mm", 1, 0.28),
    ("Seat 7.0 x 3.0 mm hard plastic", 1, 2.7),
)


def yard(rng):
    """The list of a supplier that sells some of what the demo's models need, cheaper or dearer."""
    rows = [f"Y{at},{what},{pack},{price * rng.uniform(0.5, 1.3):.2f}" for at, (what, pack, price) in enumerate(NEEDED) if rng.random() < 0.6]
    return "part no,description,pack,price\n" + "\n".join(rows) + "\n"


def offers(count, rng):
    rows = [f"N{at:07},O-RING {rng.uniform(3, 90):.2f} x {rng.uniform(1, 5):.2f} MM NBR 70,10,{rng.uniform(1, 9):.2f}" for at in range(count)]
    return "part no,description,pack,price\n" + "\n".join(rows) + "\n"
