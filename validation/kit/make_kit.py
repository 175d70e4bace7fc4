#!/usr/bin/env python3
"""Vectors for the kit crate: textbook systems by their closed forms, random kits by a visit to every state.

Needs Python 3.10 or later and nothing else. All chances are exact fractions until they are written.
Run from anywhere: python3 validation/kit/make_kit.py
"""

import csv
import itertools
import random
from fractions import Fraction as F
from pathlib import Path

HERE = Path(__file__).parent

# A kit as text: parts parted by ";", needs of one part by "&", alternatives of one need by "|"; numbers are parts from 0.
# Stand-ins: "spare>part" parted by ";". A part with failure 0 only ties others together.


def textbook():
    """(name, failure chances, needs, needs of the function, chance by closed form, cut sets)."""
    for q in (F(1, 100), F(1, 10), F(1, 2), F(9, 10)):
        p = 1 - q
        yield ("bridge", [q] * 5 + [F(0)] * 4, ";;;;;0&3;1&4;0&2&4;1&2&3", "5|6|7|8",
               2 * p**2 + 2 * p**3 - 5 * p**4 + 2 * p**5, "0 1;3 4;0 2 4;1 2 3")
        yield ("2 of 3", [q] * 3 + [F(0)] * 3, ";;;0&1;0&2;1&2", "3|4|5", 3 * p**2 - 2 * p**3, "0 1;0 2;1 2")
        ties = list(itertools.combinations(range(5), 3))
        yield ("3 of 5", [q] * 5 + [F(0)] * 10, ";" * 5 + ";".join("&".join(map(str, t)) for t in ties),
               "|".join(str(5 + i) for i in range(10)),
               10 * p**3 * q**2 + 5 * p**4 * q + p**5, ";".join(" ".join(map(str, t)) for t in ties))
        yield ("series of 4", [q] * 4, ";;;", "0&1&2&3", p**4, "0;1;2;3")
        yield ("parallel of 4", [q] * 4, ";;;", "0|1|2|3", 1 - q**4, "0 1 2 3")
        yield ("parallel behind one", [q] * 3, ";0;0", "1|2", p * (1 - q**2), "0;1 2")
    # NUREG-0492, ch. VIII, pressure tank: T, K2, S, S1, K1, R and a tie for the timer's way.
    t, k2, s, s1, k1, r = F(5, 10**6), F(3, 10**5), F(1, 10**4), F(3, 10**5), F(3, 10**5), F(1, 10**4)
    timer = (1 - s1) * (1 - k1) * (1 - r)
    yield ("pressure tank", [t, k2, s, s1, k1, r, F(0)], ";;;;;;3&4&5", "0&1&2|6",
           (1 - t) * (1 - k2) * (1 - s * (1 - timer)), "0;1;2 3;2 4;2 5")


def serves(fails, needs, stands, functions):
    def vital(whole):
        served = set()
        while True:
            def met(all_of):
                return all(any(p in served for p in any_of) for any_of in all_of)
            more = {i for i in range(len(fails)) if whole[i] and met(needs[i])}
            more |= {of for spare, of in stands if spare in served}
            if more <= served:
                return met(functions)
            served |= more
    return vital


def chance(fails, table, taken):
    total = F(0)
    for state, good in table.items():
        if good and all(taken[i] or not w for i, w in enumerate(state)):
            p = F(1)
            for i, w in enumerate(state):
                if taken[i]:
                    p *= (1 - fails[i]) if w else fails[i]
            total += p
    return total


def random_kit(rng):
    n = rng.randint(3, 9)
    fails = [F(rng.randint(1, 60), 100) for _ in range(n)]
    pick = lambda low: sorted(rng.sample(range(low, n), min(rng.randint(1, 3), n - low)))
    needs = [[pick(i + 1) for _ in range(rng.choice((0, 0, 1, 1, 2)))] if i + 1 < n else [] for i in range(n)]
    stands = sorted({tuple(rng.sample(range(n), 2)) for _ in range(rng.randint(0, 3))})
    functions = [pick(0) for _ in range(rng.randint(1, 3))]
    carried = [rng.random() < 0.6 for _ in range(n)]
    mass = [F(rng.randint(0, 9), 10) for _ in range(n)]
    return fails, needs, stands, functions, carried, mass, F(rng.randint(0, 15), 10)


def row(name, kit):
    fails, needs, stands, functions, carried, mass, limit = kit
    n = len(fails)
    vital = serves(fails, needs, stands, functions)
    table = {state: vital(state) for state in itertools.product((False, True), repeat=n)}
    inside = [i for i in range(n) if carried[i]]
    fatal = lambda cut: not table[tuple(carried[i] and i not in cut for i in range(n))]
    cuts = []
    for size in range(len(inside) + 1):
        for cut in itertools.combinations(inside, size):
            if fatal(cut) and not any(set(c) <= set(cut) for c in cuts):
                cuts.append(cut)
    def at(part, value):
        return chance([value if i == part else f for i, f in enumerate(fails)], table, carried)
    birnbaum = [at(i, F(0)) - at(i, F(1)) if carried[i] else None for i in range(n)]
    best = F(0)
    spare = [i for i in range(n) if not carried[i]]
    for size in range(len(spare) + 1):
        for added in itertools.combinations(spare, size):
            if sum(mass[i] for i in added) <= limit:
                best = max(best, chance(fails, table, [carried[i] or i in added for i in range(n)]))
    text = lambda all_of: "&".join("|".join(map(str, any_of)) for any_of in all_of)
    number = lambda x: "" if x is None else repr(float(x))
    return [name, ";".join(map(number, fails)), ";".join(map(text, needs)), ";".join(f"{a}>{b}" for a, b in stands),
            text(functions), "".join("1" if c else "0" for c in carried), ";".join(map(number, mass)), number(limit),
            number(chance(fails, table, carried)), ";".join(" ".join(map(str, c)) or "-" for c in cuts),
            ";".join(map(number, birnbaum)), number(best)]


HEAD = ["case", "fails_1", "needs", "stand_ins", "function", "carried", "mass_kg", "limit_kg", "chance_1", "cut_sets",
        "birnbaum_1", "best_chance_1"]


def main():
    with open(HERE / "textbook.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["case", "fails_1", "needs", "function", "chance_1", "cut_sets"])
        for name, fails, needs, function, value, cuts in textbook():
            out.writerow([name, ";".join(repr(float(f)) for f in fails), needs, function, repr(float(value)), cuts])
    rng = random.Random(20260)
    with open(HERE / "random_kits.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(HEAD)
        for i in range(150):
            out.writerow(row(f"r{i}", random_kit(rng)))


if __name__ == "__main__":
    main()
