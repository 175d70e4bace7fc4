"""Make gains of plain antennas with NEC-2 to judge the declared closed forms.

    pip install PyNEC==2.3.4 numpy==2.4.6
    python validation/declared/make_declared.py

Perfect conductors. Real ground by NEC-2's Sommerfeld solution, used only where no wire is lower than a quarter wavelength
(NEC-2 as packaged is within about 1.5 % there). Azimuth in the CSV is a bearing: wires lie along bearing 0.
"""

import csv
import pathlib

from PyNEC import nec_context

HERE = pathlib.Path(__file__).resolve().parent
C = 299.792458
GROUNDS = {"perfect": None, "average": (13.0, 0.005), "poor": (5.0, 0.001), "sea": (70.0, 5.0)}


def gains(wires, freq_mhz, ground, azimuths, elevations):
    """Total power gain; `wires` = [(segments, p1, p2, radius)], each fed in the middle, or at its foot on the ground.

    The loop is fed in all four sides, so that its current is uniform, as the closed form takes it. Fed in one side only
    it would carry the current of an electric dipole as well.
    """
    context = nec_context()
    geometry = context.get_geometry()
    for tag, (n, p1, p2, radius) in enumerate(wires, 1):
        geometry.wire(tag, n, *p1, *p2, radius, 1.0, 1.0)
    context.geometry_complete(1)
    if ground == "perfect":
        context.gn_card(1, 0, 0, 0, 0, 0, 0, 0)
    else:
        context.gn_card(2, 0, *GROUNDS[ground], 0, 0, 0, 0)
    for tag, (n, foot, _, _) in enumerate(wires, 1):
        context.ex_card(0, tag, 1 if foot[2] == 0.0 else (n + 1) // 2, 0, 1.0, 0.0, 0, 0, 0, 0)
    context.fr_card(0, 1, freq_mhz, 0)
    found = []
    for elevation in elevations:
        for azimuth in azimuths:
            context.rp_card(0, 1, 1, 0, 0, 0, 0, 90.0 - elevation, azimuth, 1.0, 1.0, 0, 0)
    context.xq_card(0)
    index = 0
    for elevation in elevations:
        for azimuth in azimuths:
            pattern = context.get_radiation_pattern(index)
            found.append((azimuth, elevation, float(pattern.get_gain()[0][0])))
            index += 1
    return found


rows = []


def add(kind, length, height, freq, ground, wires, azimuths):
    for azimuth, elevation, gain in gains(wires, freq, ground, azimuths, range(10, 91, 10)):
        if gain > -10.0:
            rows.append([kind, f"{length:.4f}", f"{height:.4f}", 1, freq, ground, azimuth, elevation, f"{gain:.3f}"])


for freq, length in ((7.1, 20.542), (14.1, 20.0), (14.1, 8.0), (10.1, 14.4), (3.6, 20.542)):
    for part in (0.25, 0.35, 0.5, 1.0):
        for ground in ("perfect", "average", "poor", "sea"):
            height = part * C / freq
            wire = (61, (-length / 2, 0.0, height), (length / 2, 0.0, height), 0.001)
            add("dipole", length, height, freq, ground, [wire], (0, 30, 60, 90))
for freq, length in ((7.1, 10.3), (14.1, 5.0), (7.1, 2.5), (14.1, 8.0)):
    wire = (41, (0.0, 0.0, 0.0), (0.0, 0.0, length), 0.002)
    add("vertical", length, 0.0, freq, "perfect", [wire], (0,))
for ground in ("perfect", "average", "poor"):
    freq, half = 7.1, 0.4
    height = 0.3 * C / freq
    corners = [(-half, 0.0, height - half), (half, 0.0, height - half), (half, 0.0, height + half), (-half, 0.0, height + half)]
    wires = [(9, corners[i], corners[(i + 1) % 4], 0.01) for i in range(4)]
    add("loop", 4 * 2 * half, height, freq, ground, wires, (0, 30, 60, 90))

with open(HERE / "nec2.csv", "w", newline="") as handle:
    writer = csv.writer(handle, lineterminator="\n")
    writer.writerow(["kind", "length_m", "height_m", "efficiency", "freq_mhz", "ground", "azimuth_from_wire_deg", "elevation_deg", "gain_dbi"])
    writer.writerows(rows)
print(len(rows), "rows")
