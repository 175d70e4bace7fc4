"""Work the signal budget of the circuits in budget_cases.csv from the documented laws, with arithmetic of its own.

    python validation/propagation/make_budget.py [OUTPUT OF THE TEST budget]

Only the standard library. Given are the layers above the control points and the rays through them (budget_inputs.csv), which other
tests judge: tables of the maps and a ray trace. With an argument, lines that begin with "given," in that file replace
budget_inputs.csv first. Everything else is worked here: geodesic and bearings (Vincenty 1975), sun (low-precision formulas of
the Astronomical Almanac), E geometry by the law of cosines, every loss, antennas, horizons, mixture, noise and ratio.

The laws, and where each is from, stand in docs/methods/sky-path.md, absorption.md, signal.md and noise.md. A law that changes there
changes here: its numbers are at the top.
"""

import csv
import datetime
import math
import pathlib
import sys
from statistics import NormalDist

from budget_places import EARTH_KM, along, bearing_deg, sun, zenith_deg

HERE = pathlib.Path(__file__).resolve().parent
PHI = NormalDist()
DECILE_Z = PHI.inv_cdf(0.9)
LIGHT_KM_S = 299792.458

# --- Losses (sky-path.md) -------------------------------------------------------------------------------------------
GROUND_REFLECTION_DB = 2.0            # Rec. ITU-R P.533
POLARISATION_DB = 10 * math.log10(2)  # one of two circular waves
RESIDUAL_DB = 8.7 - 3.0 - 1.6         # P.533 (from memory) less what is counted elsewhere
WORTH_KEEPING_DB = 30.0
MOST_HOPS = {"E": 3, "Es": 2, "F2": 6}
LONGEST_E_HOP_KM = 2000.0
E_HEIGHT_KM = 110.0
E_RATIO_LIMIT = 1.6                   # f over the E MUF beyond which no E mode is looked at
E_DAY_TO_DAY = 0.05                   # relative spread of foE
ABOVE_F2_ROOT_DB, ABOVE_F2_MOST_DB = 36.0, 62.0           # P.533 (from memory)
ABOVE_F2_STEEP_DB, ABOVE_F2_STEEP_MOST_DB = 60.0, 28.0    # a steep ray passes through; common practice
ABOVE_E_SQUARE_DB, ABOVE_E_MOST_DB = 130.0, 81.0          # P.533 (from memory)
EDGE_DB_A_PERCENT = 20.0              # a single day's edge (signal.md)
SCATTER_DB, SCATTER_STEEP_DB = 45.0, 15.0                 # what remains beyond it
SCATTER_FROM_DB, SCATTER_SD_DB = 10.0, 6.0                # counted as scatter from here on; its own spread
FOE_FOLLOWS = 0.35                    # power of the foF2 factor by which foE moves
E_SCREEN_FROM, E_SCREEN_WIDTH, E_SCREEN_DB = 1.05, 0.05, 30.0
ES_FACTOR, ES_POWER = 10.0, 5         # after CCIR Report 252 (from memory)
ES_LEAK = 1e-3                        # power that passes round the patches
ES_LOOKED_AT = 2.0                    # f over the upper decile's Es MUF beyond which no Es mode is looked at

# --- Absorption (absorption.md) -------------------------------------------------------------------------------------
NUMERATOR = 0.47 * 677.2
COLLISION_MHZ2 = 0.12
ABOVE_100_KM = 0.33
D_SAMPLES = 7
WINTER_ANOMALY, WINTER_FROM_DEG, WINTER_WIDTH_DEG = 0.6, 25.0, 35.0
ZENITH_FACTOR, ZENITH_EXPONENT, ZENITH_MOST_DEG = 0.881, 1.12, 102.0
NIGHT_INDEX, SUNSPOT_SLOPE = 0.016, 0.0046
D_HEIGHT_KM, CROSSING_KM = 85.0, 90.0
E_EDGE_KM, E_SEMITHICKNESS_KM, E_LOWEST_TURN_KM = 5.0, 10.0, 82.0
E_COLLISIONS_PER_S, E_COLLISIONS_FOLD_KM = 5e4, 6.3       # at 100 km

# --- Aurora: Rec. ITU-R P.533 table 2 a, ranges up to 2 500 km (from memory). Rows from 77.5 degrees down in steps of 2.5;
#     columns 01-04, 04-07 ... 22-01 local time. Values in tenths of a dB.
AURORA_TOP_DEG, AURORA_STEP_DEG = 77.5, 2.5
AURORA = {
    "winter": """20 66 62 15 5 14 15 10 / 34 83 86 9 5 25 30 30 / 62 156 128 23 15 46 70 50 / 70 160 140 36 20 68 98 66
                 / 20 45 66 14 8 27 30 20 / 13 10 32 3 4 18 23 9 / 9 6 22 2 2 12 15 6 / 4 3 11 1 1 6 7 3""",
    "equinox": """14 25 74 38 10 24 24 33 / 33 110 116 51 26 40 60 70 / 65 120 214 85 48 60 100 137
                 / 67 112 170 90 72 90 109 150 / 24 44 75 50 26 48 55 61 / 17 20 50 30 22 40 30 40
                 / 11 13 33 20 14 26 20 26 / 5 6 16 10 7 13 10 13""",
    "summer": """22 27 12 23 22 38 42 38 / 24 30 28 30 27 42 48 45 / 49 42 62 45 38 54 77 72 / 65 48 90 60 48 91 95 89
                 / 32 27 40 30 30 65 67 50 / 25 18 24 23 26 50 46 40 / 16 12 16 15 17 33 31 26 / 8 6 8 7 8 16 15 13""",
}
AURORA_K = 2.5            # the project's rule, common practice
AURORA_SHIFT_DEG, AURORA_MIDNIGHT_DEG = 1.5, 0.4
AURORA_STEPS = 10_000
AURORA_GROWTH = 0.2

# --- Events on the sun (sky-path.md; from memory) -----------------------------------------------------------------------
EVENT_POWER = 1.5
HAF_DB, HAF_COSINE = 65.0, 0.75
CAP_DAY, CAP_NIGHT = (0.115, 2.5), (0.020, 8.0)           # dB by the root of the flux at 30 MHz; flux over that above 10 MeV
CAP_FULL_DEG, CAP_K_DEG, CAP_WIDTH_DEG = 66.0, 0.8, 5.0
CAP_TWILIGHT_DEG = (80.0, 100.0)

# --- Signal (signal.md) ---------------------------------------------------------------------------------------------
# The mixture by brute force: equally likely steps of foF2 and of foEs. The program has some 100 kinds of days instead.
FOF2_STEPS, ES_STEPS = 2_000, 400
BIN_DB = 0.02                         # days this near to each other are counted together
ALLOWED_SHARE = 0.02                  # how far the program's shares of days may be off: see budget_totals.toml
SLOW_DECILES_DB = (8.0, 6.0)          # P.842 (from memory): lower, upper
SLOW_DECILES_HIGH_DB = (11.0, 9.0)    # from 60 degrees geomagnetic latitude
GROUND_WAVE_SD_DB = 2.0

# --- Noise: P.372 man-made (from memory): c, d, upper and lower decile -------------------------------------------------
NOISE = {"city": (76.8, 27.7, 11.0, 6.7), "residential": (72.5, 27.7, 10.6, 5.3),
         "rural": (67.2, 27.7, 9.2, 4.6), "quiet rural": (53.6, 28.6, 9.2, 4.6)}
KT0_DBW = 10 * math.log10(1.380649e-23 * 290)


def beyond_edge_db(ratio, elevation):
    """A single day: steep down to what is scattered from far away."""
    return min(EDGE_DB_A_PERCENT * 100 * max(ratio - 1, 0), SCATTER_DB + SCATTER_STEEP_DB * math.sin(elevation) ** 2)


def above_muf_f2_db(ratio, elevation):
    """The day's law, never under P.533 (from memory) with the steep ray of common practice."""
    if ratio <= 1:
        return 0.0
    steep = math.sin(elevation) ** 2
    scatter = min(ABOVE_F2_ROOT_DB * math.sqrt(ratio - 1), ABOVE_F2_MOST_DB)
    median = min(scatter + ABOVE_F2_STEEP_DB * (ratio - 1) * steep, ABOVE_F2_MOST_DB + ABOVE_F2_STEEP_MOST_DB * steep)
    return max(median, beyond_edge_db(ratio, elevation))


def above_muf_e_db(ratio, elevation):
    if ratio <= 1:
        return 0.0
    return max(min(ABOVE_E_SQUARE_DB * (ratio - 1) ** 2, ABOVE_E_MOST_DB), beyond_edge_db(ratio, elevation))


def e_screening_db(ratio):
    """One passage of an F ray that grazes E: from the screening frequency down to the cut-off."""
    return E_SCREEN_DB * min(max((E_SCREEN_FROM - ratio) / E_SCREEN_WIDTH, 0), 1) ** 2


def es_reflection(ratio):
    """Power that sporadic E returns: the square of the share of the field."""
    return 1 / (1 + ES_FACTOR * min(ratio, 20) ** ES_POWER) ** 2


def es_reflection_db(ratio, elevation):
    """Partial reflection up to foEs sec i; beyond it the edge is added, and never less than the partial law says there."""
    at_edge = -10 * math.log10(es_reflection(min(ratio, 1)))
    return max(at_edge + beyond_edge_db(ratio, elevation), -10 * math.log10(es_reflection(ratio)))


def es_passage_db(ratio):
    return -10 * math.log10(max(1 - es_reflection(ratio), ES_LEAK))


def horizon_db(elevation_deg, edge_deg, edge_km, freq):
    """P.526 single knife edge, far end at infinity; a level horizon costs nothing."""
    if edge_deg <= 0:
        return 0.0
    nu = math.radians(edge_deg - elevation_deg) * math.sqrt(2 * edge_km * 1e3 * freq * 1e6 / (LIGHT_KM_S * 1e3))
    if nu <= -0.78:
        return 0.0
    return max(0.0, 6.9 + 20 * math.log10(math.hypot(nu - 0.1, 1) + nu - 0.1))


def auroral_db(latitude, local_h, season, k):
    table = [[int(v) / 10 for v in row.split()] for row in AURORA[season].split("/")]
    off = (AURORA_K if k is None else k) - AURORA_K
    shift = (AURORA_SHIFT_DEG + AURORA_MIDNIGHT_DEG * math.cos(local_h * math.pi / 12)) * off

    def in_row(i):
        if i >= len(table):
            return 0.0
        row = table[max(i, 0)]
        x = ((local_h - 2.5) % 24) / 3
        j = int(x)
        return row[j] * (1 - x + j) + row[(j + 1) % 8] * (x - j)

    def at(lat):
        x = (AURORA_TOP_DEG + AURORA_STEP_DEG / 2 - lat) / AURORA_STEP_DEG
        i = math.floor(x)
        return in_row(i) * (1 - x + i) + in_row(i + 1) * (x - i)
    # The greatest (less unrest: the least) that the belt brings on its way, step by step.
    way = [at(abs(latitude) + shift * n / AURORA_STEPS) for n in range(AURORA_STEPS + 1)] if off else [at(abs(latitude))]
    return (max(way) if off >= 0 else min(way)) * max(0.0, 1 + AURORA_GROWTH * off)


def season(month, lat):
    names = {11: 0, 12: 0, 1: 0, 2: 0, 5: 2, 6: 2, 7: 2, 8: 2}
    code = names.get(month, 1)
    return ("winter", "equinox", "summer")[code if lat >= 0 else 2 - code]


# --- Absorption -------------------------------------------------------------------------------------------------------

def index(lat, lon, when, r12):
    chi = zenith_deg(lat, lon, when)
    day = max(max(math.cos(math.radians(ZENITH_FACTOR * min(chi, ZENITH_MOST_DEG))), 0) ** ZENITH_EXPONENT, NIGHT_INDEX)
    x = min(max((abs(lat) - WINTER_FROM_DEG) / WINTER_WIDTH_DEG, 0), 1)
    depth = -math.copysign(1, lat) * math.degrees(sun(when)[0]) / 23.44
    lit = min(max((95 - chi) / 20, 0), 1)
    return (1 + SUNSPOT_SLOPE * r12) * day * (1 + WINTER_ANOMALY * x * x * (3 - 2 * x) * min(max(depth, 0), 1) * lit)


def fade_out_1mhz_db(chi, flux):
    """One leg straight up at 1 MHz: half of what the highest affected frequency loses up and back, 1 dB."""
    if not flux or chi >= 90:
        return 0.0
    return 0.5 * (max(10 * math.log10(flux) + HAF_DB, 0) * math.cos(math.radians(chi)) ** HAF_COSINE) ** EVENT_POWER


def polar_cap_1mhz_db(chi, flux, latitude, k):
    day, night = (factor * math.sqrt(softer * (flux or 0)) for factor, softer in (CAP_DAY, CAP_NIGHT))
    dark = min(max((chi - CAP_TWILIGHT_DEG[0]) / (CAP_TWILIGHT_DEG[1] - CAP_TWILIGHT_DEG[0]), 0), 1)
    inside = 1 - (CAP_FULL_DEG - CAP_K_DEG * k - abs(latitude)) / CAP_WIDTH_DEG
    return (day * (1 - dark) + night * dark) * min(max(inside, 0), 1) * 30 ** EVENT_POWER


def secant(elevation, height):
    return 1 / math.cos(math.asin(EARTH_KM * math.cos(elevation) / (EARTH_KM + height)))


def unit_db(freq, longitudinal, wave):
    return NUMERATOR / ((freq + (longitudinal if wave == "o" else -longitudinal)) ** 2 + COLLISION_MHZ2)


def bending(x):
    x = min(x, 0.99)
    return 1.0 if x < 1e-3 else 3 / (4 * x * x) * ((1 + x * x) * math.atanh(x) / x - 1)


def crossing_db(freq, longitudinal, wave, elevation, foe):
    s110 = secant(elevation, E_HEIGHT_KM)
    return unit_db(freq, longitudinal, wave) / 2 * ((1 - ABOVE_100_KM) * secant(elevation, D_HEIGHT_KM)
                                                    + ABOVE_100_KM * s110 * bending(foe * s110 / freq))


def e_leg_db(freq, longitudinal, wave, elevation, ratio):
    """Part to be multiplied with the index, and the part of turning."""
    ratio = min(ratio, 1.0)
    turn = max(E_HEIGHT_KM - 2 * E_EDGE_KM * math.acosh(1 / ratio), E_LOWEST_TURN_KM)
    scaled = unit_db(freq, longitudinal, wave) / 2 * (1 - ABOVE_100_KM) * min(max((turn - 70) / 30, 0), 1) \
        * secant(elevation, (70 + turn) / 2)
    x = min(ratio, 0.99)
    # Group less phase path of a leg in a parabolic layer: ym/4 [(1+x^2)/x ln((1+x)/(1-x)) - 2].
    retardation = E_SEMITHICKNESS_KM / 4 * ((1 + x * x) / x * 2 * math.atanh(x) - 2)
    collisions = E_COLLISIONS_PER_S * math.exp((100 - turn) / E_COLLISIONS_FOLD_KM) / LIGHT_KM_S
    turning = 20 / math.log(10) * collisions / secant(elevation, turn) * (E_EDGE_KM + retardation / 2)
    return scaled, turning


# --- Modes ------------------------------------------------------------------------------------------------------------

def extraordinary_excess(critical, gyro, hop, longest):
    fx = gyro / 2 + math.sqrt(critical ** 2 + gyro ** 2 / 4)
    return (fx - critical) * max(0.0, 1 - hop / longest)


def half_log_normal(z, lower, upper):
    sigma = (math.log(1 / lower) if z < 0 else math.log(upper)) / DECILE_Z
    return math.exp(z * sigma)


def exceedance(value, median, lower, upper):
    decile = max(median / lower if value < median else upper / median, 1.02)
    return PHI.cdf(-math.log(value / median) / (math.log(decile) / DECILE_Z))


class Link:
    def __init__(self, case, given):
        self.case, self.given, self.freq = case, given, case["freq_mhz"]
        self.when = datetime.datetime.fromisoformat(case["time_ut"].replace("Z", "+00:00"))
        self.mid_lat, self.mid_lon, self.km = along(case, 0.5)
        self.points = [p for p in ("middle", "near", "far") if f"{p} fof2_mhz" in given]
        self.longitudinal = self.of("middle", "gyro_100km_mhz") * abs(math.sin(math.radians(self.of("middle", "dip_deg"))))
        self.samples = [index(*along(case, i / (D_SAMPLES - 1))[:2], self.when, case["r12"]) for i in range(D_SAMPLES)]
        self.aurora = self.auroral()
        places = [along(case, i / (D_SAMPLES - 1))[:2] for i in range(D_SAMPLES)]
        chis = [zenith_deg(*place, self.when) for place in places]
        self.fade_out = [fade_out_1mhz_db(chi, case["flare_w_per_m2"]) for chi in chis]
        self.polar_cap = [polar_cap_1mhz_db(chi, case["protons_per_cm2_s_sr"], given[f"sample {i} corrected_lat_deg"],
                                            case["k_index"] or 0) for i, chi in enumerate(chis)]

    def of(self, point, what):
        return self.given[f"{point} {what}"]

    def auroral(self):
        name = season(self.when.month, self.mid_lat)
        return max(auroral_db(self.of(p, "corrected_lat_deg"), self.of(p, "magnetic_local_time_h"), name, self.case["k_index"])
                   for p in self.points)

    def weakest(self, hops, strength):
        if hops == 1 or len(self.points) == 1:
            return "middle"
        return min(self.points[1:] if hops % 2 == 0 else self.points, key=strength)

    def indices(self, hops, elevation, samples=None):
        """Sum of the index (or other samples) over the legs, where each crosses 90 km, read between the samples."""
        samples = samples or self.samples
        hop = self.km / hops
        inward = min(EARTH_KM * (math.acos(EARTH_KM / (EARTH_KM + CROSSING_KM) * math.cos(elevation)) - elevation), hop / 2)
        total = 0.0
        for k in range(hops):
            for at in (k * hop + inward, (k + 1) * hop - inward):
                x = min(max(at / self.km, 0), 1) * (D_SAMPLES - 1)
                i = min(int(x), D_SAMPLES - 2)
                total += samples[i] * (1 - x + i) + samples[i + 1] * (x - i)
        return total

    def mode(self, layer, wave, hops, elevation, path, muf, support, lower_db, upper_db, fixed_db):
        f, c = self.freq, self.case
        m = {"layer": layer, "mode": f"{hops}{layer} {wave}", "hops": hops, "elevation": elevation, "muf": muf,
             "s110": secant(elevation, E_HEIGHT_KM), "fixed": fixed_db}
        deg = math.degrees(elevation)
        gains = 0.0
        for end, azimuth in (("from", bearing_deg(c["from_lat_deg"], c["from_lon_deg"], c["to_lat_deg"], c["to_lon_deg"])),
                             ("to", bearing_deg(c["to_lat_deg"], c["to_lon_deg"], c["from_lat_deg"], c["from_lon_deg"]))):
            gains += c[f"{end}_gain_dbi"] + c[f"{end}_lift_db"] * math.sin(elevation) \
                + c[f"{end}_swing_db"] * math.cos(math.radians(azimuth - c[f"{end}_azimuth_deg"]))
        lower_db *= c["absorption_factor"]
        event = f ** -EVENT_POWER * secant(elevation, D_HEIGHT_KM)
        m.update(elevation_deg=deg, path_km=path, muf_mhz=muf, support=support,
                 spreading_db=20 * math.log10(f * 1e6 * path * 1e3) + 20 * math.log10(4 * math.pi / 299792458.0),
                 absorption_db=lower_db + upper_db, lower_absorption_db=lower_db,
                 above_muf_db=self.above_muf(m, 1.0), ground_reflection_db=GROUND_REFLECTION_DB * (hops - 1),
                 auroral_db=self.aurora, fade_out_db=event * self.indices(hops, elevation, self.fade_out),
                 polar_cap_db=event * self.indices(hops, elevation, self.polar_cap), polarisation_db=POLARISATION_DB,
                 screening_db=fixed_db + self.es_db(m, self.of("middle", "foes_median_mhz")), residual_db=RESIDUAL_DB,
                 horizon_db=sum(horizon_db(deg, c[f"{e}_horizon_deg"], c[f"{e}_horizon_km"], f) for e in ("from", "to")))
        m["total_db"] = sum(m[k] for k in TERMS)
        m["gains_dbi"] = gains
        m["power_dbw"] = c["power_dbw"] + gains - m["total_db"]
        m["least"] = m["total_db"] - m["horizon_db"] - m["above_muf_db"] - m["screening_db"] + fixed_db
        return m

    def above_muf(self, m, factor):
        """Once for every hop."""
        law, power = {"F2": (above_muf_f2_db, 1), "E": (above_muf_e_db, FOE_FOLLOWS), "Es": (lambda *_: 0.0, 1)}[m["layer"]]
        return m["hops"] * law(self.freq / (m["muf"] * factor ** power), m["elevation"])

    def es_db(self, m, foes):
        ratio = self.freq / (foes * m["s110"])
        if m["layer"] == "E":
            return 0.0
        return m["hops"] * (es_reflection_db(ratio, m["elevation"]) if m["layer"] == "Es" else 2 * es_passage_db(ratio))

    def scattered(self, m, above, foes):
        if m["layer"] == "Es":
            above = beyond_edge_db(self.freq / (foes * m["s110"]), m["elevation"])
        return above > SCATTER_FROM_DB

    def mirror(self, hop):
        """Elevation and slant path by the triangle between the Earth's centre, the site and the mirror."""
        top, half = EARTH_KM + E_HEIGHT_KM, hop / 2 / EARTH_KM
        leg = math.sqrt(EARTH_KM ** 2 + top ** 2 - 2 * EARTH_KM * top * math.cos(half))
        return math.asin((top ** 2 - EARTH_KM ** 2 - leg ** 2) / (2 * EARTH_KM * leg)), 2 * leg

    def modes(self):
        found, f = [], self.freq
        fewest_e = max(1, math.ceil(self.km / LONGEST_E_HOP_KM))
        for wave in "ox":
            for hops in range(fewest_e, MOST_HOPS["E"] + 1):
                hop = self.km / hops
                elevation, slant = self.mirror(hop)
                p = self.weakest(hops, lambda q: self.of(q, "foe_mhz"))
                foe = self.of(p, "foe_mhz")
                muf = foe * self.given[f"{hops} e_muf_factor"]
                if wave == "x":
                    muf += extraordinary_excess(foe, self.of(p, "gyro_100km_mhz"), hop, LONGEST_E_HOP_KM)
                if f / muf <= E_RATIO_LIMIT:
                    scaled, turning = e_leg_db(f, self.longitudinal, wave, elevation, f / muf)
                    loss = scaled * self.indices(hops, elevation) + 2 * hops * turning
                    found.append(self.mode("E", wave, hops, elevation, hops * slant, muf,
                                           PHI.cdf(-math.log(f / muf) / E_DAY_TO_DAY), loss, 0.0, 0.0))
            for hops in range(fewest_e, MOST_HOPS["Es"] + 1):
                elevation, slant = self.mirror(self.km / hops)
                es = [self.of("middle", f"foes_{q}_mhz") for q in ("lower", "median", "upper")]
                s110 = secant(elevation, E_HEIGHT_KM)
                if f <= ES_LOOKED_AT * es[2] * s110:
                    loss = crossing_db(f, self.longitudinal, wave, elevation, 0.0) * self.indices(hops, elevation)
                    found.append(self.mode("Es", wave, hops, elevation, hops * slant, es[1] * s110,
                                           exceedance(f / s110, es[1], es[0], es[2]), loss, 0.0, 0.0))
            longest = min(max(self.given["longest_hop_km"], 1000), 4000)
            for hops in range(max(1, math.ceil(self.km / longest)), MOST_HOPS["F2"] + 1):
                m = self.f2_mode(wave, hops)
                if m:
                    found.append(m)
        best = min(m["least"] for m in found)
        return sorted((m for m in found if m["least"] <= best + WORTH_KEEPING_DB), key=lambda m: -m["power_dbw"])

    def f2_mode(self, wave, hops):
        f, hop = self.freq, self.km / hops
        p = self.weakest(hops, lambda q: self.of(q, f"{hops} muf_o_mhz"))
        ordinary = self.of(p, f"{hops} muf_o_mhz")
        if f"{p} {hops} o above" not in self.given:
            return None
        # Below the ordinary MUF both waves share the ray of the ordinary one.
        own = wave if self.of(p, f"{hops} o above") else "o"
        if f"{p} {hops} {own} above" not in self.given:
            return None
        ray = {k: self.of(p, f"{hops} {own} {k}") for k in ("elevation_deg", "group_km", "upper_db")}
        fof2, foe = self.of(p, "fof2_mhz"), self.of(p, "foe_mhz")
        muf = ordinary
        if wave == "x":
            muf += extraordinary_excess(fof2, self.of(p, "gyro_300km_mhz"), hop, self.of(p, "dmax_km"))
        elevation = math.radians(ray["elevation_deg"])
        loss = crossing_db(f, self.longitudinal, wave, elevation, min(foe, 0.9 * fof2)) * self.indices(hops, elevation)
        support = exceedance(f / muf, 1.0, self.of(p, "fof2_lower"), self.of(p, "fof2_upper"))
        fixed = 2 * hops * e_screening_db(f / (foe * secant(elevation, E_HEIGHT_KM)))
        return self.mode("F2", wave, hops, elevation, hops * ray["group_km"], muf, support, loss, hops * ray["upper_db"], fixed)

    # --- Days -----------------------------------------------------------------------------------------------------------

    def day(self, modes, fof2_factor, foes, absorption):
        """Median in dBW and both standard deviations in dB of the power on a day."""
        powers = []
        for m in modes:
            above = self.above_muf(m, fof2_factor)
            db = m["power_dbw"] + m["above_muf_db"] - above + m["screening_db"] - m["fixed"] - self.es_db(m, foes) \
                - (absorption - 1) * m["lower_absorption_db"]
            powers.append((10 ** (db / 10), self.scattered(m, above, foes)))
        total = sum(p for p, _ in powers) + self.ground() + 1e-40
        return self.spread(total, sum(p for p, scattered in powers if scattered))

    def ground(self):
        loss = self.case["ground_wave_loss_db"]
        return 0.0 if loss is None else 10 ** ((self.case["power_dbw"] - loss) / 10)

    def spread(self, total, scattered):
        growth = scattered / total * SCATTER_SD_DB
        high = abs(self.of("middle", "geomagnetic_lat_deg")) >= 60
        slow = SLOW_DECILES_HIGH_DB if high else SLOW_DECILES_DB
        share = self.ground() / total
        sds = [share * GROUND_WAVE_SD_DB + (1 - share) * math.sqrt((d / DECILE_Z) ** 2 + growth ** 2) for d in slow]
        return 10 * math.log10(total), *sds

    def every_day(self, modes):
        """Weight, median and both standard deviations over a fine grid of days, those that are much the same counted together."""
        factors, foes = ([of(PHI.inv_cdf((i + 0.5) / n)) for i in range(n)]
                         for of, n in ((self.factor, FOF2_STEPS), (self.foes, ES_STEPS)))
        by_es = []
        for es in foes:
            row = []
            for m in modes:
                db = m["power_dbw"] + m["above_muf_db"] + m["screening_db"] - m["fixed"] - self.es_db(m, es)
                row.append((10 ** (db / 10), self.scattered(m, 0.0, es), NAMES[m["layer"]]))
            by_es.append(row)
        ground, bins = self.ground() + 1e-40, {}
        for factor in factors:
            above = [self.above_muf(m, factor) for m in modes]
            share = [10 ** (-a / 10) for a in above]
            beyond = [a > SCATTER_FROM_DB for a in above]
            for row in by_es:
                total, scattered = ground, 0.0
                by = {"f2": 0.0, "e": 0.0, "sporadic_e": 0.0, "ground_wave": ground}
                for (power, weak, layer), part, lost in zip(row, share, beyond):
                    power *= part
                    total += power
                    if weak or lost:
                        scattered += power
                    else:
                        by[layer] += power
                by["scatter"] = scattered
                key = (round(10 * math.log10(total) / BIN_DB), round(scattered / total * SCATTER_SD_DB / BIN_DB),
                       max(by, key=by.get))
                sums = bins.setdefault(key, [0, 0.0, 0.0])
                sums[0] += 1
                sums[1] += total
                sums[2] += scattered
        days = FOF2_STEPS * ES_STEPS
        nodes = [(n / days, *self.spread(total / n, scattered / n)) for n, total, scattered in bins.values()]
        return nodes, [strongest for _, _, strongest in bins]

    def factor(self, z):
        return half_log_normal(z, self.of("middle", "fof2_lower"), self.of("middle", "fof2_upper"))

    def foes(self, z):
        low, median, high = (self.of("middle", f"foes_{q}_mhz") for q in ("lower", "median", "upper"))
        return median * half_log_normal(z, low / median, high / median)

    def totals(self, modes):
        c, out = self.case, {}
        fa, slope, up, down = NOISE[c["noise_class"]]
        noise = fa - slope * math.log10(self.freq) + 10 * math.log10(c["bandwidth_hz"]) + KT0_DBW
        for name, p in (("p10", 0.1), ("p40", 0.4), ("p70", 0.7), ("p90", 0.9)):
            out[f"fof2_factor_{name}"] = self.factor(PHI.inv_cdf(p))
            out[f"foes_{name}_mhz"] = self.foes(PHI.inv_cdf(p))
        for name, z, absorption in (("bad", -1.5, 1.4), ("usual", 0.0, 1.0), ("good", 1.5, 0.7)):
            state = (self.factor(z), self.foes(-z), absorption)
            out.update(zip((f"{name}_{k}" for k in ("fof2_factor", "foes_mhz", "absorption_factor")), state))
            # The state as printed is the one that is judged.
            state = [float(f"{v:.5f}") for v in state]
            median, low, high = self.day(modes, *state)
            out.update(zip((f"{name}_{k}" for k in ("median_dbw", "sd_low_db", "sd_high_db")), (median, low, high)))
            out[f"{name}_snr_p10_db"] = median - noise - math.hypot(DECILE_Z * low, up)
            out[f"{name}_snr_p90_db"] = median - noise + math.hypot(DECILE_Z * high, down)
        nodes, strongest = self.every_day(modes)
        ratio = [(w, m - noise, math.hypot(lo, up / DECILE_Z), math.hypot(hi, down / DECILE_Z)) for w, m, lo, hi in nodes]
        for name, p in (("p10", 0.1), ("p50", 0.5), ("p90", 0.9)):
            out[f"noise_{name}_dbw"] = noise + {"p10": -down, "p50": 0.0, "p90": up}[name]
            for side, q in (("low", p - ALLOWED_SHARE), ("high", p + ALLOWED_SHARE)):
                out[f"signal_{name}_{side}_dbw"] = quantile(nodes, q)
                out[f"snr_{name}_{side}_db"] = quantile(ratio, q)
        out["bandwidth_hz"], need = c["bandwidth_hz"], c["required_snr_db"]
        out["required_snr_db"] = need
        out["chance"] = above(ratio, need)
        for what in CARRIES:
            out[f"carried_{what}"] = above([node for node, by in zip(ratio, strongest) if by == what], need)
        bears = lambda s: PHI.cdf((s - noise) / (up if s > noise else down) * DECILE_Z)
        out["both_chance"] = 0.0
        steps = [(i + 0.5) / 20 - 6 for i in range(240)]
        for w, m, lo, hi in nodes:
            for z in steps:
                s = m + z * (lo if z < 0 else hi) - need
                out["both_chance"] += w * PHI.pdf(z) / 20 * bears(s) * bears(s + c["reverse_power_offset_db"])
        return out


def above(nodes, value):
    return sum(w * (1 - PHI.cdf((value - m) / (lo if value < m else hi))) for w, m, lo, hi in nodes)


def quantile(nodes, p):
    low, high = -500.0, 200.0
    while high - low > 1e-6:
        mid = (low + high) / 2
        low, high = (mid, high) if above(nodes, mid) > 1 - p else (low, mid)
    return low


NAMES = {"F2": "f2", "E": "e", "Es": "sporadic_e"}
CARRIES = [*NAMES.values(), "ground_wave", "scatter"]
TERMS = ["spreading_db", "absorption_db", "above_muf_db", "ground_reflection_db", "auroral_db", "fade_out_db", "polar_cap_db", "polarisation_db",
         "screening_db", "residual_db", "horizon_db"]
COLUMNS = ["elevation_deg", "path_km", "muf_mhz", "support", *TERMS[:2], "lower_absorption_db", *TERMS[2:], "total_db",
           "gains_dbi", "power_dbw"]
TEXT = {"case", "what", "time_ut", "noise_class"}


def read(name):
    lines = [line for line in open(HERE / name) if not line.startswith("#")]
    return list(csv.DictReader(lines))


def write(name, rows):
    with open(HERE / name, "w", newline="") as handle:
        writer = csv.writer(handle, lineterminator="\n")
        writer.writerows(rows)


def main():
    if len(sys.argv) > 1:
        given = [line.rstrip("\n").split(",")[1:] for line in open(sys.argv[1]) if line.startswith("given,")]
        write("budget_inputs.csv", [["case", "input", "value"], *given])
    inputs = {}
    for row in read("budget_inputs.csv"):
        inputs.setdefault(row["case"], {})[row["input"]] = float(row["value"])
    modes_out, totals_out = [["case", "mode", *COLUMNS]], []
    for row in read("budget_cases.csv"):
        case = {k: v if k in TEXT else (float(v) if v else None) for k, v in row.items()}
        link = Link(case, inputs[case["case"]])
        modes = link.modes()
        modes_out += [[case["case"], m["mode"], *(f"{m[k]:.5f}" for k in COLUMNS)] for m in modes]
        totals = link.totals(modes)
        totals_out = totals_out or [["case", *totals]]
        totals_out.append([case["case"], *(f"{v:.5f}" for v in totals.values())])
    write("budget_modes.csv", modes_out)
    write("budget_totals.csv", totals_out)


main()
