"""How the crackle of lightning gets from there to here: simple laws, for make_lightning.py.

Through the sky: one to three counts of hops on a layer 300 km high, each with spreading over its slant length, absorption by the
handbook law 677.2 I sec / ((f + 1)^1.98 + 10.2) dB a hop (Lucas & Haydon 1966, from memory; I by the sun along the way, at night
NIGHT_INDEX; in all not more than MOST_ABSORPTION_DB, which a remembered winter noon at 1 MHz asked for), HOP_DB at each ground reflection, SKY_DB once, and the share of days on which foF2 (PyIRI's CCIR map for IG12 = 50)
carries that hop; FLOOR of the power comes through where none does (scatter, sporadic E; assumed). Sources radiate cos² of the
elevation and a part VERTICAL_LEAK of it everywhere, because strokes in clouds lie at every slant (assumed).

From storms near by: the ground wave by Norton's plane-earth attenuation, or where it is more the direct ray from CLOUD_KM with its
reflection, both over the receiver's mean ground.
"""

import numpy as np
import PyIRI
import PyIRI.main_library as ml
from scipy.special import ndtr

EARTH_KM, LAYER_KM, D_KM = 6371.0, 300.0, 85.0
LONGEST_HOP_KM = 3500.0
NIGHT_INDEX, HOP_DB, SKY_DB, FLOOR, VERTICAL_LEAK = 0.03, 3.0, 6.0, 1e-3, 0.2
MOST_ABSORPTION_DB = 42.0
ABSORPTION_PER_INDEX = 1.185  # 1 + 0.0037 R12 at R12 = 50
FOF2_SCATTER = 0.15
CLOUD_KM = 6.0
LN10 = np.log(10) / 10
SOIL, SEA = (13.0, 0.005), (80.0, 5.0)  # permittivity, S/m
GRID_LAT, GRID_LON = np.arange(-85.0, 86.0, 10.0), np.arange(-180.0, 180.0, 15.0)


def unit(lat, lon):
    lat, lon = np.broadcast_arrays(np.radians(lat), np.radians(lon))
    return np.stack([np.cos(lat) * np.cos(lon), np.cos(lat) * np.sin(lon), np.sin(lat)], axis=-1)


def distance_km(lat0, lon0, lat, lon):
    return EARTH_KM * np.arccos(np.clip(unit(lat, lon) @ unit(lat0, lon0), -1.0, 1.0))


def hop(length_km):
    """Elevation of the ray and slant length of a hop over that distance on the ground, both ways of it."""
    half = length_km / (2 * EARTH_KM)
    slant = 2 * np.sqrt(EARTH_KM**2 + (EARTH_KM + LAYER_KM) ** 2 - 2 * EARTH_KM * (EARTH_KM + LAYER_KM) * np.cos(half))
    elevation = np.arctan2(np.cos(half) - EARTH_KM / (EARTH_KM + LAYER_KM), np.maximum(np.sin(half), 1e-9))
    return np.maximum(elevation, 0.02), slant


def muf_factor(length_km, m3000):
    """MUF over foF2 by the shape of Rec. ITU-R P.1240 with a longest hop of 4000 km (from memory)."""
    def shape(km):
        z = 1 - 2 * np.minimum(km, 4000.0) / 4000.0
        return 0.74 + z * (-0.591 + z * (-0.424 + z * (-0.090 + z * (0.088 + z * (0.181 + z * 0.096)))))
    return 1 + shape(length_km) / shape(3000.0) * (m3000 - 1)


class Sky:
    def __init__(self, month):
        glat, glon = np.meshgrid(GRID_LAT, GRID_LON, indexing="ij")
        f2 = ml.IRI_monthly_mean_par(2025, month + 1, np.arange(0.0, 24.0), glon.ravel(), glat.ravel(), PyIRI.coeff_dir, 0)[0]
        shape = (24, len(GRID_LAT), len(GRID_LON))
        self.fof2 = f2["fo"].mean(axis=2).reshape(shape)
        self.m3000 = f2["M3000"].mean(axis=2).reshape(shape)
        self.declination_deg = 23.44 * np.sin(2 * np.pi * (30.44 * (month + 0.5) - 81) / 365.25)

    def index(self, points, hour_utc):
        """Absorption index at points [..., 3] for each hour: [..., h]."""
        suns = unit(self.declination_deg, 180.0 - 15.0 * hour_utc)
        zenith = np.degrees(np.arccos(np.clip(points @ suns.T, -1, 1)))
        day = np.maximum(np.cos(np.radians(0.881 * np.minimum(zenith, 102.0))), 0.0) ** 1.3
        return ABSORPTION_PER_INDEX * np.maximum(day, NIGHT_INDEX)

    def layer(self, points, hour_utc):
        """foF2 and M(3000)F2 of the nearest place of the grid: two of [..., h]."""
        lat = np.degrees(np.arcsin(np.clip(points[..., 2], -1, 1)))
        lon = np.degrees(np.arctan2(points[..., 1], points[..., 0]))
        i = np.clip(np.rint((lat + 85) / 10).astype(int), 0, len(GRID_LAT) - 1)[..., None]
        k = (np.rint((lon + 180) / 15).astype(int) % len(GRID_LON))[..., None]
        t = np.rint(hour_utc).astype(int) % 24
        return self.fof2[t, i, k], self.m3000[t, i, k]

    def gains(self, lat0, lon0, lat, lon, hour_utc, freqs):
        """Distance of each source and power gain through the sky over 1 km in the open: [c], [c, h, f]."""
        here, there = unit(lat0, lon0), unit(lat, lon)
        angle = np.maximum(np.arccos(np.clip(there @ here, -1.0, 1.0)), 1e-3)
        part = np.array([0.1, 0.3, 0.5, 0.7, 0.9])
        weights = np.sin((1 - part) * angle[:, None]) / np.sin(angle)[:, None], np.sin(part * angle[:, None]) / np.sin(angle)[:, None]
        points = weights[0][..., None] * here + weights[1][..., None] * there[:, None, :]
        points /= np.linalg.norm(points, axis=-1, keepdims=True)
        index = self.index(points, hour_utc).mean(axis=1)
        fof2, m3000 = self.layer(points, hour_utc)
        distance = angle * EARTH_KM
        total = np.zeros((len(distance), len(hour_utc), len(freqs)), dtype=np.float32)
        fewest = np.ceil(distance / LONGEST_HOP_KM)
        absorption = 677.2 / ((freqs + 1.0) ** 1.98 + 10.2)
        for more in range(3):
            hops = fewest + more
            length = distance / hops
            elevation, slant = hop(length)
            secant = 1 / np.sqrt(1 - (EARTH_KM * np.cos(elevation) / (EARTH_KM + D_KM)) ** 2)
            source = np.cos(elevation) ** 2 + VERTICAL_LEAK
            fixed_db = 20 * np.log10(hops * slant) + HOP_DB * (hops - 1) + SKY_DB - 10 * np.log10(source)
            muf = (fof2 * muf_factor(length[:, None, None], m3000))
            muf = np.where(hops[:, None] > 1, muf.min(axis=1), muf[:, 2])
            share = ndtr(np.log(muf[..., None] / freqs) / FOF2_SCATTER) + FLOOR
            nepers = (hops * secant * -LN10)[:, None, None] * index[..., None] * absorption
            passed = np.exp(nepers, dtype=np.float32) + np.float32(10 ** (-MOST_ABSORPTION_DB / 10))
            total += share.astype(np.float32) * passed * (10 ** (-fixed_db / 10)).astype(np.float32)[:, None, None]
        return distance, total

    def ring_gains(self, lat0, lon0, rings_km, hour_utc, freqs, land):
        """Gain from each ring around the receiver, by ground, from the cloud and through the sky: [ring, h, f]."""
        lat = np.clip(lat0 + np.degrees(rings_km / EARTH_KM), -89.9, 89.9)
        _, sky = self.gains(lat0, lon0, lat, np.full(len(rings_km), lon0), hour_utc, freqs)
        near = sum(share * np.maximum(norton(rings_km, freqs, *ground), from_cloud(rings_km, freqs, *ground)) ** 2
                   for share, ground in ((land, SOIL), (1 - land, SEA)))
        return sky + (near / rings_km[:, None] ** 2)[:, None, :]


def norton(r_km, freqs, permittivity, siemens_m):
    complex_eps = np.hypot(permittivity, 18000.0 * siemens_m / freqs)
    p = np.pi * r_km[:, None] * freqs / 0.3 / complex_eps
    return (2 + 0.3 * p) / (2 + p + 0.6 * p**2)


def from_cloud(r_km, freqs, permittivity, siemens_m):
    """Field at the ground of a vertical source in the cloud, over twice its field in the open: (1 + R) / 2, none below the horizon."""
    angle = (CLOUD_KM / r_km - r_km / (2 * 4 / 3 * EARTH_KM))[:, None]
    n2 = permittivity - 1j * 18000.0 * siemens_m / freqs
    sine = np.maximum(angle, 0.0)
    sine = sine / np.sqrt(1 + sine**2)
    root = np.sqrt(n2 - (1 - sine**2))
    return np.abs(1 + (n2 * sine - root) / (n2 * sine + root)) / 2
