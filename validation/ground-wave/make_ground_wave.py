"""Make the ground-wave vectors from the LFMF model of NTIA/ITS.

    pip install proplib-lfmf==1.1.0
    python validation/ground-wave/make_ground_wave.py

Vertical polarisation, surface refractivity 301 N-units (an effective radius of four thirds), smooth uniform ground.
"""

import csv
import pathlib

from ITS.Propagation.LFMF import LFMF, Polarization

HERE = pathlib.Path(__file__).resolve().parent
GROUNDS = {"sea": (70, 5), "fresh water": (80, 0.003), "wet": (30, 0.01), "good": (20, 0.03), "average": (13, 0.005),
           "poor": (5, 0.001), "very dry": (3, 0.0001)}
FREQS = [3.0, 3.6, 5.35, 7.1, 10.1, 14.1, 18.1, 21.2, 24.9, 28.5, 30.0]
DISTANCES = [5, 8, 12, 18, 25, 30, 35, 40, 50, 60, 80, 100, 140, 200]


def row(ground, f, d, h1, h2):
    eps, sigma = GROUNDS[ground]
    result = LFMF(h1, h2, f, 1000.0, 301.0, d, eps, sigma, Polarization.Vertical)
    return [ground, eps, sigma, f, d, h1, h2, f"{result.A_btl__db:.4f}", f"{result.E__dBuVm:.4f}",
            "flat" if result.method == 0 else "residue"]


rows = [row(g, f, d, 0, 0) for g in GROUNDS for f in FREQS for d in DISTANCES]
rows += [row(g, f, d, h1, h2) for g in ("sea", "average", "poor") for f in (3.6, 7.1, 14.1, 28.5)
         for d in (5, 20, 60, 150) for h1, h2 in ((2, 5), (10, 10))]
with open(HERE / "lfmf.csv", "w", newline="") as handle:
    writer = csv.writer(handle, lineterminator="\n")
    writer.writerow(["ground", "eps_r", "sigma_s_per_m", "freq_mhz", "distance_km", "tx_height_m", "rx_height_m",
                     "basic_transmission_loss_db", "field_strength_dbuv_per_m", "lfmf_method"])
    writer.writerows(rows)
