#!/usr/bin/env python3
"""Times PyNEC and this project's engine on the same bent dipole, in one run on the same machine.

pip install PyNEC==2.3.4 numpy
Run from anywhere: python validation/antenna/time_pynec.py
Builds and runs the example `timing` of the antenna crate in release mode. The two take turns; the least of all rounds counts.
"""
import os
import subprocess
import sys
import time

import PyNEC

ROOT = os.path.abspath(os.path.join(os.path.dirname(__file__), "..", ".."))
ROUNDS = 3


def nec(segments, ground, freq):
    leg = segments // 2
    first = 2 * (leg // 2) + 1
    second = segments - first
    c = PyNEC.nec_context()
    g = c.get_geometry()
    g.wire(1, first, -20.5, 0, 6, 0, 0, 9, 0.001, 1, 1)
    g.wire(2, second, 0, 0, 9, 16, 13, 6, 0.001, 1, 1)
    c.geometry_complete(0 if ground == "free" else 1)
    if ground == "free":
        c.gn_card(-1, 0, 0, 0, 0, 0, 0, 0)
    elif ground == "perfect":
        c.gn_card(1, 0, 0, 0, 0, 0, 0, 0)
    else:
        c.gn_card(2, 0, 13, 0.005, 0, 0, 0, 0)
    c.ex_card(0, 1, (first + 1) // 2, 0, 1, 0, 0, 0, 0, 0)
    c.fr_card(0, 1, freq, 0)
    c.xq_card(0)
    return c.get_input_parameters(0).get_impedance()


def main():
    command = ["cargo", "run", "-q", "--release", "-p", "farhop-antenna", "--example", "timing"]
    subprocess.run(["cargo", "build", "-q", "--release", "-p", "farhop-antenna", "--example", "timing"], cwd=ROOT, check=True)
    ours, theirs = {}, {}
    for _ in range(ROUNDS):
        out = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout
        for line in out.split():
            ground, n, seconds = line.split(",")
            key = (ground, int(n))
            ours[key] = min(float(seconds), ours.get(key, 9e9))
        for ground, n in ours:
            for i in range(2 if n > 400 else 5):
                start = time.perf_counter()
                nec(n, ground, 7.0 + 0.01 * i)
                took = time.perf_counter() - start
                theirs[ground, n] = min(took, theirs.get((ground, n), 9e9))
    print("ground,segments,pynec_s,engine_s,times_faster")
    for key in ours:
        print(f"{key[0]},{key[1]},{theirs[key]:.4f},{ours[key]:.4f},{theirs[key] / ours[key]:.1f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
