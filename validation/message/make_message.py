"""Make the vectors for the message crate by routes other than the code's.

    pip install numpy==2.4.6 scipy==1.17.1
    python validation/message/make_message.py

bit_errors.csv: uncoded binary bit error rates, from the distributions of the two decision energies by numerical integration (not from the
closed forms that the code quotes); fading rates are those averaged over an exponential energy by quadrature.
cycles.csv: chance that a message of so many frames is through after so many cycles of constant success, from scipy.stats.nbinom.
taps.csv: autocorrelation of a fading tap as the cosine transform of its Gaussian Doppler spectrum by quadrature; sigma is half of the spread.
"""

import csv
import pathlib

import numpy as np
from scipy.integrate import quad
from scipy.stats import chi2, nbinom, ncx2, norm

HERE = pathlib.Path(__file__).resolve().parent


def write(name, header, rows):
    with open(HERE / name, "w", newline="") as handle:
        writer = csv.writer(handle, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)


def wrong_is_louder(noncentrality):
    """Chance that a central chi-square of two degrees exceeds a non-central one."""
    return quad(lambda x: ncx2.pdf(x, 2, noncentrality) * chi2.sf(x, 2), 0, np.inf, limit=400)[0]


def bit_error(modulation, energy):
    # FSK: the energy of the tone sent against that of the other. DPSK: half the sum of two symbols against half their
    # difference, each with half the noise: twice the energy.
    factor = {"fsk": 2.0, "dpsk": 4.0}[modulation]
    return wrong_is_louder(factor * energy)


def faded(modulation, mean):
    # Substitution u = exp(-g/mean) makes the average one over (0, 1).
    return quad(lambda u: bit_error(modulation, -mean * np.log(u)), 1e-12, 1, limit=200, epsabs=1e-9)[0]


def bit_error_rows():
    for modulation in ("fsk", "dpsk"):
        for energy_db in (0, 2, 4, 6, 8):
            yield modulation, "awgn", energy_db, f"{bit_error(modulation, 10 ** (energy_db / 10)):.8e}"
        for energy_db in (0, 5, 10, 15, 20):
            yield modulation, "rayleigh", energy_db, f"{faded(modulation, 10 ** (energy_db / 10)):.8e}"


def cycle_rows():
    for frames in (1, 3, 10, 24):
        for success in (0.35, 0.6, 0.9, 0.99):
            # Cycles at which the code's clock has a time: single cycles to 16, then every second to 48.
            mean = frames / success
            for cycles in sorted({frames, int(mean), int(1.2 * mean) + 1, int(1.5 * mean) + 2}):
                cycles = cycles if cycles <= 16 else min(cycles + cycles % 2, 48)
                if cycles >= frames:
                    yield frames, success, cycles, f"{nbinom.cdf(cycles - frames, frames, success):.10f}"


def tap_rows():
    for name, spread in (("quiet", 0.1), ("moderate", 0.5), ("disturbed", 1.0), ("near-vertical", 1.0)):
        for share in (0.05, 0.1, 0.2, 0.3, 0.4):
            sigma = spread / 2
            lag = share / sigma
            value = quad(lambda f: norm.pdf(f, 0, sigma) * np.cos(2 * np.pi * f * lag), -8 * sigma, 8 * sigma, limit=400)[0]
            yield name, spread, f"{lag:.6f}", f"{value:.8f}"


write("bit_errors.csv", ["modulation", "channel", "energy_db", "bit_error_rate"], bit_error_rows())
write("cycles.csv", ["frames", "success", "cycles", "chance"], dict.fromkeys(cycle_rows()))
write("taps.csv", ["channel", "doppler_spread_hz", "lag_s", "autocorrelation"], tap_rows())
