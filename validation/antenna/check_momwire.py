#!/usr/bin/env python3
"""Level dipoles over real ground by momwire, and by PyNEC where that is valid; writes momwire.csv beside this script.

pip install momwire==0.84.3 PyNEC==2.3.4 numpy scipy
A live cross-check, not run by the quick tests: `python validation/antenna/check_momwire.py`
"""
import csv
import os

import momwire
import numpy as np
import PyNEC

HERE = os.path.dirname(os.path.abspath(__file__))
EPS0 = 8.8541878128e-12
C = 299792458.0
GROUNDS = {"avg": (13.0, 0.005), "poor": (5.0, 0.001), "good": (20.0, 0.03)}
RADIUS = 0.001
SEGMENTS = 83
# PyNEC's Sommerfeld ground fails below about 0.05 wavelengths.
PYNEC_FROM = 0.05


def by_momwire(freq, length, height, eps_r, sigma):
    omega = 2e6 * np.pi * freq
    wire = np.array([[-length / 2, 0.0, height], [length / 2, 0.0, height]])
    solver = momwire.BSplineSolver(
        wires=[wire],
        n_per_edge_per_wire=[SEGMENTS],
        degree=1,
        feed_model="segment",
        wavelength=C / (freq * 1e6),
        wire_radius=RADIUS,
        ground_z=0.0,
        ground_eps=eps_r - 1j * sigma / (omega * EPS0),
        ground_model="sommerfeld",
    )
    result = solver.compute_impedance()
    return complex(np.ravel(result[0] if isinstance(result, tuple) else result)[0])


def by_pynec(freq, length, height, eps_r, sigma):
    c = PyNEC.nec_context()
    g = c.get_geometry()
    g.wire(1, SEGMENTS, -length / 2, 0, height, length / 2, 0, height, RADIUS, 1, 1)
    c.geometry_complete(1)
    c.gn_card(2, 0, eps_r, sigma, 0, 0, 0, 0)
    c.ex_card(0, 1, (SEGMENTS + 1) // 2, 0, 1, 0, 0, 0, 0, 0)
    c.fr_card(0, 1, freq, 0)
    c.xq_card(0)
    return complex(np.ravel(c.get_input_parameters(0).get_impedance())[0])


def main():
    rows = []
    for freq, length in [(3.6, 40.5), (7.1, 20.542), (14.1, 10.3)]:
        for ground, (eps_r, sigma) in GROUNDS.items():
            for part in [0.003, 0.005, 0.01, 0.02, 0.035, 0.05, 0.1, 0.25, 0.5]:
                height = round(part * C / (freq * 1e6), 4)
                z = by_momwire(freq, length, height, eps_r, sigma)
                nec = by_pynec(freq, length, height, eps_r, sigma) if part >= PYNEC_FROM else None
                rows.append([
                    freq, ground, length, height, part, f"{z.real:.4f}", f"{z.imag:.4f}",
                    f"{nec.real:.4f}" if nec else "", f"{nec.imag:.4f}" if nec else "",
                ])
                print(*rows[-1], flush=True)
    with open(os.path.join(HERE, "momwire.csv"), "w", newline="") as f:
        out = csv.writer(f, lineterminator="\n")
        out.writerow("freq_mhz,ground,length_m,height_m,height_wavelengths,r_ohm,x_ohm,pynec_r_ohm,pynec_x_ohm".split(","))
        out.writerows(rows)


if __name__ == "__main__":
    main()
