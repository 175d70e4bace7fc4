#!/usr/bin/env python3
"""The libraries of others beside this project's own kernels, one question a line on standard input, one answer a line.

pip install numpy==2.4.6 scipy==1.17.1 PyNEC==2.3.4 PyIRI==0.1.7 pvlib==0.16.1 pandas==3.1.1 scikit-rf==2.2.0
Started by `cargo run --release -p farhop-benches --bin speed`, which asks both sides in turn. What is not installed is said so.

Questions: `versions`; `lapack N`, `nec GROUND N TURN`, `iri`, `iri-one`, `sun N`, `lines N`. Answers: `ok SECONDS` or `no REASON`.
"""
import importlib
import importlib.metadata
import sys
import time

PACKAGES = ["numpy", "scipy", "PyNEC", "PyIRI", "pvlib", "scikit-rf"]
SYSTEMS = {}


def timed(work):
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def lapack(n):
    """One dense complex system with one right side: zgesv of LAPACK, the least that any solver of moments with n unknowns does."""
    import numpy as np
    from scipy.linalg import lapack as routines

    if n not in SYSTEMS:
        lots = np.random.default_rng(n)
        # Diagonally heavy, as matrices of moments are; the time does not depend on it.
        a = lots.standard_normal((n, n)) + 1j * lots.standard_normal((n, n)) + n * np.eye(n)
        SYSTEMS[n] = (np.asfortranarray(a), np.ones((n, 1), dtype=complex))
    a, b = SYSTEMS[n]
    copy = a.copy(order="F")
    return timed(lambda: routines.zgesv(copy, b, overwrite_a=1))


def nec(ground, segments, turn):
    """The bent dipole of crates/physics/antenna/examples/timing.rs, from cards to impedance."""
    import PyNEC

    def work():
        leg = segments // 2
        first = 2 * (leg // 2) + 1
        c = PyNEC.nec_context()
        g = c.get_geometry()
        g.wire(1, first, -20.5, 0, 6, 0, 0, 9, 0.001, 1, 1)
        g.wire(2, segments - first, 0, 0, 9, 16, 13, 6, 0.001, 1, 1)
        c.geometry_complete(0 if ground == "free" else 1)
        if ground == "free":
            c.gn_card(-1, 0, 0, 0, 0, 0, 0, 0)
        else:
            c.gn_card(2, 0, 13, 0.005, 0, 0, 0, 0)
        c.ex_card(0, 1, (first + 1) // 2, 0, 1, 0, 0, 0, 0, 0)
        c.fr_card(0, 1, 7.0 + 0.01 * turn, 0)
        c.xq_card(0)
        c.get_input_parameters(0).get_impedance()

    return timed(work)


def iri(one):
    """Layers above 17 x 36 places for 24 hours, or above one place and hour; both months that lie around the day."""
    import numpy as np
    import PyIRI
    import PyIRI.main_library as ml

    if one:
        lon, lat, hours = np.array([170.5]), np.array([-43.5]), np.array([7.0])
    else:
        lons, lats = np.arange(-180, 180, 10.0), np.arange(-80, 81, 10.0)
        lon, lat = (a.ravel() for a in np.meshgrid(lons, lats))
        hours = np.arange(24.0)
    return timed(lambda: [ml.IRI_monthly_mean_par(2020, month, hours, lon, lat, PyIRI.coeff_dir, 0) for month in (4, 5)])


def sun(n):
    """Where the sun stands at n hours above one place: NREL's algorithm (the one that is exact to 0.0003 degrees)."""
    import pandas as pd
    import pvlib

    times = pd.date_range("2026-01-01", periods=n, freq="h", tz="UTC")
    return timed(lambda: pvlib.solarposition.get_solarposition(times, -43.48, 170.9, method="nrel_numpy"))


def lines(n):
    """A load behind 8 m of thin coaxial line and 5 m of ladder line on n frequencies, as a cascade of two-ports."""
    import numpy as np
    import skrf as rf
    from skrf.media import DistributedCircuit

    def work():
        mhz = np.linspace(3.5, 14.5, n)
        frequency = rf.Frequency.from_f(mhz, unit="MHz")

        def line(z0, vf, k1, k2, length_m):
            c, db = 299_792_458.0, 20.0 / np.log(10.0)
            a1, a2 = k1 * np.sqrt(mhz) / 100 / db, k2 * mhz / 100 / db
            medium = DistributedCircuit(frequency, C=1 / (z0 * vf * c), L=z0 / (vf * c), R=2 * z0 * a1, G=2 * a2 / z0, z0_port=50.0)
            return medium.line(length_m, "m")

        load = np.full(n, (300 + 60j - 50) / (300 + 60j + 50)).reshape(-1, 1, 1)
        one_port = rf.Network(frequency=frequency, s=load, z0=50.0)
        return (line(50.0, 0.66, 3.3, 0.0, 8.0) ** line(450.0, 0.91, 0.076, 0.0022, 5.0) ** one_port).z

    return timed(work)


def versions():
    found = []
    for name in PACKAGES:
        try:
            found.append(f"{name} {importlib.metadata.version(name)}")
        except importlib.metadata.PackageNotFoundError:
            found.append(f"{name} not installed")
    return f"Python {sys.version.split()[0]}, " + ", ".join(found)


def answer(words):
    match words:
        case ["versions"]:
            return versions()
        case ["lapack", n]:
            return lapack(int(n))
        case ["nec", ground, n, turn]:
            return nec(ground, int(n), int(turn))
        case ["iri"]:
            return iri(False)
        case ["iri-one"]:
            return iri(True)
        case ["sun", n]:
            return sun(int(n))
        case ["lines", n]:
            return lines(int(n))
    raise ValueError(f"no such question: {words}")


def main():
    # Libraries talk; only answers may stand on standard output.
    out, sys.stdout = sys.stdout, sys.stderr
    for line in sys.stdin:
        try:
            said = f"ok {answer(line.split())}"
        except ModuleNotFoundError as error:
            said = f"no {error.name} is not installed"
        except Exception as error:  # noqa: BLE001: whatever a library says is the answer
            said = f"no {type(error).__name__}: {error}".replace("\n", " ")
        print(said, file=out, flush=True)


if __name__ == "__main__":
    main()
