"""Checks the printed sheets with tools from outside: pypdfium2 reads the text of a PDF and draws it at 600 dpi, pypdf lists
its fonts, and zxing-cpp reads the codes of 500 random labels.

- The outline of a 100 x 2 mm ring and both check bars measure what they should within 0.1 mm in the raster.
- The seat of the demo, 8 mm by its notes, is as large on its make-it sheet; of 25 parts along their axis two are as large as noted.
- Every font of a PDF is embedded, and its text is whole.
- The QR codes of 500 labels of random text hold exactly the text whose check digits `sheet read-label` accepts.
"""

import os
import random
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
import pypdf
import pypdfium2
import zxingcpp

PROGRAM = os.environ["RINGWRIGHT"]
DPI = 600
MM = 25.4 / DPI
LABELS = 500
TOLERANCE_MM = 0.1


def run(folder, *words, expect=0):
    environment = {**os.environ, "RINGWRIGHT_BOOK": str(Path(folder) / "shop.book")}
    done = subprocess.run([PROGRAM, *words], cwd=folder, env=environment, capture_output=True, text=True)
    assert done.returncode == expect, (words, done.stdout, done.stderr)
    return done.stdout


def raster(page, dpi):
    return np.asarray(page.render(scale=dpi / 72, grayscale=True).to_numpy()).squeeze()


def text_of(page):
    return page.get_textpage().get_text_range()


def true_size(folder, paper):
    """Measures the ring from outer line to outer line, and both bars, in the raster; a line is 0.1 mm wide."""
    run(folder, "sheet", "rings", "--ring", "100x2 mm", "--paper", paper, "--out", "ring.pdf", "--date", "2026-03-14")
    document = pypdfium2.PdfDocument(Path(folder) / "ring.pdf")
    dark = raster(document[0], DPI) < 160
    grey = raster(document[0], DPI) < 240
    # The bars: rows in which one run of ink from the left margin is longest. The ring: the widest row of its grey band.
    measured = {}
    left = np.nonzero(dark.any(axis=0))[0][0]
    for y in range(dark.shape[0]):
        row = dark[y, left:]
        length = row.size if row.all() else int(np.argmin(row))
        mm = length * MM
        for name, nominal in (("100 mm bar", 100.0), ("4 in bar", 101.6)):
            if abs(mm - nominal) < 0.6:
                measured[name] = mm
    line = 0.3 / 72 * 25.4  # the outline is 0.3 points wide and the nominal diameter runs in its middle
    wide = max(
        (np.nonzero(grey[y])[0] for y in range(grey.shape[0]) if grey[y].any()),
        key=lambda xs: (103.5 < (xs[-1] - xs[0]) * MM < 104.6) * (xs[-1] - xs[0]),
    )
    measured["ring outside"] = (wide[-1] - wide[0] + 1) * MM - line
    bar_line = 0.5 / 72 * 25.4
    for name, nominal in (("100 mm bar", 100.0 + bar_line), ("4 in bar", 101.6 + bar_line), ("ring outside", 104.0)):
        off = measured[name] - nominal
        print(f"  {paper}: {name} {measured[name]:.3f} mm, off by {off:+.3f} mm")
        assert abs(off) <= TOLERANCE_MM, (name, measured)


def text_and_fonts(folder):
    run(folder, "demo")
    run(folder, "sheet", "parts", "Tarn 2", "--out", "parts.pdf", "--date", "2026-03-14")
    path = Path(folder) / "parts.pdf"
    pages = list(pypdfium2.PdfDocument(path))
    text = " ".join(" ".join(text_of(page) for page in pages).split())
    for words in ("Fellwater Apparatus Tarn 2", "AS568-012", "o-ring at high", "marginal",
                  "local codes and licensed practice come first", f"page 1 of {len(pages)}", "2026-03-14"):
        assert words in text, words
    fonts = {}
    for page in pypdf.PdfReader(path).pages:
        for font in page["/Resources"]["/Font"].values():
            below = font.get_object()["/DescendantFonts"][0].get_object()
            fonts[below["/BaseFont"]] = len(below["/FontDescriptor"]["/FontFile2"].get_object().get_data())
    assert fonts and all("DejaVuSansCondensed" in name and size > 1000 for name, size in fonts.items()), fonts
    print(f"  text whole, fonts embedded: {fonts}")


def undecided(folder):
    """A ring of which one rough reading is known is marked on the sheet, and its size is no order."""
    note = Path(folder) / "rough.note"
    note.write_text("maker Fellwater Apparatus\nmodel Gill\nunit FG-2\ndate 2026-03-15\nlengths mm\n\n[body]\n"
                    "o-ring ; at vent ; replace ; used ; od 12.8 by rule\n")
    run(folder, "note", "add", "rough.note")
    run(folder, "sheet", "parts", "Gill", "--out", "rough.pdf", "--date", "2026-03-16")
    text = " ".join(text_of(page) for page in pypdfium2.PdfDocument(Path(folder) / "rough.pdf"))
    assert "NOT DECIDED" in text, text
    print("  undecided ring marked")


def extent(column):
    """From the first to the last shaded run of at least 0.8 mm in a column, in millimetres."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], column.astype(int), [0]))))
    runs = [(begin, end) for begin, end in zip(edges[::2], edges[1::2]) if (end - begin) * MM >= 0.8]
    return (runs[-1][1] - runs[0][0]) * MM if runs else 0.0


def shading_along_the_axis(folder, file, behind):
    """Returns which points of the drawing of the parts along the axis are shaded; `behind` is what stands below it."""
    pages = list(pypdfium2.PdfDocument(Path(folder) / file))
    page = next(page for page in pages if "Parts along the axis" in text_of(page))
    assert "scale 1:1" in text_of(page)
    words, tall = page.get_textpage(), page.get_height()

    def row_of(text):
        searcher = words.search(text)
        index, _ = searcher.get_next()
        return round((tall - words.get_charbox(index)[3]) / 72 * DPI)

    picture = raster(page, DPI)[row_of("measured.") + round(4 / MM) : row_of(behind)]
    return np.abs(picture.astype(int) - round(0.72 * 255)) <= 2


def along_the_axis(folder):
    """Measures the largest shaded section of the parts along the axis: the ring at the cap joint, AS568-025 at scale 1:1."""
    shade = shading_along_the_axis(folder, "parts.pdf", "Costs, for")
    high = max(extent(column) for column in shade.T)
    line = 0.6 / 72 * 25.4  # half of the outline, 0.6 points wide, covers the shade at each end
    nominal = 29.87 + 2 * 1.78
    print(f"  ring along the axis {high + line:.3f} mm, off by {high + line - nominal:+.3f} mm")
    assert abs(high + line - nominal) <= TOLERANCE_MM


MANY_PARTS = """[inlet]
yoke screw ; keep ; od 18.0 ; length 26.0
o-ring ; at yoke retainer ; replace ; used ; od 12.85 12.90 by caliper ; cs 1.75 1.76 by flat
yoke retainer ; keep ; od 22.0 ; length 14.0
circlip ; over filter ; replace ; od 14.0 ; thick 0.9
filter cone ; under clip ; replace ; od 12.6 ; length 15.0
[cap]
cap ; keep ; od 44.0 ; length 18.0 ; torque 25 N m
o-ring ; at cap joint ; replace ; used ; od 40.1 40.0 by caliper ; cs 2.60 2.62 by flat
thrust washer ; under cap ; keep ; od 30.0 ; hole 14.0 ; thick 1.2
spring ; keep ; wire 3.4 ; od 25.6 ; length 37.2
shim x2 ; under spring ; keep ; od 24.0 ; hole 12.0 ; thick 0.5
diaphragm ; over pad ; replace ; od 36.0 ; thick 1.5
pad ; keep ; od 20.0 ; length 3.0
pin ; keep ; od 3.0 ; length 24.0
[piston]
piston ; keep ; od 28.4 ; length 22.0 ; edge 5.8
o-ring ; on piston head ; replace ; used ; od 29.40 29.42 by caliper ; cs 2.50 2.52 by flat
back-up ring ; on piston head ; replace ; od 28.4 ; id 24.0 ; width 1.3
seat ; in piston stem ; replace ; od 7.0 ; thick 3.0
[body]
o-ring ; at piston stem ; replace ; used ; od 11.43 11.42 by caliper ; cs 1.79 1.80 by flat
back-up ring ; at piston stem ; replace ; od 10.8 ; id 7.95 ; width 1.2
crown ; keep ; od 16.0 ; length 12.0
spring ; under crown ; keep ; wire 1.0 ; od 9.0 ; length 16.0
hex plug ; at high pressure port ; keep ; thread 7/16-20 UNF ; flats 14.0 ; length 13.0
o-ring ; at high pressure plug ; replace ; used ; od 12.85 12.88 by caliper ; cs 1.75 1.72 by flat
hex plug ; at low pressure port ; keep ; thread 3/8-24 UNF ; flats 12.0 ; length 12.0
o-ring ; at low pressure plug ; replace ; used ; od 11.2 11.25 by caliper ; cs 1.76 1.77 by flat
"""


def longest_run(column):
    edges = np.flatnonzero(np.diff(np.concatenate(([0], column.astype(int), [0]))))
    return max(((end - begin) * MM for begin, end in zip(edges[::2], edges[1::2])), default=0.0)


def many_along_the_axis(folder):
    """Measures two of 25 parts at scale 1:1: the diaphragm, 36 mm across, and the filter cone, 15 mm long."""
    head = "model Long Pike\nunit LP-1\ndate 2026-05-02\ngas air\nsupply 200 bar\nlengths mm\n\n"
    (Path(folder) / "many.note").write_text(head + MANY_PARTS, encoding="utf-8")
    run(folder, "note", "add", "many.note", "--book", "many.book")
    run(folder, "sheet", "parts", "Long Pike", "--for", "owner", "--book", "many.book", "--out", "many.pdf", "--date", "2026-05-03")
    shade = shading_along_the_axis(folder, "many.pdf", "Before you order")
    line = 0.6 / 72 * 25.4
    # The grey edge of a drawn line is as light as the shade somewhere, but only one point wide.
    wide = shade[4:-4] & shade[:-8] & shade[8:]
    high = shade.T[4:-4] & shade.T[:-8] & shade.T[8:]
    for what, runs, nominal in (("diaphragm", high, 36.0), ("filter cone", wide, 15.0)):
        # The outline covers half of its width of the shade at each end.
        measured = max(longest_run(one) for one in runs) + line
        print(f"  {what} of 25 parts {measured:.3f} mm, off by {measured - nominal:+.3f} mm")
        assert abs(measured - nominal) <= TOLERANCE_MM, (what, measured)


def inside_its_label(page):
    """Every letter of a label that is a page of its own stands on it."""
    words, wide, tall = page.get_textpage(), page.get_width(), page.get_height()
    for at in range(words.count_chars()):
        left, bottom, right, top = words.get_charbox(at)
        assert 0 <= left and right <= wide and 0 <= bottom and top <= tall, (at, left, right)


def made_part(folder):
    """Measures the true-size plan of the demo's seat in the raster; its larger drawing begins 58 mm from the left edge."""
    run(folder, "sheet", "make", "Beck", "seat at body end", "--out", "seat.pdf", "--date", "2026-03-14")
    document = pypdfium2.PdfDocument(Path(folder) / "seat.pdf")
    dark = raster(document[0], DPI)[round(95 / MM) : round(140 / MM), round(18 / MM) : round(40 / MM)] < 128
    line = 0.6 / 72 * 25.4  # the outline is 0.6 points wide and the diameter runs in its middle
    spans = [(xs[-1] - xs[0] + 1) * MM for xs in (np.nonzero(row)[0] for row in dark) if xs.size]
    # The centre line reaches further, and the words are higher up; a circle is widest beside its centre line.
    wide = max(span for span in spans if span < 9) - line
    print(f"  seat {wide:.3f} mm, off by {wide - 8:+.3f} mm")
    assert abs(wide - 8) <= TOLERANCE_MM, wide


def labels(folder):
    """Writes notes whose names are random, prints their labels, and reads the codes again."""
    random.seed(20260314)
    letters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 -./()+äöüßéøñλж×±|#%=&<>'"
    for part in range(10):
        lines = [f"model Code {part}", f"unit C-{part}", "date 2026-03-14", "lengths mm", "", "[stage]"]
        for number in range(LABELS // 10):
            name = "".join(random.choice(letters) for _ in range(random.randint(1, 30))).strip() or "x"
            name = name.replace("#", "no. ").replace("=", "-")
            lines.append(f"washer ; at place {number} {name} ; replace ; od {random.uniform(3, 40):.2f}")
        (Path(folder) / "code.note").write_text("\n".join(lines) + "\n", encoding="utf-8")
        run(folder, "note", "add", "code.note", "--book", f"code{part}.book")
        run(folder, "sheet", "labels", f"Code {part}", "--book", f"code{part}.book", "--one-a-page", "--label-width", "90mm",
            "--label-height", "45mm", "--out", f"code{part}.pdf", "--date", "2026-03-14")
    read = 0
    for part in range(10):
        for number, page in enumerate(pypdfium2.PdfDocument(Path(folder) / f"code{part}.pdf")):
            found = zxingcpp.read_barcodes(raster(page, 200))
            assert len(found) == 1, (part, number, len(found))
            inside_its_label(page)
            code = found[0].text
            said = run(folder, "sheet", "read-label", code)
            assert f"Code {part}" in said
            # pdfium takes a hyphen at the end of a line for a broken word and gives it as U+FFFE.
            shown = "".join(text_of(page).split()).replace("\ufffe", "-")
            place = next(field for field in code.rsplit("#", 1)[0].split("|") if field.startswith("at="))[3:]
            for coded, plain in (("%7C", "|"), ("%23", "#"), ("%3D", "="), ("%25", "%")):
                place = place.replace(coded, plain)
            assert "".join(place.split()) in shown, (place, shown)
            wrong = ("X" if code[8] != "X" else "Y").join((code[:8], code[9:]))
            run(folder, "sheet", "read-label", wrong, expect=2)
            read += 1
    print(f"  {read} labels read by zxing-cpp; text and code agree, and each with one wrong letter is refused")
    assert read == LABELS, read


def main():
    with tempfile.TemporaryDirectory() as folder:
        for paper in ("a4", "letter"):
            true_size(folder, paper)
        text_and_fonts(folder)
        along_the_axis(folder)
        many_along_the_axis(folder)
        undecided(folder)
        made_part(folder)
        labels(folder)


if __name__ == "__main__":
    sys.exit(main())
