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


# Antennas that NEC-2 solves well: in free space and over perfect ground. Loops are polygons of twelve sides, as in the program.
def polygon(diameter, height):
    step = math.pi / 6
    radius = diameter / 2 * (step / 2) / math.sin(step / 2)
    centre = height + radius * math.cos(step / 2)
    angles = [-math.pi / 2 + (i - 0.5) * step for i in range(13)]
    corners = [(radius * math.cos(a), 0.0, centre + radius * math.sin(a)) for a in angles]
    return list(zip(corners, corners[1:]))


NEC_CASES = [
    # name, MHz, ground, pieces, segments a piece, radius, fed piece, capacitor piece
    ("dipole_low", 7.1, "perfect", [((-10.1, 0, 1.8), (10.1, 0, 1.8))], 101, 0.0005, 0, None),
    ("dipole_free", 14.1, "free", [((-5.1, 0, 1.5), (5.1, 0, 1.5))], 101, 0.0005, 0, None),
    ("loop_free", 14.1, "free", polygon(0.95, 1.0), 5, 0.005, 0, 6),
    ("loop_ground", 7.05, "perfect", polygon(0.95, 0.8), 5, 0.005, 0, 6),
]


def nec_solved(case, farad, grid=None):
    """A solved antenna: feed impedance, and near E and H over a grid, peak for 1 V peak."""
    import PyNEC

    _, mhz, ground, pieces, segments, radius, fed, capacitor = case
    nec = PyNEC.nec_context()
    geo = nec.get_geometry()
    for tag, (a, b) in enumerate(pieces, 1):
        geo.wire(tag, segments, *a, *b, radius, 1.0, 1.0)
    over = ground == "perfect"
    nec.geometry_complete(1 if over else 0)
    nec.gn_card(1 if over else -1, 0, 0, 0, 0, 0, 0, 0)
    if farad:
        middle = segments // 2 + 1
        nec.ld_card(0, capacitor + 1, middle, middle, 0, 0, farad)
    nec.ld_card(5, 0, 0, 0, 5.8e7, 0, 0)
    nec.ex_card(0, fed + 1, segments // 2 + 1, 0, 1.0, 0, 0, 0, 0, 0)
    nec.fr_card(0, 1, mhz, 0)
    fields = []
    if grid:
        (x0, dx, nx), (y0, dy, ny), z = grid
        nec.ne_card(0, nx, ny, 1, x0, y0, z, dx, dy, 1.0)
        nec.nh_card(0, nx, ny, 1, x0, y0, z, dx, dy, 1.0)
    nec.xq_card(0)
    impedance = np.atleast_1d(nec.get_input_parameters(0).get_impedance())[0]
    if grid:
        for index in (0, 1):
            pattern = nec.get_near_field_pattern(index)
            parts = [np.abs(np.array(getattr(pattern, f"get_field_{c}")())) for c in "xyz"]
            fields.append(np.sqrt(sum(p**2 for p in parts)))
        fields += [np.array(pattern.get_x()), np.array(pattern.get_y())]
    return impedance, fields


def tuned(case):
    """The capacitor that makes a loop resonant, by halving."""
    if case[7] is None:
        return 0.0
    low, high = 1e-12, 2e-9
    for _ in range(60):
        middle = math.sqrt(low * high)
        # More capacitance: the series reactance at the feed rises.
        if nec_solved(case, middle)[0].imag > 0:
            high = middle
        else:
            low = middle
    return math.sqrt(low * high)


def nec_rows():
    for case in NEC_CASES:
        farad = tuned(case)
        _, mhz, _, pieces, *_ = case
        half = max(abs(c) for p in pieces for end in p for c in end[:2])
        step = 0.05
        nx, ny = int((half + 4.0) / step) + 1, int(4.0 / step) + 1
        away = e = h = None
        for z in np.arange(0.1, BODY_M + 0.01, 0.1):
            impedance, (ez, hz, x, y) = nec_solved(case, farad, ((0.0, step, nx), (0.0, step, ny), float(z)))
            power = 0.5 * (1 / impedance).real
            scale = math.sqrt(0.5 / power)
            away = clearance(pieces, x, y) if away is None else away
            e = ez * scale if e is None else np.maximum(e, ez * scale)
            h = hz * scale if h is None else np.maximum(h, hz * scale)
        keep = away >= 0.15
        for watt in (5, 20, 100):
            found = distances((away[keep], e[keep], h[keep]), mhz, watt)
            yield [case[0], mhz, watt, round(farad * 1e12, 4), round(impedance.real, 4), *found]


if __name__ == "__main__":
    head = ["freq_mhz", "height_m", "power_w", "fcc_controlled_m", "fcc_public_m", "icnirp_controlled_m", "icnirp_public_m"]
    with open(HERE / "dipole_walk.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(head)
        out.writerows(dipole_rows())
    head = ["case", "freq_mhz", "power_w", "capacitor_pf", "resistance_ohm", *head[3:]]
    with open(HERE / "nec2_walk.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(head)
        out.writerows(nec_rows())
