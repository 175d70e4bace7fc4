#!/usr/bin/env python3
"""Makes the reference vectors for lines, tuner networks and the tuner's state search.

Needs: scikit-rf==2.2.0, numpy==2.4.6 (see ../requirements.txt). Run: python make_feed.py [folder]

Lines: skrf.media.DistributedCircuit from the four line constants per metre; networks: skrf lumped parts as ABCD matrices
turned into S by skrf; loads as one-ports, cascaded by skrf's ** operator. Loss is power in over power into the load (operating
power gain from S parameters). The state search visits all 131 072 states with numpy.
"""
import csv
import sys
from pathlib import Path

import numpy as np
import skrf as rf
from skrf.media import DistributedCircuit

C_M_S = 299_792_458.0
DB_PER_NP = 20.0 / np.log(10.0)
REF = 50.0

LINES = {  # z0_ohm, velocity factor, k1, k2 (dB per 100 m at 1 MHz, for sqrt(f) and f)
    "coax50_thin": (50.0, 0.66, 3.3, 0.0),
    "coax50": (50.0, 0.66, 1.415, 0.0225),
    "coax50_thick": (50.0, 0.66, 0.597, 0.0063),
    "ladder300": (300.0, 0.82, 0.296, 0.0064),
    "ladder450": (450.0, 0.91, 0.076, 0.0022),
    "pair100": (100.0, 0.65, 1.967, 0.023),
    "lossless75": (75.0, 0.8, 0.0, 0.0),
}
LOADS = [(50, 0), (12, -340), (2450, 800), (1.5, -900), (300, 60), (75, -25), (5000, -3000), (25, 1100)]
FREQS = [1.85, 3.6, 5.36, 7.1, 10.12, 14.1, 21.1, 28.3]


def frequency(mhz):
    return rf.Frequency.from_f([mhz], unit="MHz")


def line_network(name, length_m, mhz):
    z0, vf, k1, k2 = LINES[name]
    a1 = k1 * np.sqrt(mhz) / 100 / DB_PER_NP
    a2 = k2 * mhz / 100 / DB_PER_NP
    medium = DistributedCircuit(frequency(mhz), C=1 / (z0 * vf * C_M_S), L=z0 / (vf * C_M_S), R=2 * z0 * a1, G=2 * a2 / z0, z0_port=REF)
    return medium.line(length_m, "m"), float(medium.gamma.real[0]) * length_m * DB_PER_NP


def one_port(z, mhz):
    s = np.array([[[(z - REF) / (z + REF)]]], dtype=complex)
    return rf.Network(frequency=frequency(mhz), s=s, z0=REF)


def lumped(kind, z, mhz):
    abcd = np.eye(2, dtype=complex)
    if kind == "series":
        abcd[0, 1] = z
    else:
        abcd[1, 0] = 1 / z
    return rf.Network(frequency=frequency(mhz), s=rf.network.a2s(abcd[None, :, :], z0=REF), z0=REF)


def look(two_port, z_load, mhz):
    """Input impedance and loss in dB of a two-port with a load."""
    load = one_port(z_load, mhz)
    gin = (two_port ** load).s[0, 0, 0]
    gl = load.s[0, 0, 0]
    s21, s22 = two_port.s[0, 1, 0], two_port.s[0, 1, 1]
    gain = abs(s21) ** 2 * (1 - abs(gl) ** 2) / ((1 - abs(gin) ** 2) * abs(1 - s22 * gl) ** 2)
    zin = REF * (1 + gin) / (1 - gin)
    return zin, -10 * np.log10(gain)


def coil(l_uh, q, mhz):
    x = 2 * np.pi * mhz * l_uh
    return complex(x / q, x)


def capacitor(c_pf, q, mhz):
    b = 2 * np.pi * mhz * c_pf * 1e-6
    return 1 / complex(b / q, b)


def l_network(side, l_uh, c_pf, ql, qc, mhz):
    series, shunt = lumped("series", coil(l_uh, ql, mhz), mhz), lumped("shunt", capacitor(c_pf, qc, mhz), mhz)
    return series ** shunt if side == "antenna" else shunt ** series


def lines_rows(rng):
    for name in LINES:
        for mhz in FREQS:
            r, x = LOADS[rng.integers(len(LOADS))]
            length = round(float(rng.uniform(0.5, 45)), 2)
            for load in [(r, x), (round(float(10 ** rng.uniform(0, 3.7)), 2), round(float(rng.uniform(-2000, 2000)), 1))]:
                net, matched = line_network(name, length, mhz)
                zin, loss = look(net, complex(*load), mhz)
                yield [name, *LINES[name], length, mhz, *load, f"{zin.real:.9g}", f"{zin.imag:.9g}", f"{matched:.9g}", f"{loss:.9g}"]


def network_rows(rng):
    for topology in ["antenna", "radio", "tee"]:
        for _ in range(30):
            mhz = FREQS[rng.integers(len(FREQS))]
            r, x = round(float(10 ** rng.uniform(0, 3.7)), 2), round(float(rng.uniform(-2000, 2000)), 1)
            l_uh, c1, c2 = (round(float(v), 3) for v in (rng.uniform(0.06, 15), rng.uniform(8, 2000), rng.uniform(15, 250)))
            ql, qc = float(rng.choice([60, 120, 150])), float(rng.choice([500, 700, 1000]))
            if topology == "tee":
                net = lumped("series", capacitor(c1, qc, mhz), mhz) ** lumped("shunt", coil(l_uh, ql, mhz), mhz)
                net = net ** lumped("series", capacitor(c2, qc, mhz), mhz)
            else:
                c2 = ""
                net = l_network(topology, l_uh, c1, ql, qc, mhz)
            zin, loss = look(net, complex(r, x), mhz)
            yield [topology, mhz, l_uh, c1, c2, ql, qc, r, x, f"{zin.real:.9g}", f"{zin.imag:.9g}", f"{loss:.9g}"]


def chain_rows(rng):
    """L network, thin coax, ladder line, antenna: three two-ports in cascade."""
    for _ in range(40):
        mhz = FREQS[rng.integers(len(FREQS))]
        r, x = round(float(10 ** rng.uniform(0, 3.7)), 2), round(float(rng.uniform(-2000, 2000)), 1)
        side = str(rng.choice(["antenna", "radio"]))
        l_uh, c_pf = round(float(rng.uniform(0.06, 15)), 3), round(float(rng.uniform(8, 2000)), 1)
        a_m, b_m = round(float(rng.uniform(1, 20)), 2), round(float(rng.uniform(1, 20)), 2)
        net = l_network(side, l_uh, c_pf, 120.0, 700.0, mhz)
        net = net ** line_network("coax50_thin", a_m, mhz)[0] ** line_network("ladder450", b_m, mhz)[0]
        zin, loss = look(net, complex(r, x), mhz)
        yield [mhz, side, l_uh, c_pf, a_m, b_m, r, x, f"{zin.real:.9g}", f"{zin.imag:.9g}", f"{loss:.9g}"]


def search_rows(rng):
    """Best of all states of the default tuner: 8 coils from 0.06 uH, 8 capacitors from 8 pF, Q 120 and 700."""
    l, c = np.meshgrid(0.06 * np.arange(256), 8.0 * np.arange(256), indexing="ij")
    for _ in range(40):
        mhz = FREQS[rng.integers(len(FREQS))]
        r, x = round(float(10 ** rng.uniform(0, 3.7)), 2), round(float(rng.uniform(-1500, 1500)), 1)
        z = complex(r, x)
        zl = 2 * np.pi * mhz * l * (1 / 120 + 1j)
        yc = 2e-6 * np.pi * mhz * c * (1 / 700 + 1j)
        ya = 1 / z + yc
        za = 1 / ya + zl
        ratio_a = ya.real / (1 / z).real * za.real / (1 / ya).real
        zb = z + zl
        yb = 1 / zb + yc
        ratio_b = zb.real / r * yb.real / (1 / zb).real
        zin, ratio = np.concatenate([za.ravel(), (1 / yb).ravel()]), np.concatenate([ratio_a.ravel(), ratio_b.ravel()])
        gamma = abs((zin - REF) / (zin + REF))
        swr = (1 + gamma) / (1 - gamma)
        inside = swr <= 1.5
        least = 10 * np.log10(ratio[inside].min()) if inside.any() else ""
        yield [mhz, r, x, f"{swr.min():.9g}", int(inside.sum()), least if least == "" else f"{least:.9g}"]


def write(path, header, rows):
    with open(path, "w", newline="") as f:
        w = csv.writer(f, lineterminator="\n")
        w.writerow(header)
        w.writerows(rows)


def main():
    out = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    z = ["load_r_ohm", "load_x_ohm"]
    zin = ["input_r_ohm", "input_x_ohm"]
    write(out / "lines.csv", ["line", "z0_ohm", "velocity_factor", "k1_db_per_100m", "k2_db_per_100m", "length_m", "freq_mhz", *z, *zin, "matched_loss_db", "loss_db"], lines_rows(np.random.default_rng(1)))
    write(out / "networks.csv", ["topology", "freq_mhz", "l_uh", "c_pf", "c_antenna_pf", "q_coil", "q_capacitor", *z, *zin, "loss_db"], network_rows(np.random.default_rng(2)))
    write(out / "chains.csv", ["freq_mhz", "capacitor_side", "l_uh", "c_pf", "coax_m", "ladder_m", *z, *zin, "loss_db"], chain_rows(np.random.default_rng(3)))
    write(out / "states.csv", ["freq_mhz", *z, "lowest_swr", "states_within_1_5", "least_loss_within_1_5_db"], search_rows(np.random.default_rng(4)))


if __name__ == "__main__":
    main()
