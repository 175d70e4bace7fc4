"""Makes crates/show/show/src/map/coast-110m.bin: the coast lines of the world, small enough to embed.

usage: python3 data/build/make_coast.py LAND_110M_JSON [--check]

Input: `land-110m.json` of the npm package world-atlas 2.0.2 (TopoJSON made from Natural Earth 1:110m land, version 4.1.0).
    npm pack world-atlas@2.0.2 && tar xf world-atlas-2.0.2.tgz    -> package/land-110m.json
Natural Earth is in the public domain; the package itself is under the ISC licence. No pip package is needed.

Layout of the output, little-endian:
    for each ring: u16 number of points (n > 0), then n points as pairs of i16: longitude and latitude in units of 180/32767
    degrees. The first point is not repeated at the end.
"""

import json
import struct
import sys
from pathlib import Path

TARGET = Path(__file__).resolve().parents[2] / "crates/show/show/src/map/coast-110m.bin"
UNIT_DEG = 180.0 / 32767.0


def arcs_of(topology):
    (sx, sy), (tx, ty) = topology["transform"]["scale"], topology["transform"]["translate"]
    for arc in topology["arcs"]:
        x = y = 0
        points = []
        for dx, dy in arc:
            x, y = x + dx, y + dy
            points.append((x * sx + tx, y * sy + ty))
        yield points


def ring_of(indices, arcs):
    points = []
    for index in indices:
        piece = arcs[index] if index >= 0 else list(reversed(arcs[~index]))
        points.extend(piece if not points else piece[1:])
    return points[:-1] if points[0] == points[-1] else points


def main():
    topology = json.loads(Path(sys.argv[1]).read_text())
    arcs = list(arcs_of(topology))
    out = bytearray()
    for geometry in topology["objects"]["land"]["geometries"]:
        polygons = geometry["arcs"] if geometry["type"] == "MultiPolygon" else [geometry["arcs"]]
        for polygon in polygons:
            for ring in polygon:
                points = [(round(lon / UNIT_DEG), round(lat / UNIT_DEG)) for lon, lat in ring_of(ring, arcs)]
                out += struct.pack("<H", len(points))
                for point in points:
                    out += struct.pack("<hh", *point)
    if "--check" in sys.argv:
        sys.exit(0 if TARGET.read_bytes() == bytes(out) else "coast-110m.bin differs")
    TARGET.parent.mkdir(parents=True, exist_ok=True)
    TARGET.write_bytes(out)
    print(f"{TARGET.name}: {len(out)} bytes")


main()
