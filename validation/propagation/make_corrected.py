"""Corrected geomagnetic coordinates and magnetic local time by a general library (aacgmv2), field-line tracing, 110 km."""
import csv
import datetime as dt
import pathlib

import aacgmv2

when = dt.datetime(2026, 1, 15, 5, 30)
out = pathlib.Path(__file__).with_name("corrected.csv")
with out.open("w", newline="") as file:
    writer = csv.writer(file, lineterminator="\n")
    writer.writerow(["lat_deg", "lon_deg", "corrected_lat_deg", "corrected_lon_deg", "magnetic_local_time_h"])
    for lat in (80, 70, 64, 60, 55, 50, 45, -45, -50, -55, -60, -65, -75):
        for lon in range(-165, 180, 30):
            mlat, mlon, _ = aacgmv2.convert_latlon(lat, lon, 110.0, when, method_code="G2A|TRACE")
            if abs(mlat) < 38:
                continue
            mlt = aacgmv2.convert_mlt(mlon, when)[0]
            writer.writerow([lat, lon, f"{mlat:.4f}", f"{mlon:.4f}", f"{mlt:.4f}"])
