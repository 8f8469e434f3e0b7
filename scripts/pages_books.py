"""Writes notes for the stress books of scripts/pages: long names, 200 parts, hostile names. With --check it holds the text of
their PDFs, as pdftotext gives it, against every name that was written. Run in the folder of the sheets."""

import subprocess
import sys
from pathlib import Path

LONG = "Adjustable intermediate-pressure regulating valve spring-guide retaining bush of the second reserve stage"
UNBROKEN = "Hochdruckventilfederführungsbuchsenhaltering" * 3


def long_parts():
    for number in range(12):
        yield f"o-ring ; at {LONG} number {number} ; replace ; od {12 + number}.0 mm by caliper ; cs 1.75 mm by caliper"
        yield f"washer ; at {UNBROKEN}{number} ; keep ; od {14 + number}.0 mm ; remark {LONG} and {UNBROKEN}"


def many_parts():
    for number in range(100):
        yield f"o-ring ; at place {number:03} ; replace ; od {8 + number * 0.4:.1f} mm by caliper ; cs 1.78 mm by caliper"
        yield f"washer ; at shoulder {number:03} ; keep ; od {9 + number * 0.4:.1f} mm ; torque 25 N m"


HOSTILE = '<script>document.title="broken"</script>', '<img src="http://example.invalid/x" onerror="x=1">', "'\"><b>", "</style></script>"


def notes():
    yield "long", f"model {LONG} Long", f"{UNBROKEN}-1", long_parts()
    yield "many", "model Many", "M-1", many_parts()
    yield "hostile", f"model {HOSTILE[0]}", HOSTILE[1], (f"o-ring ; at {HOSTILE[n]} {n} ; replace ; od 12.8 mm by caliper ; "
                                                         f"cs 1.75 mm by caliper ; remark {HOSTILE[3]}" for n in range(3))


def write():
    for name, model, unit, parts in notes():
        lines = [model, f"unit {unit}", "date 2026-03-14", "gas air", "", "[stage]", *parts]
        Path(f"{name}.note").write_text("\n".join(lines) + "\n", encoding="utf-8")


def dense(text):
    return "".join(text.split())


def check():
    """A name may be broken over lines and columns lie side by side, so that each word must be found, in as many pieces as the
    layout of pdftotext gives; an unbroken word is looked for in the raw order of the page."""
    failed = 0
    for name, prefix in (("long", "long-a4"), ("long", "long-letter"), ("many", "many-a4")):
        for sheet in ("shop", "assembly"):
            printed = subprocess.run(["pdftotext", "-raw", f"{prefix}-{sheet}.pdf", "-"], capture_output=True, text=True, check=True)
            text = dense(printed.stdout)
            wanted = [f"place{n:03}" for n in range(100)] + [f"shoulder{n:03}" for n in range(100)] if name == "many" else [
                dense(f"{LONG} number {n}") for n in range(12)]
            missing = [words for words in wanted if words not in text]
            if missing:
                print(f"FAIL  {prefix}-{sheet}.pdf lacks {len(missing)} of {len(wanted)}: {missing[0]}")
                failed = 1
            else:
                print(f"pages: {prefix}-{sheet}.pdf holds all {len(wanted)} names")
    return failed


if __name__ == "__main__":
    sys.exit(check() if sys.argv[1:] == ["--check"] else write())
