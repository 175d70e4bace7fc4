#!/usr/bin/env python3
# pip install PyIRI==0.1.7 numpy
"""Time PyIRI on the grid of crates/dev/benches/benches/ionosphere.rs: 17 x 36 places, 24 hours, one day, both months.

CPU time is counted, so a busy machine does not matter. PyIRI works out more than we do at each point (F1, layer thicknesses) and no deciles, so the ratio is a rough one.
"""

import time

import numpy as np
import PyIRI
import PyIRI.main_library as ml

lats, lons = np.arange(-80, 81, 10.0), np.arange(-180, 180, 10.0)
lon, lat = (a.ravel() for a in np.meshgrid(lons, lats))
hours = np.arange(24.0)
best = float("inf")
for _ in range(5):
    start = time.process_time()
    for month in (4, 5):
        ml.IRI_monthly_mean_par(2020, month, hours, lon, lat, PyIRI.coeff_dir, 0)
    best = min(best, time.process_time() - start)
points = lon.size * hours.size
print(f"{points} points in {best:.3f} s: {points / best:,.0f} points a second, {best / points * 1e6:.1f} microseconds a point")
# One place and hour, as a planner asks for it.
start = time.process_time()
for month in (4, 5):
    ml.IRI_monthly_mean_par(2020, month, np.array([7.0]), np.array([170.5]), np.array([-43.5]), PyIRI.coeff_dir, 0)
print(f"one point on its own: {(time.process_time() - start) * 1e3:.1f} ms")
