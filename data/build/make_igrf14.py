"""Convert the public IGRF-14 coefficient file into the compact binary that the earth crate embeds.

    pip install ppigrf==2.1.0
    python data/build/make_igrf14.py

Output: crates/physics/earth/data/igrf14.bin, little-endian:
    i32 number of epochs, i32 highest degree, then for each epoch an i32 year, then for each epoch the
    coefficients in hundredths of a nanotesla (i32): for n = 1..13: g(n,0), then for m = 1..n: g(n,m), h(n,m).
Hundredths keep every published digit, so the conversion loses nothing; the script checks that.
"""

import hashlib
import pathlib
import struct

import ppigrf.ppigrf as source

ROOT = pathlib.Path(__file__).resolve().parents[2]
SHC = pathlib.Path(source.shc_fn_igrf14)
OUT = ROOT / "crates/physics/earth/data/igrf14.bin"

lines = [line.split() for line in SHC.read_text().splitlines() if line.strip() and not line.startswith("#")]
n_min, n_max, n_epochs = map(int, lines[0][:3])
assert (n_min, n_max, n_epochs) == (1, 13, 27), lines[0]
years = [int(float(year)) for year in lines[1]]
rows = {(int(row[0]), int(row[1])): [float(value) for value in row[2:]] for row in lines[2:]}
assert len(rows) == n_max * (n_max + 2)

order = []
for n in range(1, n_max + 1):
    order.append((n, 0))
    for m in range(1, n + 1):
        order += [(n, m), (n, -m)]

blob = struct.pack("<2i", n_epochs, n_max) + struct.pack(f"<{n_epochs}i", *years)
for epoch in range(n_epochs):
    for key in order:
        value = rows[key][epoch]
        hundredths = round(value * 100)
        assert abs(hundredths / 100 - value) < 1e-9, (key, epoch, value)
        blob += struct.pack("<i", hundredths)

OUT.write_bytes(blob)
print("source", SHC.name, hashlib.sha256(SHC.read_bytes()).hexdigest())
print("output", OUT.relative_to(ROOT), len(blob), hashlib.sha256(blob).hexdigest())
