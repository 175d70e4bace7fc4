#!/usr/bin/env python3
# pip install PyIRI==0.1.7 numpy
"""Convert the ionospheric map coefficients that PyIRI ships to one compact binary.

Usage: python3 data/build/make_iono_maps.py            writes data/iono_maps.bin and prints its SHA-256
       python3 data/build/make_iono_maps.py --check    compares with the file that is there, exit code 1 if it differs

Layout, little endian. 16 bytes of header: the letters FHIO, then u32 version (1), u32 months (12), u32 sets (12).
Then 12 months, January first. Each month holds 12 sets in this order:
  0, 1    foF2, CCIR, MHz, R12 = 0 and 100
  2, 3    foF2, URSI-88, MHz, R12 = 0 and 100
  4, 5    M(3000)F2, CCIR, no unit, R12 = 0 and 100
  6, 7    foEs upper decile, MHz, R12 = 10 and 180
  8, 9    foEs median, MHz, R12 = 10 and 180
  10, 11  foEs lower decile, MHz, R12 = 10 and 180
A set is u32 harmonics H, 9 times u32 (the last function number K0 ... K8 of each longitude order; orders that are not
used repeat the last one), then (2H + 1) * (K8 + 1) times f32, diurnal index fastest.
"""

import hashlib
import pathlib
import struct
import sys

import numpy as np
import PyIRI

COEFFICIENTS = pathlib.Path(PyIRI.__file__).parent / "coefficients"
OUT = pathlib.Path(__file__).resolve().parents[1] / "iono_maps.bin"
FOF2_H, FOF2_K = 6, [11, 35, 53, 63, 67, 69, 71, 73, 75]
M3000_H, M3000_K = 4, [6, 22, 34, 40, 44, 46, 48, 48, 48]


def fixed_width(path):
    """Numbers of a Fortran file written as (1X,4E15.8): fields may touch, so split by column."""
    numbers = []
    for line in path.read_text().splitlines():
        body = line[1:]
        numbers += [float(body[i : i + 15]) for i in range(0, len(body), 15) if body[i : i + 15].strip()]
    return np.array(numbers)


def pack(harmonics, last, values):
    size = (2 * harmonics + 1) * (last[8] + 1)
    assert len(values) == size, (len(values), size)
    return struct.pack("<10I", harmonics, *last) + np.asarray(values, dtype="<f4").tobytes()


def es_sets(path):
    """The six sporadic-E sets: the header in the file says how many functions and harmonics each one has."""
    numbers = np.array(path.read_text().split(), dtype=float)
    header = numbers[:60].astype(int).reshape(10, 6).T
    # What follows the six sets in the file is not described anywhere and not used.
    table = numbers[60 : 60 + 17 * 76 * 6].reshape((17, 76, 6), order="F")
    for index in range(6):
        last, harmonics = [int(k) for k in header[index, :9]], int(header[index, 9])
        used = table[: 2 * harmonics + 1, : last[8] + 1, index]
        assert np.count_nonzero(table[:, :, index]) == np.count_nonzero(used)
        yield pack(harmonics, last, used.ravel(order="F"))


def month(number):
    name = str(number + 10)
    ccir = fixed_width(COEFFICIENTS / "CCIR" / f"ccir{name}.asc")
    ursi = fixed_width(COEFFICIENTS / "URSI" / f"ursi{name}.asc")
    assert len(ccir) >= 2858 and len(ursi) == 1976, (len(ccir), len(ursi))
    yield pack(FOF2_H, FOF2_K, ccir[:988])
    yield pack(FOF2_H, FOF2_K, ccir[988:1976])
    yield pack(FOF2_H, FOF2_K, ursi[:988])
    yield pack(FOF2_H, FOF2_K, ursi[988:])
    yield pack(M3000_H, M3000_K, ccir[1976:2417])
    yield pack(M3000_H, M3000_K, ccir[2417:2858])
    yield from es_sets(COEFFICIENTS / "Es" / f"Es{name}.asc")


def main():
    data = b"FHIO" + struct.pack("<3I", 1, 12, 12) + b"".join(part for m in range(1, 13) for part in month(m))
    print(hashlib.sha256(data).hexdigest(), len(data), "bytes")
    if "--check" in sys.argv:
        sys.exit(0 if OUT.read_bytes() == data else 1)
    OUT.write_bytes(data)


main()
