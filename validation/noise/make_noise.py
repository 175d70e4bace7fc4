"""Make the vectors for the noise module by routes other than the code's.

    pip install numpy==2.4.6 scipy==1.17.1
    python validation/noise/make_noise.py

external.csv: the straight lines of P.372 worked with common logarithms, as one does by hand with a table.
sum.csv: mean and variance of power of each log-normal part from scipy.stats.lognorm (not from the closed form that the
code uses), added, and turned back into the log-normal of that mean and variance by numerical solution.
"""

import csv
import pathlib

from scipy.optimize import brentq
from scipy.stats import lognorm
import numpy as np

HERE = pathlib.Path(__file__).resolve().parent
# Common logarithms to five places.
LOG = {1.8: 0.25527, 3.0: 0.47712, 3.6: 0.55630, 5.35: 0.72835, 7.1: 0.85126, 10.0: 1.0, 14.1: 1.14922, 21.0: 1.32222, 30.0: 1.47712}
LINES = {"city": (76.8, 27.7), "residential": (72.5, 27.7), "rural": (67.2, 27.7), "quiet rural": (53.6, 28.6),
         "galactic": (52.0, 23.0)}
DECILES = {"city": (11.0, 6.7), "residential": (10.6, 5.3), "rural": (9.2, 4.6), "quiet rural": (9.2, 4.6), "galactic": (2.0, 2.0)}


def write(name, header, rows):
    with open(HERE / name, "w", newline="") as handle:
        writer = csv.writer(handle, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)


write("external.csv", ["kind", "freq_mhz", "fa_median_db", "upper_decile_db", "lower_decile_db", "working"],
      [[kind, f, f"{c - d * log:.3f}", *DECILES[kind], f"{c} - {d} x {log}"]
       for kind, (c, d) in LINES.items() for f, log in LOG.items()])


def moments(level_db, decile_db, unit):
    sigma = decile_db / 1.282 * unit
    if sigma == 0.0:
        return np.exp(level_db * unit), 0.0
    return lognorm.stats(sigma, scale=np.exp(level_db * unit), moments="mv")


def total(levels, deciles):
    unit = np.log(10) / 10
    mean, variance = (sum(part) for part in zip(*(moments(a, d, unit) for a, d in zip(levels, deciles))))
    if variance == 0:
        return np.log(mean) / unit, 0.0
    # Find the sigma whose log-normal has this ratio of variance to squared mean.
    ratio = float(variance / mean**2)
    sigma = brentq(lambda s: np.log(lognorm.stats(s, scale=1.0, moments="v") / lognorm.mean(s) ** 2 / ratio), 1e-6, 6)
    median = mean / lognorm.mean(sigma)
    return np.log(median) / unit, 1.282 * sigma / unit


CASES = [  # levels dB, upper deciles dB, lower deciles dB of up to four parts
    ([43.62, 30.0], [9.2, 10.26], [4.6, 10.26]),
    ([43.62, 43.62], [9.2, 9.2], [4.6, 4.6]),
    ([60.0, 20.0, 10.0], [11.0, 10.26, 0.0], [6.7, 10.26, 0.0]),
    ([29.27, 32.42, 35.0, 22.99], [9.2, 2.0, 10.26, 0.0], [4.6, 2.0, 10.26, 0.0]),
    ([25.0, 29.0, 12.0], [9.2, 2.0, 0.0], [4.6, 2.0, 0.0]),
    ([48.92, 62.0, 10.0], [10.6, 10.26, 0.0], [5.3, 10.26, 0.0]),
    ([40.0], [6.0], [6.0]),
    ([20.0, 20.0], [0.0, 0.0], [0.0, 0.0]),
    ([10.0, 30.0, 10.0, 28.0], [11.0, 11.0, 2.0, 6.0], [6.7, 5.3, 2.0, 4.0]),
    ([-20.0, 0.0, -3.0], [9.2, 10.26, 2.0], [4.6, 10.26, 2.0]),
]
rows = []
for levels, uppers, lowers in CASES:
    median, upper = total(levels, uppers)
    _, lower = total(levels, lowers)
    rows.append([" ".join(map(str, levels)), " ".join(map(str, uppers)), " ".join(map(str, lowers)),
                 f"{median:.4f}", f"{upper:.4f}", f"{lower:.4f}"])
write("sum.csv", ["fa_median_db_parts", "upper_decile_db_parts", "lower_decile_db_parts", "fa_median_db", "upper_decile_db",
                  "lower_decile_db"], rows)
