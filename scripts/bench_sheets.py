"""Measures a PDF of about 20 pages and a 500-part HTML book against plain typesetters making the same table, in one run.

Usage: bench_sheets.py PROGRAM   (needs reportlab and fpdf2)
The peers set the rows of the same parts list, nothing else: no identification, no odds, no glands. So the time of the program is
also given less that of `parts --format csv`, which does all that and prints it plainly. The best of three runs is taken.
"""

import csv
import html
import io
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from bench_figures import Figures

REPEATS = 3
PARTS = 500


def best(work):
    times = []
    for _ in range(REPEATS):
        begin = time.perf_counter()
        work()
        times.append(time.perf_counter() - begin)
    return min(times)


def by_reportlab(rows, path):
    from reportlab.lib.pagesizes import A4
    from reportlab.lib.styles import getSampleStyleSheet
    from reportlab.platypus import LongTable, Paragraph, SimpleDocTemplate

    style = getSampleStyleSheet()["BodyText"]
    cells = [[Paragraph(html.escape(cell), style) for cell in row] for row in rows]
    SimpleDocTemplate(str(path), pagesize=A4).build([LongTable(cells, repeatRows=1)])


def by_fpdf2(rows, path):
    from fpdf import FPDF

    pdf = FPDF(format="A4")
    pdf.add_page()
    pdf.set_font("Helvetica", size=9)
    with pdf.table() as table:
        for row in rows:
            line = table.row()
            for cell in row:
                line.cell(cell.encode("latin-1", "replace").decode("latin-1"))
    pdf.output(str(path))


def by_strings(rows, path):
    body = "".join("<tr>" + "".join(f"<td>{html.escape(cell)}</td>" for cell in row) + "</tr>" for row in rows)
    Path(path).write_text(f"<!doctype html><table>{body}</table>", encoding="utf-8")


def main():
    program = os.path.abspath(sys.argv[1])
    with tempfile.TemporaryDirectory() as folder:
        environment = {**os.environ, "RINGWRIGHT_BOOK": os.path.join(folder, "many.book")}

        def run(*words):
            done = subprocess.run([program, *words], cwd=folder, env=environment, capture_output=True, text=True)
            assert done.returncode == 0, (words, done.stderr)
            return done.stdout

        lines = ["model Many", "unit M-1", "date 2026-03-14", "", "[stage]"]
        for number in range(PARTS):
            ring = f"o-ring ; at place {number:03} ; replace ; od {8 + number * 0.1:.1f} mm by caliper ; cs 1.78 mm by caliper"
            lines.append(ring if number % 2 else f"washer ; at shoulder {number:03} ; keep ; od {9 + number * 0.1:.1f} mm")
        Path(folder, "many.note").write_text("\n".join(lines) + "\n", encoding="utf-8")
        run("note", "add", "many.note")
        listed = list(csv.reader(io.StringIO(run("parts", "Many", "--format", "csv"))))
        keep = [listed[0].index(name) for name in ("number", "section", "position", "part", "quantity", "size_codes", "measured", "how_sure")]
        rows = [[row[at] for at in keep] for row in listed]
        plain = best(lambda: run("parts", "Many", "--format", "csv"))
        pdf = best(lambda: run("sheet", "parts", "Many", "--for", "owner", "--out", "many.pdf"))
        book = best(lambda: run("sheet", "book", "--out", "many.html"))
        reportlab = best(lambda: by_reportlab(rows, Path(folder, "r.pdf")))
        fpdf2 = best(lambda: by_fpdf2(rows, Path(folder, "f.pdf")))
        strings = best(lambda: by_strings(rows, Path(folder, "s.html")))
        pages = Path(folder, "many.pdf").read_bytes().count(b"/Type /Page\n") or "?"
        print(f"{PARTS} parts; parts --format csv {plain * 1000:.0f} ms")
        print(f"PDF of {pages} pages: {pdf * 1000:.0f} ms, of it setting {(pdf - plain) * 1000:.0f} ms; reportlab {reportlab * 1000:.0f} ms "
              f"({reportlab / pdf:.1f} times as long), fpdf2 {fpdf2 * 1000:.0f} ms ({fpdf2 / pdf:.1f} times as long)")
        figures = Figures("sheets")
        for peer, took in (("reportlab", reportlab), ("fpdf2", fpdf2)):
            figures.add(f"PDF of {pages} pages", pdf * 1000, "ms", peer=peer, peer_value=took * 1000, bound="the parts list as CSV",
                        bound_value=plain * 1000)
        figures.add(f"HTML book of {PARTS} parts", book * 1000, "ms", peer="a bare table of strings", peer_value=strings * 1000,
                    bound="the parts list as CSV", bound_value=plain * 1000)
        figures.write()
        print(f"HTML book: {book * 1000:.0f} ms, of it setting {(book - plain) * 1000:.0f} ms; a bare table joined from strings {strings * 1000:.1f} ms")


if __name__ == "__main__":
    main()
