"""How absorption in the D and E region depends on elevation: numerical integrals of the Appleton-Hartree loss along bent rays.

The profile is a daytime one from memory (D region, joined to an E layer of foE 3.82 MHz at 110 km), scaled below 97 km so that
the vertical loss without bending at 7.1 MHz is that of the project's other first-principles table; collision frequency 6.4e5 times
the pressure in pascal (handbooks, from memory), 5/2 of it as effective value. Isotropic refraction, Bouguer's rule, sphere of 6371 km.
"""
import csv
import pathlib

import numpy as np

R_KM, FOE_MHZ, FL_MHZ, TOP_KM = 6371.0, 3.82, 0.16, 130.0
HEIGHTS = np.arange(60, 140.001, 0.05)
PRESSURE_PA = dict(zip(range(60, 125, 5), [21.9, 10.9, 5.2, 2.4, 1.05, 0.446, 0.184, 0.076, 0.032, 0.0145, 0.0071, 0.004, 0.0025]))
DENSITY = {60: 1e8, 65: 2e8, 70: 4.5e8, 75: 9e8, 80: 1.8e9, 85: 5e9, 90: 1.6e10, 95: 5e10, 100: 1.05e11, 105: 1.5e11,
           110: FOE_MHZ**2 / 80.6 * 1e12}
SCALE = 0.74

collisions = 2.5 * 6.4e5 * np.exp(np.interp(HEIGHTS, list(PRESSURE_PA), np.log(list(PRESSURE_PA.values())))) / (2e6 * np.pi)
density = np.exp(np.interp(HEIGHTS, list(DENSITY), np.log(list(DENSITY.values()))))
density[HEIGHTS > 110] = DENSITY[110] * np.exp(-(((HEIGHTS[HEIGHTS > 110] - 110) / 25) ** 2))
density *= np.exp(np.clip((97 - HEIGHTS) / 7, 0, 1) * np.log(SCALE))


def loss_db(freq_mhz, elevation_deg):
    """Two-way loss in dB, and whether the ray passes to the F region."""
    x = 80.6e-12 * density / freq_mhz**2
    q = 1 - x - (R_KM / (R_KM + HEIGHTS) * np.cos(np.radians(elevation_deg))) ** 2
    shifted = freq_mhz + FL_MHZ
    neper_per_m = np.pi * freq_mhz * 1e6 / 2.998e8 * x * freq_mhz * collisions / (shifted**2 + collisions**2)
    # Loss along the ray: kappa / mu times mu / sqrt(q); the refractive index falls out.
    if (q[HEIGHTS <= TOP_KM] > 0).all():
        low = HEIGHTS <= TOP_KM
        return 2 * 8.686 * np.trapezoid((neper_per_m / np.sqrt(q))[low], HEIGHTS[low]) * 1e3, True
    turn = np.argmax(q <= 0)
    turning_km = np.interp(0, [-q[turn - 1], -q[turn]], [HEIGHTS[turn - 1], HEIGHTS[turn]])
    edge = np.linspace(0, np.sqrt(turning_km - 60), 20001)
    s, ds = 0.5 * (edge[1:] + edge[:-1]), edge[1]
    at = turning_km - s * s
    root = np.sqrt(np.clip(np.interp(at, HEIGHTS, q), 1e-9, None))
    return 2 * 8.686 * np.sum(np.interp(at, HEIGHTS, neper_per_m) / root * 2 * s * ds) * 1e3, False


with pathlib.Path(__file__).with_name("oblique_absorption.csv").open("w", newline="") as file:
    writer = csv.writer(file, lineterminator="\n")
    writer.writerow(["freq_mhz", "elevation_deg", "passes", "loss_db", "vertical_db"])
    for freq, elevations in {5.36: (8.7, 20.3, 48, 55, 70), 7.1: (8.7, 20.3, 35, 40, 49, 60), 10.12: (8.7, 21, 25, 31, 45),
                             14.1: (8.7, 12, 20, 33, 50), 18.1: (5, 10, 20, 40)}.items():
        vertical = loss_db(freq, 90)[0]
        for elevation in elevations:
            loss, passes = loss_db(freq, elevation)
            writer.writerow([freq, elevation, int(passes), f"{loss:.3f}", f"{vertical:.3f}"])
