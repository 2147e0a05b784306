"""Mixing: how long a recipe from twelve bottles takes, and what trying every recipe would take.

    python benchmarks/colour.py [targets] [--every]

Random wanted colours (seeded), up to four bottles, up to 24 drops: computing time of the search beside that
of reckoning every recipe of the same space, and how much better the best of all is. "Work" is computing time
of all threads, which a busy machine does not blur. With `--every` the whole space is tried (5.4 million
recipes, minutes); without it, one of every forty of them, from which the whole is reckoned up.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as in the house

import sys
from itertools import combinations, product
from math import gcd
from pathlib import Path
from time import perf_counter, process_time

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import numpy as np

from bakery.craft.colour.calibration import Swatch, calibrate
from bakery.craft.colour.layer import Bottle, absorption, inside, layer, outside
from bakery.craft.colour.matching import MOST_BOTTLES, MOST_DROPS, PER_BOTTLE, PER_DROP, match
from bakery.craft.colour.spaces import ciede2000, lab_of_hex, lab_of_xyz, to_hex
from bakery.craft.colour.spectra import WEIGHTS, spectrum_of_hex

SHADES = ("#fdfcf6", "#d23a32", "#f2c230", "#2f6fb2", "#3f8f4a", "#7a3f8c",
          "#e98aa8", "#5b341c", "#1e1e20", "#e87c2a", "#2c9c9a", "#efe5cf")  # fmt: skip
KINDS = ("white", *["dye"] * 10, "opaque")
BOTTLES = [
    Bottle(str(n), shade, shade, kind) for n, (shade, kind) in enumerate(zip(SHADES, KINDS, strict=True))
]


def every_ratio(bottles: int):
    """Blocks of whole-drop recipes, each ratio once, as (chosen bottles, drops)."""
    for size in range(1, MOST_BOTTLES + 1):
        rows = [row for row in product(range(1, MOST_DROPS + 1), repeat=size) if sum(row) <= MOST_DROPS]
        rows = np.array([row for row in rows if gcd(*row) == 1])
        for chosen in combinations(range(bottles), size):
            yield list(chosen), rows


def best_of_all(wanted, k, s, ground, step: int):
    """(least score, recipes reckoned, recipes there are)."""
    least, done, there = np.inf, 0, 0
    for at, (chosen, rows) in enumerate(every_ratio(len(k))):
        there += len(rows)
        if at % step:
            continue
        share = rows / rows.sum(axis=1, keepdims=True)
        xyz = outside(layer(share @ k[chosen], (share @ s[chosen])[:, None], ground)) @ WEIGHTS
        score = ciede2000(lab_of_xyz(xyz), wanted) + PER_BOTTLE * len(chosen) + PER_DROP * rows.sum(axis=1)
        least, done = min(least, float(score.min())), done + len(rows)
    return least, done, there


def main(count: int, step: int) -> None:
    rng = np.random.default_rng(7)
    targets = [to_hex(rng.random(3)) for _ in range(count)]
    match("#808080", BOTTLES)  # tables are made once
    work, wall, found = [], [], []
    for shade in targets:
        began, clock = process_time(), perf_counter()
        found.append(match(shade, BOTTLES))
        work.append(process_time() - began)
        wall.append(perf_counter() - clock)
    ms = [1000 * figure for figure in (np.mean(work), np.quantile(work, 0.95), np.quantile(wall, 0.95))]
    print(f"{count} recipes from {len(BOTTLES)} bottles: "
          f"work mean {ms[0]:.0f} ms, p95 {ms[1]:.0f} ms; clock p95 {ms[2]:.0f} ms")  # fmt: skip
    best = [one.best.difference for one in found]
    print(f"difference reached: median {np.median(best):.1f}, p95 {np.quantile(best, 0.95):.1f}; "
          f"out of reach {sum(not one.in_reach for one in found)} of {count}")  # fmt: skip
    known = [absorption(bottle) for bottle in BOTTLES]
    k, s = np.array([k for k, _ in known]), np.array([s for _, s in known])
    ground = inside(spectrum_of_hex("#f4f1e8"))
    gaps, took, there = [], 0.0, 0
    for shade, mine in list(zip(targets, found, strict=True))[: 3 if step == 1 else 1]:
        began = process_time()
        least, done, there = best_of_all(lab_of_hex(shade), k, s, ground, step)
        took += (process_time() - began) * there / done
        gaps.append(mine.best.score - least)
    better = f"; the best of all is better by {max(gaps):.3f} at most" if step == 1 else ""
    print(f"every one of {there:,} recipes: work about {took / len(gaps):.1f} s a colour{better}")
    began = process_time()
    sprayed = [Swatch({str(a): 1, "0": 3}, SHADES[a]) for a in range(1, 11)]
    calibrate(BOTTLES, sprayed * 3)
    print(f"fitting 12 bottles to {3 * len(sprayed)} swatches: work {1000 * (process_time() - began):.0f} ms")


if __name__ == "__main__":
    given = [one for one in sys.argv[1:] if one.isdigit()]
    main(int(given[0]) if given else 50, 1 if "--every" in sys.argv else 40)
