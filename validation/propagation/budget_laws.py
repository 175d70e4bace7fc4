"""The documented laws of the budget for make_budget.py, one by one, from the standard library alone."""

import math
from statistics import NormalDist

from budget_places import EARTH_KM, sun, zenith_deg

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
    """P.526 single knife edge, far end at infinity and the edge at its slant distance; a level horizon costs nothing."""
    if edge_deg <= 0:
        return 0.0
    slant_km = edge_km / math.cos(math.radians(edge_deg))
    half = math.radians(edge_deg - elevation_deg) / 2
    nu = 2 * math.sin(half) * math.sqrt(2 * slant_km * 1e3 * freq * 1e6 / (LIGHT_KM_S * 1e3))
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

# foF2 along a long path: where the outer control points stand, and how its departures from the median grow unlike (a judgement on Rush
# 1976, from memory).
OUTER_IN_KM = 1_000.0
LIKENESS_KM = 2_500.0
