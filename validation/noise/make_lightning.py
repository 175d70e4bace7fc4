#!/usr/bin/env python3
# pip install numpy==2.4.6 scipy==1.17.1 PyIRI==0.1.7 itur==0.4.0 global-land-mask==1.0.0
"""The noise of the world's lightning by place, month, local hour and frequency: data/lightning.bin and a table that judges its reading.

Usage: python3 validation/noise/make_lightning.py            computes the field (some minutes), writes the file and validation/noise/lightning.csv
       python3 validation/noise/make_lightning.py --check    computes it anew and compares: exit code 1 if any node differs by over 0.1 dB

The sum: storms.py says how many flashes fall in each cell of 5 degrees; for each of DAYS drawn days each cell gets its storms
(compound Poisson: STORM_FLASHES flashes a storm on the mean, itself exponential, in blocks of four hours) on days whose weather has
storms at all. Flashes radiate as f^-SLOPE; every cell is heard through the sky (paths.py), the storms within 400 km
of the receiver by ground wave and straight from the cloud as well. Median and deciles over the days are what is kept.
One level C for all was set by the anchors of Rec. ITU-R P.372 that are remembered (anchors.py).

Layout of the file, little endian: the letters FHLN, u32 version 1; u32 counts of latitudes, longitudes, months, hours, frequencies;
f32 frequencies in MHz. Then three fields: median in dB above k T0 b, upper decile less median, median less lower decile, each as
u32 rank K, f32 scale of the places, f32 scale of the times, i16 [place][K], i16 [time][K] (place: latitude, then longitude; time:
month, hour, frequency). A value is the sum over K of the products of both, each times its scale. Latitudes from the south by 10
degrees from -85, longitudes by 15 from -180, months in their middle, local mean solar hours by 2 from 1 h.
"""

import hashlib
import multiprocessing
import pathlib
import struct
import sys

import numpy as np

import paths
import storms

HERE = pathlib.Path(__file__).resolve().parent
OUT = HERE.parents[1] / "data" / "lightning.bin"
TABLE = HERE / "lightning.csv"
LATS, LONS, HOURS = np.arange(-85.0, 86.0, 10.0), np.arange(-180.0, 180.0, 15.0), np.arange(1.0, 24.0, 2.0)
FREQS = np.array([1.0, 2.0, 3.5, 6.0, 10.0, 16.0, 30.0])
SLOPE = 4.0
LEVEL_DB = 146.0
# 30 dB under the man-made noise of a quiet rural place (53.6 - 28.6 log f): nothing below is heard anywhere.
INAUDIBLE = (23.6, 28.6)
# Deciles further off say only that a storm comes or does not, and P.372 has hardly any beyond (from memory).
WIDEST_DB = 14.0
DAYS, SEED, STORM_FLASHES, BLOCK_H, SPOTS = 200, 372, 300.0, 4.0, 12
RANKS = (24, 5, 3)
RINGS_KM = np.array([20.0, 40.0, 75.0, 130.0, 200.0, 300.0])
RING_EDGES_KM = np.array([10.0, 30.0, 50.0, 100.0, 160.0, 240.0, 400.0])
CELL_DEG = 5.0
LEAST_FLASHES = 2e-3


def cells():
    """Sources of 5 degrees: latitude, longitude, and flashes a second over land and sea by month (of the mean hour)."""
    on_land, on_sea, _, _ = storms.climatology()
    area = storms.area_km2()
    n = int(CELL_DEG / storms.STEP_DEG)

    def gather(x):
        x = x * area / storms.MONTH_S
        return x.reshape(12, len(storms.LATS) // n, n, len(storms.LONS) // n, n).sum(axis=(2, 4)).reshape(12, -1)

    lat = storms.LATS.reshape(-1, n).mean(axis=1)
    lon = storms.LONS.reshape(-1, n).mean(axis=1)
    grid = np.meshgrid(lat, lon, indexing="ij")
    return grid[0].ravel(), grid[1].ravel(), gather(on_land), gather(on_sea)


def weather(rng, density):
    """Factors of the day's weather, mean one, for places with so many flashes a month and km²: [..., days].

    Thunder days by the handbook relation between them and the flashes that reach the ground, 0.04 Td^1.25 a year and km² (from
    memory), a quarter of all flashes reaching it; SPOTS of that size in the reach of one weather."""
    spot = (np.asarray(density)[..., None] * 12.0 / 4.0 / 0.04) ** 0.8 / 365.25
    stormy = 1.0 - (1.0 - np.clip(spot, 1e-6, 0.9)) ** SPOTS
    shape = stormy.shape[:-1] + (DAYS,)
    return (rng.random(shape) < stormy) * rng.exponential(1.0, shape) / stormy


def drawn(rng, expected, of_day):
    """Factors on the mean of cells with so many flashes expected in four hours, for DAYS days: [..., days]."""
    count = rng.poisson((expected / STORM_FLASHES)[..., None] * of_day)
    flashes = rng.gamma(np.maximum(count, 1e-9)) * STORM_FLASHES
    return np.where(count > 0, flashes, 0.0) / np.maximum(expected, 1e-30)[..., None]


def of_month(month):
    """Median, upper and lower decile distance in dB at [place, hour, frequency]."""
    rng = np.random.default_rng(SEED + month)
    lat, lon, land_s, sea_s = cells()
    keep = (land_s + sea_s)[month] > LEAST_FLASHES
    lat, lon, land_s, sea_s = lat[keep], lon[keep], land_s[month, keep], sea_s[month, keep]
    # Flashes a second by UTC hour on each drawn day.
    utc = np.arange(0.0, 24.0, 1.0)
    shares = storms.by_hour((utc[None, :] + lon[:, None] / 15.0) % 24.0)
    rate = land_s[:, None] * shares[0] + sea_s[:, None] * shares[1]
    cell_km2 = (np.radians(CELL_DEG) * storms.EARTH_KM) ** 2 * np.cos(np.radians(lat))
    of_day = weather(rng, (land_s + sea_s) * storms.MONTH_S / cell_km2)
    factor = drawn(rng, rate.mean(axis=1) * BLOCK_H * 3600.0, of_day).astype(np.float32)
    sky = paths.Sky(month)
    density_land, density_sea = (x[month] for x in storms.climatology()[:2])
    land = storms.land_share()
    out = np.zeros((3, len(LATS) * len(LONS), len(HOURS), len(FREQS)), dtype=np.float32)
    spectrum, floor_db = FREQS**-SLOPE, INAUDIBLE[0] - INAUDIBLE[1] * np.log10(FREQS)
    for place, (rx_lat, rx_lon) in enumerate((a, b) for a in LATS for b in LONS):
        hour_utc = (HOURS - rx_lon / 15.0) % 24.0
        distance, gain = sky.gains(rx_lat, rx_lon, lat, lon, hour_utc, FREQS)
        gain[distance < RING_EDGES_KM[-1]] = 0.0
        index = np.rint(hour_utc).astype(int) % 24
        power = np.einsum("chf,ch,cd->hfd", gain, rate[:, index].astype(np.float32), factor, optimize=True)
        near = near_mean(rx_lat, rx_lon, density_land), near_mean(rx_lat, rx_lon, density_sea)
        local = storms.by_hour(HOURS)
        share_of_land = near_mean(rx_lat, rx_lon, land)
        ring_gain = sky.ring_gains(rx_lat, rx_lon, RINGS_KM, hour_utc, FREQS, share_of_land)
        area = np.pi * np.diff(RING_EDGES_KM**2)
        ring_rate = area[:, None] * (near[0] * local[0] + near[1] * local[1])[None, :] / storms.MONTH_S
        ring_factor = drawn(rng, ring_rate * BLOCK_H * 3600.0, weather(rng, sum(near))[None, None, :])
        power = power + np.einsum("rhf,rh,rhd->hfd", ring_gain, ring_rate, ring_factor)
        level = LEVEL_DB + 10 * np.log10(np.maximum(power * spectrum[None, :, None], 1e-30))
        low, middle, high = np.quantile(np.maximum(level, floor_db[None, :, None]), (0.1, 0.5, 0.9), axis=2)
        out[:, place] = middle, np.minimum(high - middle, WIDEST_DB), np.minimum(middle - low, WIDEST_DB)
    return out


def near_mean(lat, lon, grid):
    """Mean of a grid of storms.py over the blocks within 400 km."""
    y, x = np.meshgrid(storms.LATS, storms.LONS, indexing="ij")
    near = paths.distance_km(lat, lon, y, x) < RING_EDGES_KM[-1]
    weight = near * np.cos(np.radians(y))
    return float((grid * weight).sum() / weight.sum())


def field():
    with multiprocessing.Pool(2) as pool:
        months = pool.map(of_month, range(12), chunksize=1)
    return np.stack(months, axis=2).astype(float)  # [3, place, month, hour, frequency]


def packed(values, rank):
    """One field as a product of places and times, and what is left of it when read back."""
    matrix = values.reshape(values.shape[0], -1)
    u, s, v = np.linalg.svd(matrix, full_matrices=False)
    u, v = u[:, :rank] * np.sqrt(s[:rank]), (v[:rank].T) * np.sqrt(s[:rank])
    scales = [np.float32(np.abs(x).max() / 32767.0) for x in (u, v)]
    codes = [np.rint(x / scale).astype("<i2") for x, scale in zip((u, v), scales)]
    data = struct.pack("<Iff", rank, *scales) + b"".join(code.tobytes() for code in codes)
    back = (codes[0].astype(float) * scales[0]) @ (codes[1].astype(float) * scales[1]).T
    return data, back.reshape(values.shape)


def unpacked():
    """The three fields as the file in data/ has them."""
    data = OUT.read_bytes()
    counts = struct.unpack_from("<5I", data, 8)
    at, places, times = 28 + 4 * counts[4], counts[0] * counts[1], counts[2] * counts[3] * counts[4]
    for _ in range(3):
        rank, a, b = struct.unpack_from("<Iff", data, at)
        u = np.frombuffer(data, "<i2", places * rank, at + 12).reshape(places, rank) * float(a)
        v = np.frombuffer(data, "<i2", times * rank, at + 12 + 2 * places * rank).reshape(times, rank) * float(b)
        at += 12 + 2 * rank * (places + times)
        yield (u @ v.T).reshape(places, counts[2], counts[3], counts[4])


def rows(values):
    """Every 997th node of the field before packing: what the program's reading is held against."""
    yield "lat_deg,lon_deg_E,month,local_h,freq_mhz,fa_median_db,upper_decile_db,lower_decile_db"
    shape = values.shape[1:]
    for k in range(0, int(np.prod(shape)), 997):
        place, month, hour, f = np.unravel_index(k, shape)
        three = values[:, place, month, hour, f]
        yield (f"{LATS[place // len(LONS)]:.0f},{LONS[place % len(LONS)]:.0f},{month + 1},{HOURS[hour]:.0f},{FREQS[f]:g},"
               + ",".join(f"{x:.2f}" for x in three))


def main():
    values = field()
    table = list(rows(values))
    head = b"FHLN" + struct.pack("<6I", 1, len(LATS), len(LONS), 12, len(HOURS), len(FREQS)) + FREQS.astype("<f4").tobytes()
    parts = [packed(values[i], rank) for i, rank in enumerate(RANKS)]
    for name, (_, back), true in zip(("median", "upper", "lower"), parts, values):
        off = np.abs(back - true)
        print(f"{name}: packing leaves {np.sqrt((off**2).mean()):.2f} dB rms, 99 % below {np.quantile(off, 0.99):.1f}, worst {off.max():.1f}")
    data = head + b"".join(part for part, _ in parts)
    print(hashlib.sha256(data).hexdigest(), len(data), "bytes")
    if "--check" in sys.argv:
        worst = max(np.abs(old - back).max() for old, (_, back) in zip(unpacked(), parts))
        made, kept = (np.array([[float(x) for x in line.split(",")] for line in lines[1:]])
                      for lines in (table, TABLE.read_text(encoding="utf-8").splitlines()))
        worst = max(worst, np.abs(made - kept).max() if made.shape == kept.shape else np.inf)
        print(f"greatest difference {worst:.3f} dB")
        sys.exit(0 if worst < 0.1 else 1)
    OUT.write_bytes(data)
    TABLE.write_text("\n".join(table) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
