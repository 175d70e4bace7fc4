"""Work the signal budget of the circuits in budget_cases.csv from the documented laws, with arithmetic of its own.

    python validation/propagation/make_budget.py [OUTPUT OF THE TEST budget]

Only the standard library. Given are the layers above the control points and the rays through them (budget_inputs.csv), which other
tests judge: tables of the maps and a ray trace. With an argument, lines that begin with "given," in that file replace
budget_inputs.csv first. Everything else is worked here: geodesic and bearings (Vincenty 1975), sun (low-precision formulas of
the Astronomical Almanac), E geometry by the law of cosines, every loss, antennas, horizons, mixture, noise and ratio.

The laws, and where each is from, stand in docs/methods/sky-path.md, absorption.md, signal.md and noise.md. A law that changes there
changes in budget_laws.py, where the numbers are.
"""

import csv
import datetime
import math
import pathlib
import sys

from budget_laws import *  # every law by its name
from budget_places import EARTH_KM, along, bearing_deg, zenith_deg

HERE = pathlib.Path(__file__).resolve().parent

# The mixture by brute force: equally likely steps of foF2 and of foEs. The program has some 100 kinds of days instead.
FOF2_STEPS, ES_STEPS = 2_000, 400
BIN_DB = 0.02                         # days this near to each other are counted together
ALLOWED_SHARE = 0.01                  # how far the program's shares of days may be off: see budget_totals.toml

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

    def unlike(self, hops):
        """MUF of the weaker of the two weakest points on the typical day over the weakest one's: the mean of the lesser of two normal
        quantities, as half their sum less half the mean size of their difference, that by steps of equal likelihood."""
        if hops == 1 or len(self.points) == 1:
            return 1.0
        used = self.points[1:] if hops % 2 == 0 else self.points
        weak, following = sorted(used, key=lambda q: self.of(q, f"{hops} muf_o_mhz"))[:2]
        ahead = math.log(self.of(following, f"{hops} muf_o_mhz") / self.of(weak, f"{hops} muf_o_mhz"))
        sigma = math.log(self.of(weak, "fof2_upper") / self.of(weak, "fof2_lower")) / (2 * DECILE_Z)
        inward = min(self.km / 4, OUTER_IN_KM)
        places = {"middle": self.km / 2, "near": inward, "far": self.km - inward}
        apart = abs(places[weak] - places[following])
        spread = sigma * math.sqrt(2 * (1 - math.exp(-apart / LIKENESS_KM)))
        steps = 20_000
        sizes = [abs(ahead + spread * PHI.inv_cdf((i + 0.5) / steps)) for i in range(steps)]
        return math.exp((ahead - sum(sizes) / steps) / 2)

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
        muf *= self.unlike(hops)
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
        for name, z, absorption in (("bad", -1.9, 1.4), ("usual", 0.0, 1.0), ("good", 1.5, 0.7)):
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
