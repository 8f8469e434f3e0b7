"""Invented notes, rings and offers of any number, for the benches."""


def note(parts, model="Growth", unit=1):
    lines = [
        f"o-ring ; at place {at} ; replace ; used ; od {5 + at % 90}.85 by caliper ; cs 1.72 by caliper" for at in range(parts)
    ]
    return f"model {model}\nunit {unit}\ndate 2026-03-14\nlengths mm\n\n[body]\n" + "\n".join(lines) + "\n"


def rings(count, rng):
    rows = [f"{at},{rng.uniform(6, 90):.2f},{rng.uniform(1.5, 5.6):.2f}" for at in range(count)]
    return "case,od_mm,cs_mm\n" + "\n".join(rows) + "\n"


def offers(count, rng):
    rows = [f"N{at:07},O-RING {rng.uniform(3, 90):.2f} x {rng.uniform(1, 5):.2f} MM NBR 70,10,{rng.uniform(1, 9):.2f}" for at in range(count)]
    return "part no,description,pack,price\n" + "\n".join(rows) + "\n"
