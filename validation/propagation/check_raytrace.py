"""Traces the profiles of muf_profiles.csv again and compares with muf_raytrace.csv.

Needs numpy==2.4.6 only (validation/requirements.txt). Another way of integrating than the table's and the project's: every
2 km slab is split into 20 thin ones of even refractive index, and the ray is followed through them by Bouguer's rule.
Run: python validation/propagation/check_raytrace.py
"""

import csv
import pathlib

import numpy as np

HERE = pathlib.Path(__file__).parent
R_KM = 6371.0
E_TOP_KM = 125.0  # rays that turn below are E rays


def profiles():
    table = {}
    for row in csv.DictReader(open(HERE / "muf_profiles.csv")):
        table.setdefault(row["case"], []).append((float(row["height_km"]), float(row["plasma_mhz2"])))
    return {case: np.array(rows).T for case, rows in table.items()}


def ranges_km(height, plasma, freq, elevations):
    """Ground range and turning height of rays at many elevations (rad); nan where the ray passes through."""
    fine = np.arange(height[0], height[-1], 0.1)
    x = np.interp(fine, height, plasma) / freq**2
    r = R_KM + fine
    q = 1.0 - (R_KM / r)[:, None] ** 2 * np.cos(elevations)[None, :] ** 2 - x[:, None]
    returned = (q <= 0).any(axis=0)
    turn = np.where(returned, np.argmax(q <= 0, axis=0), len(fine) - 1)
    below = np.arange(len(fine))[:, None] < turn[None, :]
    # Even slabs: between two levels q is taken as linear, whose integral of 1/sqrt(q) is exact.
    upper = np.maximum(q[1:], 0.0)
    element = 2.0 * 0.1 / (np.sqrt(np.maximum(q[:-1], 1e-15)) + np.sqrt(upper))
    # The slab of the turn reaches only as far as q stays positive.
    share = np.clip(q[:-1] / np.maximum(q[:-1] - q[1:], 1e-15), 0.0, 1.0)
    element = np.where(q[1:] <= 0, 2.0 * 0.1 * share / np.sqrt(np.maximum(q[:-1], 1e-15)), element)
    weights = (R_KM / r[:-1])[:, None] ** 2
    layer = 2.0 * np.cos(elevations) * np.sum(np.where(below[:-1], element * weights, 0.0), axis=0)
    straight = 2.0 * R_KM * (np.arccos(R_KM / r[0] * np.cos(elevations)) - elevations)
    return np.where(returned, layer + straight, np.nan), np.where(returned, fine[turn], np.nan)


def main():
    table = profiles()
    elevations = np.radians(np.linspace(0.05, 89.95, 1800))
    errors = []
    for row in csv.DictReader(open(HERE / "muf_raytrace.csv")):
        if not row["low_f_elevation_deg"] or row["practical_f_rays"] == "0":
            continue
        height, plasma = table[row["case"]]
        reach, turn = ranges_km(height, plasma, float(row["freq_mhz"]), elevations)
        judge = float(row["low_f_elevation_deg"])
        at = np.interp(judge, np.degrees(elevations), np.where(turn > E_TOP_KM - 10, reach, np.nan))
        if np.isfinite(at):
            errors.append(abs(at - float(row["hop_km"])) / float(row["hop_km"]))
    errors = np.sort(errors)
    print(f"{len(errors)} low F rays: range at the table's elevation off by {100 * np.median(errors):.2f} % in the median, "
          f"{100 * errors[int(0.9 * len(errors))]:.2f} % at 90 %")
    assert np.median(errors) < 0.01


if __name__ == "__main__":
    main()
