"""Make the vectors for the energy crate from general-purpose libraries.

    pip install pvlib==0.16.1 numpy==2.4.6 pandas==3.1.1 scipy==1.17.1
    python validation/energy/make_energy.py

Writes clear_sky.csv, plane.csv, panel.csv and discharge.csv beside this script. Deterministic: fixed seed.
"""

import csv
import pathlib
import random

import numpy as np
import pandas as pd
import pvlib
from scipy.integrate import solve_ivp

HERE = pathlib.Path(__file__).resolve().parent
rng = random.Random(20261125)


def write(name, header, rows):
    with open(HERE / name, "w", newline="") as handle:
        writer = csv.writer(handle, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)


def moments():
    """Places, heights and times with the sun up; whole seconds."""
    days = ["2026-01-10", "2026-03-21", "2026-06-21", "2026-09-02", "2026-12-21"]
    out = []
    while len(out) < 160:
        lat = round(np.degrees(np.arcsin(rng.uniform(-0.95, 0.95))), 4)
        lon = round(rng.uniform(-180, 180), 4)
        height = rng.choice([0, 150, 600, 1200, 2400, 3800])
        linke = round(rng.uniform(1.8, 6.0), 2)
        time = pd.Timestamp(rng.choice(days), tz="UTC") + pd.Timedelta(seconds=rng.randrange(86400))
        sun = pvlib.solarposition.spa_python(pd.DatetimeIndex([time]), lat, lon, pressure=101000, temperature=10)
        zenith = float(sun.apparent_zenith.iloc[0])
        if zenith < 88.0:
            out.append((lat, lon, height, linke, time, zenith, float(sun.azimuth.iloc[0])))
    return out


def erbs(ghi, zenith, outside, day):
    parts = pvlib.irradiance.erbs(ghi, zenith, day)
    return float(parts["dni"]), float(parts["dhi"])


def clear_sky_and_plane():
    skies, planes = [], []
    for lat, lon, height, linke, time, zenith, azimuth in moments():
        day = time.day_of_year
        outside = float(pvlib.irradiance.get_extra_radiation(day))
        relative = pvlib.atmosphere.get_relative_airmass(zenith)
        absolute = pvlib.atmosphere.get_absolute_airmass(relative, pvlib.atmosphere.alt2pres(height))
        sky = pvlib.clearsky.ineichen(zenith, absolute, linke, altitude=height, dni_extra=outside)
        haurwitz = float(pvlib.clearsky.haurwitz(pd.Series([zenith])).ghi.iloc[0])
        ghi, dni, dhi = (float(sky[k]) for k in ("ghi", "dni", "dhi"))
        split_dni, split_dhi = erbs(haurwitz, zenith, outside, day)
        when = time.strftime("%Y-%m-%dT%H:%M:%SZ")
        head = [lat, lon, when, f"{zenith:.6f}", f"{azimuth:.6f}", day, height, linke]
        skies.append(head + [f"{v:.6f}" for v in (outside, absolute, ghi, dni, dhi, haurwitz, split_dni, split_dhi)])
        tilt, facing, albedo = rng.choice([0, 10, 30, 45, 60, 90]), rng.randrange(360), rng.choice([0.1, 0.2, 0.6])
        row = head + [tilt, facing, albedo]
        for model in ("isotropic", "haydavies"):
            total = pvlib.irradiance.get_total_irradiance(
                tilt, facing, zenith, azimuth, dni, ghi, dhi, dni_extra=outside, albedo=albedo, model=model)
            row.append(f"{float(total['poa_global']):.6f}")
        planes.append(row)
    head = ["lat_deg", "lon_deg", "time_utc", "apparent_zenith_deg", "azimuth_deg", "day_of_year", "altitude_m", "linke"]
    write("clear_sky.csv", head + ["extraterrestrial_w_m2", "airmass_absolute", "ineichen_ghi_w_m2", "ineichen_dni_w_m2",
          "ineichen_dhi_w_m2", "haurwitz_ghi_w_m2", "haurwitz_erbs_dni_w_m2", "haurwitz_erbs_dhi_w_m2"], skies)
    write("plane.csv", head + ["tilt_deg", "facing_deg", "albedo", "isotropic_w_m2", "hay_davies_w_m2"], planes)


def panel():
    rows = []
    for _ in range(60):
        irradiance, air = round(rng.uniform(5, 1100), 2), round(rng.uniform(-25, 40), 2)
        noct, gamma, rated = round(rng.uniform(40, 55), 1), round(-rng.uniform(0.0025, 0.005), 5), rng.choice([7, 14, 28, 60])
        cell = float(pvlib.temperature.ross(irradiance, air, noct=noct))
        power = float(pvlib.pvsystem.pvwatts_dc(irradiance, cell, rated, gamma))
        rows.append([irradiance, air, noct, gamma, rated, f"{cell:.6f}", f"{power:.6f}"])
    write("panel.csv", ["plane_w_m2", "air_c", "noct_c", "temp_coefficient_per_k", "watt_peak_w", "cell_c", "power_w"], rows)


def discharge():
    """Constant power on a linear source with resistance: the differential equation, integrated numerically."""
    rows = []
    for _ in range(40):
        start, fall = rng.uniform(8, 30), rng.uniform(0.2, 4.0)
        resistance = rng.uniform(0.0, 0.6)
        end = start * rng.uniform(0.6, 0.95)
        power = rng.uniform(0.05, 0.9) * end * end / (4 * max(resistance, 0.3))

        def flow(_, emf):
            return [-fall * 2 * power / (e + np.sqrt(e * e - 4 * resistance * power)) for e in emf]

        def reached(_, emf):
            return emf[0] - end

        reached.terminal = True
        answer = solve_ivp(flow, (0, 1e4), [start], events=reached, rtol=1e-11, atol=1e-11, method="DOP853")
        rows.append([repr(start), repr(fall), repr(resistance), repr(power), repr(end), f"{answer.t_events[0][0]:.9f}"])
    write("discharge.csv", ["start_v", "fall_v_per_ah", "resistance_ohm", "power_w", "end_emf_v", "time_h"], rows)


clear_sky_and_plane()
panel()
discharge()
