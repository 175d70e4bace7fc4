"""Scores many shared tables of tries (`farhop debrief --export`): how good were the chances?

usage: python score.py TABLE.csv [TABLE.csv ...]
       python score.py --check     # scores a made-up table whose scores are worked by hand

Brier score (G. W. Brier, Monthly Weather Review 78, 1950), logarithmic score (I. J. Good, J. R. Stat. Soc. B 14, 1952), and calls by
chance with the 95 % interval of their share (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927). Only Python itself is needed.
"""

import csv
import math
import sys

BOUNDS = [0.0, 0.10, 0.33, 0.66, 0.90, 1.000001]
Z = 1.959964


def wilson(hits, count):
    share = hits / count
    middle = (share + Z * Z / (2 * count)) / (1 + Z * Z / count)
    half = Z * math.sqrt(share * (1 - share) / count + Z * Z / (4 * count * count)) / (1 + Z * Z / count)
    return max(0.0, middle - half), min(1.0, middle + half)


def score(tries):
    """`tries`: pairs of chance and outcome (0 or 1). Brier, Brier of who always says the mean, mean logarithm, bins."""
    count = len(tries)
    mean = sum(linked for _, linked in tries) / count
    brier = sum((p - linked) ** 2 for p, linked in tries) / count
    sure = [(min(max(p, 0.01), 0.99), linked) for p, linked in tries]
    log = sum(math.log(p if linked else 1 - p) for p, linked in sure) / count
    bins = []
    for low, high in zip(BOUNDS, BOUNDS[1:]):
        inside = [(p, linked) for p, linked in tries if low <= p < high]
        if inside:
            hits = sum(linked for _, linked in inside)
            said = sum(p for p, _ in inside) / len(inside)
            bins.append((low, min(high, 1.0), len(inside), said, hits / len(inside), wilson(hits, len(inside))))
    return brier, mean * (1 - mean), log, bins


def read(files):
    tries = []
    for name in files:
        with open(name, newline="", encoding="utf-8") as table:
            tries += [(float(row["forecast_chance"]), int(row["linked"])) for row in csv.DictReader(table)]
    return tries


def check():
    # By hand: (0.5-1)^2 + (0.5-0)^2 + (0.9-1)^2 + (0.1-0)^2 = 0.52 over 4.
    brier, of_mean, log, bins = score([(0.5, 1), (0.5, 0), (0.9, 1), (0.1, 0)])
    assert abs(brier - 0.13) < 1e-12 and abs(of_mean - 0.25) < 1e-12
    assert abs(log - (2 * math.log(0.5) + 2 * math.log(0.9)) / 4) < 1e-12
    assert [b[2] for b in bins] == [1, 2, 1]
    # Wilson's interval for 5 of 10, as statistics textbooks print it: 0.237 to 0.763.
    low, high = wilson(5, 10)
    assert abs(low - 0.2366) < 5e-4 and abs(high - 0.7634) < 5e-4
    print("the scores are right")


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    if sys.argv[1] == "--check":
        check()
        sys.exit(0)
    tries = read(sys.argv[1:])
    if not tries:
        sys.exit("no tries in these tables")
    brier, of_mean, log, bins = score(tries)
    print(f"{len(tries)} tries, {sum(l for _, l in tries)} linked")
    print(f"Brier {brier:.3f} (who always says the mean: {of_mean:.3f}), mean logarithm {log:.3f}")
    for low, high, count, said, came, (least, most) in bins:
        print(f"{low:4.0%} to {high:4.0%}: {count:5d} tries, said {said:4.0%}, came {came:4.0%} ({least:.0%} to {most:.0%})")
