#!/usr/bin/env python3
"""How long the program takes, as a user waits for it: start to first line of `sky`, and the whole demo plan.

    cargo build --release -p farhop
    python3 crates/dev/benches/start.py [path to the program]

Bars: first line of `sky` below 30 ms, demo plan below 150 ms on one core. Needs Python 3.9 and nothing else.
Each figure is the time on the clock over many runs: least, median, most. `new antennas` has no kept solutions.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time

SKY = ["sky", "--place", "-43.48,170.9", "--at", "2026-12-12T00:00:00Z"]


def first_line_ms(args, env):
    start = time.perf_counter()
    with subprocess.Popen(args, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env=env) as child:
        if not child.stdout.readline():
            raise SystemExit(f"{args} wrote nothing")
        took = time.perf_counter() - start
        child.stdout.read()
    return took * 1e3


def whole_ms(args, env):
    start = time.perf_counter()
    subprocess.run(args, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=env, check=True)
    return (time.perf_counter() - start) * 1e3


def report(what, measure, runs, bar_ms):
    times = sorted(measure() for _ in range(runs))
    median = statistics.median(times)
    bar = "" if bar_ms is None else f"   bar {bar_ms} ms: {'met' if median < bar_ms else 'NOT MET'}"
    print(f"{what:44} {times[0]:8.1f} {median:8.1f} {times[-1]:8.1f} ms{bar}")


def main():
    program = sys.argv[1] if len(sys.argv) > 1 else "target/release/farhop"
    with tempfile.TemporaryDirectory() as cache:
        one_core = os.environ | {"RAYON_NUM_THREADS": "1", "XDG_CACHE_HOME": cache}
        one_core.pop("FARHOP_NO_CACHE", None)
        no_cache = one_core | {"FARHOP_NO_CACHE": "1"}
        print(f"{'':44} {'least':>8} {'median':>8} {'most':>8}")
        report("nothing but the start (--version)", lambda: whole_ms([program, "--version"], one_core), 40, None)
        report("sky, first line", lambda: first_line_ms([program, *SKY], one_core), 40, 30)
        report("demo plan, one core, new antennas", lambda: whole_ms([program, "plan"], no_cache), 5, None)
        whole_ms([program, "plan"], one_core)
        report("demo plan, one core, antennas kept", lambda: whole_ms([program, "plan"], one_core), 20, 150)


main()
