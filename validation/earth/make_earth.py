"""Make the vectors for the earth crate from general-purpose libraries.

    pip install geographiclib==2.1 pvlib==0.16.1 ppigrf==2.1.0 numpy==2.4.6 pandas==3.1.1
    python validation/earth/make_earth.py

Writes geodesic.csv, sun.csv and magnetism.csv beside this script. Deterministic: fixed seed, fixed corner cases.
"""

import csv
import datetime
import pathlib
import random

import numpy as np
import pandas as pd
import ppigrf
import pvlib
from geographiclib.geodesic import Geodesic

HERE = pathlib.Path(__file__).resolve().parent
rng = random.Random(20261125)


def place():
    return round(np.degrees(np.arcsin(rng.uniform(-1, 1))), 4), round(rng.uniform(-180, 180), 4)


def write(name, header, rows):
    with open(HERE / name, "w", newline="") as handle:
        writer = csv.writer(handle, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)


def geodesics():
    pairs = [
        ((0, 0), (0, 1)), ((0, 0), (0, 179)), ((0, 0), (0.5, 179.7)), ((90, 0), (-90, 0)), ((90, 0), (0, 45)),
        ((-43.59, 170.14), (-36.85, 174.76)), ((-43.59, 170.14), (43.6, -9.8)), ((46, 7), (46, 7.00001)),
        ((65, 179.9), (65, -179.9)), ((-89.9999, 10), (-89.9999, -170)), ((30, 20), (-30, -160.01)), ((1, 2), (1, 2)),
    ]
    pairs += [(place(), place()) for _ in range(60)]
    for _ in range(30):  # short lines, as on an outing
        lat, lon = place()
        pairs.append(((lat, lon), (max(-90, min(90, lat + rng.uniform(-2, 2))), lon + rng.uniform(-2, 2))))
    rows = []
    for (lat1, lon1), (lat2, lon2) in pairs:
        line = Geodesic.WGS84.Inverse(lat1, lon1, lat2, lon2)
        rows.append([lat1, lon1, lat2, lon2, f"{line['s12']:.6f}", f"{line['azi1'] % 360:.9f}",
                     f"{(line['azi2'] + 180) % 360:.9f}"])
    write("geodesic.csv", ["lat1_deg", "lon1_deg", "lat2_deg", "lon2_deg", "distance_m", "bearing_deg",
                           "back_bearing_deg"], rows)


def suns():
    places = [(90, 0), (-90, 0), (78.2, 15.6), (65, 25), (-43.59, 170.14), (0, 0), (0, 180), (46.5, 7.6), (-66.6, 110)]
    cases = [(p, datetime.datetime(2026, month, day, hour, minute)) for p in places
             for month, day, hour, minute in [(3, 20, 12, 0), (6, 21, 0, 7), (9, 23, 18, 30), (12, 4, 2, 15), (12, 21, 10, 0)]]
    for _ in range(80):
        when = datetime.datetime(2020, 1, 1) + datetime.timedelta(seconds=rng.randrange(11 * 365 * 86400))
        cases.append((place(), when))
    rows = []
    for (lat, lon), when in cases:
        index = pd.DatetimeIndex([when], tz="UTC")
        # delta_t=None: pvlib computes it; numpy implementation of NREL SPA, sea level, no refraction in `zenith`.
        sun = pvlib.solarposition.spa_python(index, lat, lon, altitude=0, delta_t=None).iloc[0]
        rows.append([lat, lon, when.strftime("%Y-%m-%dT%H:%M:%SZ"), f"{sun['zenith']:.6f}", f"{sun['azimuth']:.6f}"])
    write("sun.csv", ["lat_deg", "lon_deg", "time_utc", "zenith_deg", "azimuth_deg"], rows)


def fields():
    places = [(89.99, 0), (-89.99, 120), (86.0, 140.0), (-64.1, 135.9), (-43.59, 170.14), (0, 0), (46.5, 7.6),
              (65, 25), (-26, -50), (0, 180)]
    cases = [(p, height, datetime.datetime(2026, 12, 5)) for p in places for height in (0, 100, 300)]
    for _ in range(90):
        when = datetime.datetime(1900, 1, 1) + datetime.timedelta(days=rng.randrange(130 * 365))
        cases.append((place(), rng.choice([0, 100, 300]), when))
    for _ in range(60):
        when = datetime.datetime(2020, 1, 1) + datetime.timedelta(days=rng.randrange(9 * 365))
        cases.append((place(), rng.choice([0, 100, 300]), when))
    rows = []
    for (lat, lon), height, when in cases:
        east, north, up = (float(np.ravel(part)[0]) for part in ppigrf.igrf(lon, lat, height, when))
        dip = np.degrees(np.arctan2(-up, np.hypot(east, north)))
        declination = np.degrees(np.arctan2(east, north))
        rows.append([lat, lon, height, when.strftime("%Y-%m-%dT00:00:00Z"), f"{north:.3f}", f"{east:.3f}",
                     f"{-up:.3f}", f"{dip:.6f}", f"{declination:.6f}"])
    write("magnetism.csv", ["lat_deg", "lon_deg", "height_km", "time_utc", "north_nt", "east_nt", "down_nt", "dip_deg",
                            "declination_deg"], rows)


geodesics()
suns()
fields()
