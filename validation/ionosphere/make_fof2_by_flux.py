#!/usr/bin/env python3
# pip install PyIRI==0.1.7 ppigrf==2.1.0 numpy
"""foF2 of PyIRI's CCIR maps at three levels of the 10.7 cm flux, for an index taken in two ways.

Usage: python3 validation/ionosphere/make_fof2_by_flux.py           writes fof2_by_flux.csv
       python3 validation/ionosphere/make_fof2_by_flux.py --check   compares, exit code 1 on a difference

ig12_observed    mean of the observed IG12 over the months of 1958 to 2023 whose 12-month flux is within 6 units (ig12.csv)
ig12_pyiri       what PyIRI makes of the flux by its two closed forms (flux to R12, R12 to IG12)
The maps are evaluated with the modip of ppigrf at 300 km, as PyIRI's own field has an error; all on the 15th of a month of 2025.
"""

import csv
import datetime
import importlib.util
import pathlib

import numpy as np
import ppigrf
import PyIRI.main_library as ml
from committed import write_or_check

HERE = pathlib.Path(__file__).resolve().parent
FLUXES = (80.0, 130.0, 190.0)
PLACES = [(64.0, -21.0), (55.0, 12.0), (47.0, 11.0), (40.0, -105.0), (28.0, 77.0), (10.0, -66.0), (-6.0, 107.0), (-23.0, -46.0),
          (-34.0, 18.0), (-43.5, 170.5)]
MOMENTS = [(3, 12.0), (6, 0.0), (6, 11.0), (9, 18.0), (12, 5.0), (12, 13.0)]


def points_module():
    """The evaluation of make_iono_points.py without running it."""
    text = (HERE / "make_iono_points.py").read_text(encoding="utf-8").replace("\nmain()\n", "\n")
    spec = importlib.util.spec_from_loader("make_iono_points", loader=None)
    module = importlib.util.module_from_spec(spec)
    module.__file__ = str(HERE / "make_iono_points.py")
    exec(compile(text, module.__file__, "exec"), module.__dict__)
    return module


def main():
    points = points_module()
    with (HERE / "ig12.csv").open() as handle:
        record = [(float(r["flux12_sfu"]), float(r["ig12"])) for r in csv.DictReader(handle)]
    lines = ["flux_sfu,year,month,ut_h,lat_deg,lon_deg_E,ig12_observed,ig12_pyiri,fof2_observed_index_MHz,fof2_pyiri_index_MHz"]
    for flux in FLUXES:
        observed = float(np.mean([ig for phi, ig in record if abs(phi - flux) < 6.0]))
        pyiri = float(ml.R12_2_IG12(float(ml.F107_2_R12(flux))))
        for lat, lon in PLACES:
            for month, ut in MOMENTS:
                be, bn, bu = ppigrf.igrf(lon, lat, 300.0, datetime.datetime(2025, month, 15))
                dip = np.degrees(np.arctan2(-bu, np.hypot(be, bn))).item()
                modip = float(np.degrees(np.arctan2(np.radians(dip), np.sqrt(np.cos(np.radians(lat))))))
                levels = points.month_values(month, ut, lon, lat, modip)["ccir"]
                fof2 = [float(points.between(levels, index, 0, 100)) for index in (observed, pyiri)]
                lines.append(f"{flux:.0f},2025,{month},{ut:.0f},{lat},{lon},{observed:.2f},{pyiri:.2f},{fof2[0]:.4f},{fof2[1]:.4f}")
    write_or_check(HERE / "fof2_by_flux.csv", lines)


if __name__ == "__main__":
    main()
