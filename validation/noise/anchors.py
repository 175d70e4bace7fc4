"""The field of lightning noise beside the figures of Rec. ITU-R P.372 that are remembered: the tables of docs/methods/noise.md.

Usage: python3 validation/noise/anchors.py      (reads data/lightning.bin and make_lightning.py; prints both tables)

The figures are from memory of the maps at 1 MHz and of their curves over frequency, so they are ranges; where a range names no place,
several stand for it and their mean is taken.
"""

import numpy as np

import make_lightning as field

MID_LATITUDES = [(45, 15), (45, -90), (50, 30), (40, -100), (45, 0)]
TROPICS = [(0, 20), (0, -60), (5, 100), (5, 0), (-5, 35)]
# What, places, month, local hour, MHz, lowest and highest remembered figure in dB above k T0 b.
ANCHORS = [
    ("mid latitudes, winter, noon", MID_LATITUDES, 1, 12, 1.0, 25, 30),
    ("mid latitudes, winter, midnight", MID_LATITUDES, 1, 0, 1.0, 60, 65),
    ("mid latitudes, summer, forenoon", MID_LATITUDES, 7, 9, 1.0, 40, 45),
    ("mid latitudes, summer, afternoon", MID_LATITUDES, 7, 16, 1.0, 57, 65),
    ("mid latitudes, summer, night", MID_LATITUDES, 7, 23, 1.0, 75, 85),
    ("tropical land, noon", TROPICS, 4, 12, 1.0, 60, 75),
    ("tropical land, midnight", TROPICS, 4, 0, 1.0, 90, 95),
    ("mid latitudes, summer, night", MID_LATITUDES, 7, 23, 3.0, 61, 65),
    ("mid latitudes, summer, night", MID_LATITUDES, 7, 23, 5.0, 53, 57),
    ("mid latitudes, summer, night", MID_LATITUDES, 7, 23, 10.0, 37, 41),
    ("mid latitudes, summer, night", MID_LATITUDES, 7, 23, 20.0, 18, 22),
    ("mid latitudes, winter, noon", MID_LATITUDES, 1, 12, 3.0, 23, 27),
    ("mid latitudes, winter, noon", MID_LATITUDES, 1, 12, 5.0, 28, 32),
    ("mid latitudes, winter, noon", MID_LATITUDES, 1, 12, 10.0, 28, 32),
    ("mid latitudes, winter, noon", MID_LATITUDES, 1, 12, 20.0, 8, 12),
]
PLACES = [("open ocean, mid Pacific", 0, -150), ("open ocean, North Atlantic", 45, -35), ("desert, Sahara", 23, 10),
          ("rain forest, Congo", -1, 24), ("rain forest, Amazon", -4, -62), ("highland, Kenya", 0, 37), ("islands, Sumatra", 0, 101),
          ("mid latitudes, central Europe", 49, 11), ("mid latitudes, plains of North America", 40, -95),
          ("southern mid latitudes, New Zealand", -43, 171), ("polar, Svalbard", 78, 16)]


def nodes(position, count, closed):
    low = int(np.floor(position)) if closed else int(np.clip(position, 0, count - 2))
    share = position - low if closed else float(np.clip(position, 0, count - 1)) - low
    return (low % count, 1 - share), ((low + 1) % count, share)


def read(three, lat, lon, month, hour, freq_mhz):
    """Median, upper and lower decile distance by the same interpolation as the program's."""
    logs = np.log(field.FREQS)
    total = np.zeros(3)
    for y, wy in nodes((lat + 85.0) / 10.0, len(field.LATS), False):
        for x, wx in nodes((lon + 180.0) / 15.0, len(field.LONS), True):
            for h, wh in nodes((hour - 1.0) / 2.0, len(field.HOURS), True):
                for f, wf in nodes(float(np.interp(np.log(freq_mhz), logs, np.arange(len(logs)))), len(logs), False):
                    total += wy * wx * wh * wf * np.array([part[y * len(field.LONS) + x, month - 1, h, f] for part in three])
    return total


def main():
    three = list(field.unpacked())
    off = []
    print("| figure | MHz | remembered, dB | here, dB | off the range, dB |\n|---|---:|---:|---:|---:|")
    for name, places, month, hour, freq, low, high in ANCHORS:
        here = np.mean([read(three, lat, lon, month, hour, freq)[0] for lat, lon in places])
        miss = here - np.clip(here, low, high)
        off.append((here - (low + high) / 2, miss))
        print(f"| {name} | {freq:g} | {low} to {high} | {here:.0f} | {miss:+.0f} |")
    off = np.array(off)
    print(f"mean off the middle {off[:, 0].mean():+.1f} dB, rms off the middle {np.sqrt((off[:, 0] ** 2).mean()):.1f} dB, "
          f"rms off the range {np.sqrt((off[:, 1] ** 2).mean()):.1f} dB\n")
    print("| place | January 22 h | January noon | April 22 h | July 22 h | July noon | July 16 h |\n|---|---:|---:|---:|---:|---:|---:|")
    for name, lat, lon in PLACES:
        cells = []
        for month, hour in ((1, 22), (1, 12), (4, 22), (7, 22), (7, 12), (7, 16)):
            median, upper, lower = read(three, lat, lon, month, hour, 3.6)
            cells.append(f"{median:.0f} +{upper:.0f} -{lower:.0f}")
        print(f"| {name} | " + " | ".join(cells) + " |")


if __name__ == "__main__":
    main()
