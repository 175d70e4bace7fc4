#!/usr/bin/env python3
# pip install PyIRI==0.1.7 ppigrf==2.1.0 numpy
"""Work out the columns of iono_points.csv that the tests use again, from PyIRI and ppigrf.

Usage: python3 validation/ionosphere/make_iono_points.py           compares with the file, exit code 1 on a difference
       python3 validation/ionosphere/make_iono_points.py --write   writes the columns into the file

The cases (date, hour, place, flux) are read from the file itself; the columns that no test uses are left alone.
PyIRI 0.1.7 has an error in its magnetic field, so each map is evaluated twice: with the modip that PyIRI finds
(column modip_deg, kept as input) and with the modip of ppigrf at 300 km (columns *_truemodip).
"""

import csv
import datetime
import pathlib
import sys

import numpy as np
import ppigrf
import PyIRI
import PyIRI.main_library as ml

FILE = pathlib.Path(__file__).with_name("iono_points.csv")
ES_ORDERS = {"upper": [11, 12, 6, 3, 1], "median": [11, 13, 7, 3, 1, 1], "median_jan": [11, 13, 7, 3, 2], "lower": [11, 13, 7, 1, 1]}
HARMONIC_FUNCTIONS = {"upper": 5, "median": 7, "median_jan": 7, "lower": 5}


def evaluate(block, orders, nj, ut, lon, lat, modip):
    d = ml.set_diurnal_functions(nj, np.array([ut]))[:, 0]
    nk = block.shape[1]
    g = ml.set_global_functions(orders, nk, np.array([lon]), np.array([lat]), np.array([modip]))[:, 0]
    return np.array([d @ block[:, :, level] @ g for level in range(2)])


def month_values(month, ut, lon, lat, modip):
    coefficients = ml.read_ccir_ursi_coeff(month, PyIRI.coeff_dir, output_deciles=True)
    ccir, ursi, m3000, es_median, es_lower, es_upper = coefficients
    q = ml.highest_power_of_extension()["QM"]
    at = (ut, lon, lat, modip)
    return {
        "ccir": evaluate(ccir, q["F0F2"], 13, *at),
        "ursi": evaluate(ursi, q["F0F2"], 13, *at),
        "m3000": evaluate(m3000, q["M3000"], 9, *at),
        "median": evaluate(es_median, ES_ORDERS["median"], 7, *at),
        "median_jan": evaluate(es_median, ES_ORDERS["median_jan" if month == 1 else "median"], 7, *at),
        "upper": evaluate(es_upper, ES_ORDERS["upper"], 5, *at),
        "lower": evaluate(es_lower, ES_ORDERS["lower"], 5, *at),
    }


def day_values(date, ut, lon, lat, modip):
    before, after, share_before, share_after = ml.day_of_the_month_corr(date.year, date.month, date.day)
    early, late = (month_values(t.month, ut, lon, lat, modip) for t in (before, after))
    return {key: share_before * early[key] + share_after * late[key] for key in early}


def between(levels, index, low, high):
    return levels[0] + (levels[1] - levels[0]) * (index - low) / (high - low)


def columns(row):
    n = {key: float(row[key]) for key in row}
    date = datetime.datetime(int(n["year"]), int(n["month"]), int(n["day"]))
    r12 = float(ml.F107_2_R12(n["F107"]))
    ig12 = float(ml.R12_2_IG12(r12))
    at = (n["ut_h"], n["lon_deg_E"], n["lat_deg"])
    v = day_values(date, *at, n["modip_deg"])
    be, bn, bu = ppigrf.igrf(n["lon_deg_E"], n["lat_deg"], 300.0, date)
    dip = np.degrees(np.arctan2(-bu, np.hypot(be, bn))).item()
    modip = np.degrees(np.arctan2(np.radians(dip), np.sqrt(np.cos(np.radians(n["lat_deg"])))))
    t = day_values(date, *at, modip)
    f2, f1, e, *_ = ml.IRI_density_1day(date.year, date.month, date.day, np.array([n["ut_h"]]), np.array([n["lon_deg_E"]]),
                                        np.array([n["lat_deg"]]), np.array([300.0]), n["F107"], PyIRI.coeff_dir, 0)
    return {
        "R12": r12, "IG12": ig12,
        "foF2_ccir_MHz": between(v["ccir"], ig12, 0, 100), "foF2_ursi_MHz": between(v["ursi"], ig12, 0, 100),
        "M3000F2_ccir": between(v["m3000"], ig12, 0, 100), "M3000F2_interp_in_R12": between(v["m3000"], r12, 0, 100),
        "foE_MHz": float(e["fo"].item()), "hmF2_km": float(f2["hm"].item()),
        "foEs_median_MHz": between(v["median"], r12, 10, 180), "foEs_upperdec_MHz": between(v["upper"], r12, 10, 180),
        "foEs_lowerdec_MHz": between(v["lower"], r12, 10, 180),
        "foEs_median_jan_headerK_MHz": between(v["median_jan"], r12, 10, 180),
        "inclination_true_ppigrf": dip, "modip_true_deg": float(modip),
        "foF2_ccir_truemodip": between(t["ccir"], ig12, 0, 100), "foF2_ursi_truemodip": between(t["ursi"], ig12, 0, 100),
        "M3000_truemodip": between(t["m3000"], ig12, 0, 100),
    }


def main():
    with FILE.open() as handle:
        rows = list(csv.DictReader(handle))
    worst = {}
    for row in rows:
        for key, value in columns(row).items():
            error = abs(value - float(row[key]))
            worst[key] = max(worst.get(key, 0.0), error)
            row[key] = f"{value:.6f}"
    for key, error in worst.items():
        print(f"{key:30} largest difference {error:.2e}")
    if "--write" in sys.argv:
        with FILE.open("w", newline="") as handle:
            writer = csv.DictWriter(handle, rows[0].keys(), lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
    elif max(worst.values()) > 2e-4:
        sys.exit(1)


main()
