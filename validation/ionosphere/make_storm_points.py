#!/usr/bin/env python3
# pip download --no-deps --no-binary :all: iricore==1.9.0
"""The storm factor on foF2 at a grid of cases, worked from the model's own code as iricore carries it.

Usage: python3 validation/ionosphere/make_storm_points.py iricore-1.9.0.tar.gz           writes storm_points.csv
       python3 validation/ionosphere/make_storm_points.py iricore-1.9.0.tar.gz --check   compares, exit code 1 on a difference

The tables (coefficients, weights of ap, which polynomial where) are read from the DATA statements of the source; the steps
of SUBROUTINE STORM are followed one by one. kp holds 13 three-hourly values, the last one that of the moment; the hour is the
middle one of its three.
"""

import itertools
import pathlib
import re
import sys
import tarfile

from committed import write_or_check

OUT = pathlib.Path(__file__).with_name("storm_points.csv")
AP_OF_THIRDS = [0, 2, 3, 4, 5, 6, 7, 9, 12, 15, 18, 22, 27, 32, 39, 48, 56, 67, 80, 94, 111, 132, 154, 179, 207, 236, 300, 400]
HISTORIES = {
    "calm": [2] * 13, "unrest": [3] * 13, "steady": [4] * 13, "storm": [6] * 13, "severe": [8] * 13,
    "begun": [2] * 10 + [5, 7, 8], "over": [6, 8, 7, 6, 5, 4, 3] + [2] * 6, "peak": [2, 2, 3, 3, 5, 6, 7, 8, 8, 7, 6, 5, 4],
}


def source(archive):
    with tarfile.open(archive) as tar:
        member = next(m for m in tar.getmembers() if m.name.endswith("iri2020/irifun.for"))
        text = tar.extractfile(member).read().decode("latin-1")
    start = text.index("SUBROUTINE STORM(ap")
    lines = text[start:text.index("RETURN", start)].splitlines()
    joined = ""
    for line in lines:
        if line[:1].upper() == "C" or not line.strip():
            continue
        joined += line[6:72] if len(line) > 5 and line[5] not in " 0" and line[:5].strip() == "" else "\n" + line
    return joined


def data(text, name):
    body = re.search(rf"data {name}\s*/([^/]*)/", text, re.IGNORECASE).group(1)
    return [float(x) for x in body.replace(" ", "").split(",")]


def storm(tables, ap, lat, doy):
    c, fap, code = tables
    ape = [0.0] * 40
    ape[1] = ape[2] = ap[0]
    ape[38] = ape[39] = ap[12]
    for k in range(1, 14):
        ape[3 * k - 1] = ap[k - 1]
    for k in range(1, 13):
        ape[3 * k] = (2 * ap[k - 1] + ap[k]) / 3.0
    for k in range(2, 14):
        ape[3 * k - 2] = (ap[k - 2] + 2 * ap[k - 1]) / 3.0
    rap = sum(fap[j - 1] * ape[2 + j] for j in range(1, 37))
    if rap <= 200.0:
        return rap, 1.0
    day = doy + (172 if lat < 0 else 0)
    day -= 365 if lat < 0 and day > 365 else 0
    rs = (day - 82.0) / 45.6 + 1 if day >= 82 else (day + 283.0) / 45.6 + 1
    s1 = int(rs)
    s2 = 1 if s1 + 1 == 9 else s1 + 1
    rl = (abs(lat) + 10.0) / 20.0 + 1
    rl = 5.9 if rl == 6.0 else rl
    l1 = int(rl)
    facs, facl = rs - s1, rl - l1

    def poly(s, l, x):
        n = int(code[(l - 1) * 8 + s - 1]) - 1
        return c[4][n] * x**4 + c[3][n] * x**3 + c[2][n] * x**2 + c[1][n] * x + c[0][n]

    def mixed(x):
        return ((poly(s1, l1, x) * (1 - facl) + poly(s1, l1 + 1, x) * facl) * (1 - facs)
                + (poly(s2, l1, x) * (1 - facl) + poly(s2, l1 + 1, x) * facl) * facs)

    if rap < 300.0:
        at_300 = mixed(300.0)
        return rap, (at_300 - 1.0) * rap / 100.0 - 2.0 * at_300 + 3.0
    return rap, mixed(rap)


def main():
    text = source(sys.argv[1])
    tables = ([data(text, f"c{i}") for i in range(5)], data(text, "fap"), data(text, "code"))
    lines = ["case,kp,lat_deg,day_of_year,ap_history,factor"]
    for (name, kp), lat, doy in itertools.product(HISTORIES.items(), (-70, -45, -30, 5, 35, 50, 65, 85), (15, 100, 172, 250, 340)):
        rap, factor = storm(tables, [AP_OF_THIRDS[3 * k] for k in kp], float(lat), doy)
        lines.append(f"{name},{' '.join(map(str, kp))},{lat},{doy},{rap:.3f},{factor:.6f}")
    write_or_check(OUT, lines)


if __name__ == "__main__":
    main()
