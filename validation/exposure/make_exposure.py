"""Makes dipole_walk.csv and nec2_walk.csv: distances from a brute-force walk around an antenna.

pip: numpy==2.4.6, PyNEC==2.3.4 (see validation/requirements.txt)

A standing person is a column from the ground to 2 m. For every column of a fine grid the distance to the antenna's nearest part
and the strongest field over the column are taken; the wanted distance is that of the farthest column whose field is above the
limit. The limits are typed here again, apart from the program's own: 47 CFR 1.1310 Table 1 and ICNIRP 2020 Table 5 (both from
memory).

dipole_walk.csv: closed-form field of a thin half-wave dipole in free space (three spherical waves), 1 W into 73.13 ohm.
nec2_walk.csv: NEC-2 through PyNEC, near E and H of a loop and of a dipole over perfect ground or in free space.
"""

import csv
import math
from pathlib import Path

import numpy as np

HERE = Path(__file__).parent
C = 299.792458
ETA0 = 376.730313668
BODY_M = 2.0


def limits(f):
    """E and H limits (V/m, A/m) by rule and population."""
    fcc_controlled = (1842 / f, 4.89 / f) if f >= 3 else (614, 1.63)
    fcc_public = (824 / f, 2.19 / f) if f >= 1.34 else (614, 1.63)
    return [
        fcc_controlled,
        fcc_public,
        (660 / f**0.7, 4.9 / f),
        (300 / f**0.7, 2.2 / f),
    ]


def clearance(pieces, x, y):
    """Distance of columns at x, y (arrays) from the nearest piece, by many points on each piece."""
    best = np.full(x.shape, np.inf)
    for a, b in pieces:
        a, b = np.array(a, float), np.array(b, float)
        for t in np.linspace(0, 1, 241):
            p = a + t * (b - a)
            over = max(p[2] - BODY_M, 0.0)
            best = np.minimum(best, np.sqrt((x - p[0]) ** 2 + (y - p[1]) ** 2 + over**2))
    return best


def walk(pieces, grid, field, heights):
    """(distance, strongest E, strongest H) for every column of the grid."""
    x, y = (g.ravel() for g in np.meshgrid(*grid, indexing="ij"))
    away = clearance(pieces, x, y)
    keep = away >= 0.15
    x, y, away = x[keep], y[keep], away[keep]
    e, h = np.zeros(len(x)), np.zeros(len(x))
    for z in heights:
        ez, hz = field(x, y, z)
        e, h = np.maximum(e, ez), np.maximum(h, hz)
    return away, e, h


def distances(walked, f, watt):
    away, e, h = walked
    found = []
    for e_most, h_most in limits(f):
        over = np.maximum(e * math.sqrt(watt) / e_most, h * math.sqrt(watt) / h_most) > 1
        found.append(round(float(away[over].max()), 3) if over.any() else 0.15)
    return found


def dipole_field(f, height):
    half = C / f / 4
    k = 2 * math.pi * f / C
    current = math.sqrt(1 / 73.13)

    def field(x, y, z):
        rho = np.hypot(y, z - height)
        rho = np.maximum(rho, 1e-6)
        waves = []
        for at, weight in ((half, 1), (-half, 1), (0, -2 * math.cos(k * half))):
            r = np.hypot(rho, x - at)
            waves.append((weight * np.exp(-1j * k * r), r, x - at))
        e_along = sum(w / r for w, r, _ in waves)
        e_across = sum(w * d / r for w, r, d in waves) / rho
        h = sum(w for w, _, _ in waves) / rho
        e = ETA0 / (4 * math.pi) * current * np.sqrt(np.abs(e_along) ** 2 + np.abs(e_across) ** 2)
        return e, np.abs(h) * current / (4 * math.pi)

    half_wave = [((-half, 0, height), (half, 0, height))]
    return half_wave, half, field


def dipole_rows():
    for f, height in ((3.6, 1.5), (7.1, 1.2), (7.1, 3.0), (14.1, 1.7), (14.1, 2.6)):
        pieces, half, field = dipole_field(f, height)
        step = 0.02
        # One quarter is enough: the dipole and its field are even in x and in y.
        grid = (np.arange(0, half + 3, step), np.arange(0, 3, step))
        walked = walk(pieces, grid, field, np.linspace(0.1, BODY_M, 20))
        for watt in (5, 20, 100):
            yield [f, height, watt, *distances(walked, f, watt)]


def nec_context(case):
    import PyNEC

    nec = PyNEC.nec_context()
    geo = nec.get_geometry()
    for tag, (a, b) in enumerate(case["pieces"], 1):
        geo.wire(tag, case["segments"][tag - 1], *a, *b, case["radius"], 1.0, 1.0)
    nec.geometry_complete(1 if case["ground"] == "perfect" else 0)
    nec.gn_card(1 if case["ground"] == "perfect" else -1, 0, 0, 0, 0, 0, 0, 0)
    for tag, farad in case.get("capacitors", []):
        middle = case["segments"][tag - 1] // 2 + 1
        nec.ld_card(0, tag, middle, middle, 0, 0, farad)
    tag = case["fed"]
    nec.ex_card(0, tag, case["segments"][tag - 1] // 2 + 1, 0, 1.0, 0, 0, 0, 0, 0)
    nec.fr_card(0, 1, case["mhz"], 0)
    nec.xq_card(0)
    z = np.atleast_1d(nec.get_input_parameters(0).get_impedance())[0]
    # 1 V peak: power into the feed, and the factor from peak fields to rms fields at 1 W.
    power = 0.5 * (1.0 / z).real
    return nec, z, math.sqrt(0.5 / power)


def nec_fields(nec, grid, z, index):
    """Near E and H over a grid at one height by NEC's NE and NH cards."""
    (x0, dx, nx), (y0, dy, ny) = grid
    out = []
    for card, get in ((nec.ne_card, "E"), (nec.nh_card, "H")):
        card(0, nx, ny, 1, x0, y0, z, dx, dy, 1.0)
        pattern = nec.get_near_field_pattern(index)
        index += 1
        parts = [np.array(getattr(pattern, f"get_field_{c}")()) for c in "xyz"]
        out.append((pattern, np.sqrt(sum(np.abs(p) ** 2 for p in parts))))
    return out, index


if __name__ == "__main__":
    head = ["freq_mhz", "height_m", "power_w", "fcc_controlled_m", "fcc_public_m", "icnirp_controlled_m", "icnirp_public_m"]
    with open(HERE / "dipole_walk.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(head)
        out.writerows(dipole_rows())
