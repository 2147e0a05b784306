"""The best recipe against all recipes of the same space."""

from itertools import product

import numpy as np
import pytest

from bakery.craft.colour.layer import ICING, Bottle, lab_of_mix
from bakery.craft.colour.matching import PER_BOTTLE, PER_DROP, match
from bakery.craft.colour.spaces import ciede2000, lab_of_hex

SHELF = [
    Bottle(name, name, shade, kind)
    for name, shade, kind in (
        ("white", "#fbfaf5", "white"), ("yellow", "#f4d03f", "dye"), ("red", "#c0392b", "dye"),
        ("blue", "#2050a0", "dye"), ("black", "#1c1c1c", "dye"), ("green", "#2e7d4f", "dye"),
        ("orange", "#e67e22", "dye"), ("violet", "#8e44ad", "dye"), ("brown", "#6e4b2a", "opaque"),
        ("rose", "#e75480", "dye"), ("teal", "#1abc9c", "dye"), ("navy", "#1b2a49", "opaque"),
    )
]  # fmt: skip


HOPELESS = 15.0


def _space(number: int, most_bottles: int, most_drops: int) -> np.ndarray:
    """Every recipe of at most so many bottles and drops."""
    rows = [
        row
        for row in product(range(most_drops + 1), repeat=number)
        if 0 < sum(row) <= most_drops and sum(1 for n in row if n) <= most_bottles
    ]
    return np.array(rows, dtype=float)


def _compare(seed: int, number: int, most_bottles: int, most_drops: int, cases: int, space) -> None:
    rng = np.random.default_rng(seed)
    penalty = PER_BOTTLE * (space > 0).sum(axis=1) + PER_DROP * space.sum(axis=1)
    for _ in range(cases):
        shelf = [SHELF[i] for i in rng.permutation(len(SHELF))[:number]]
        wanted = "#" + "".join(f"{n:02x}" for n in rng.integers(0, 256, 3))
        every = ciede2000(lab_of_mix(shelf, space), lab_of_hex(wanted)) + penalty
        found = match(wanted, shelf, most_bottles=most_bottles, most_drops=most_drops).best
        # Where the nearest is another colour altogether, far-off dips may be missed: near is enough.
        slack = 1e-9 if every.min() < HOPELESS else 1.0
        assert every.min() - 1e-9 <= found.score <= every.min() + slack, (wanted, [b.id for b in shelf])


@pytest.mark.parametrize(
    ("number", "bottles", "drops"), [(4, 3, 10), (5, 4, 8), (6, 4, 6), (2, 2, 24), (3, 3, 16)]
)
def test_no_recipe_scores_better(number, bottles, drops):
    _compare(1, number, bottles, drops, 30, _space(number, bottles, drops))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(("number", "bottles", "drops"), [(4, 4, 24), (5, 4, 14), (6, 4, 10), (12, 2, 6)])
def test_no_recipe_scores_better_in_larger_spaces(seed, number, bottles, drops):
    _compare(
        10 + seed,
        number,
        bottles,
        drops,
        40,
        _space(number, bottles, drops) if number < 12 else _pairs(drops),
    )


def _pairs(drops: int) -> np.ndarray:
    rows = set()
    for i in range(12):
        for j in range(i, 12):
            for a in range(drops + 1):
                for b in range(drops + 1 - a):
                    row = [0] * 12
                    row[i] += a
                    row[j] += b
                    if 0 < sum(row) <= drops:
                        rows.add(tuple(row))
    return np.array(sorted(rows), dtype=float)


def test_what_is_said_of_a_recipe_is_what_it_gives():
    found = match("#88aa99", SHELF)
    for recipe in found.recipes:
        names = [bottle for bottle, _ in recipe.drops]
        shelf = [next(b for b in SHELF if b.id == name) for name in names]
        lab = lab_of_mix(shelf, [n for _, n in recipe.drops])
        assert recipe.difference == pytest.approx(float(ciede2000(lab, lab_of_hex("#88aa99"))), abs=1e-9)
        assert ciede2000(lab, lab_of_hex(recipe.hex)) < 0.6
    assert list(found.recipes) == sorted(found.recipes, key=lambda r: r.score)


def test_the_easy_recipe_is_short_and_looks_alike():
    found = match("#88aa99", SHELF)
    assert found.easy.difference <= min(r.difference for r in found.recipes) + 0.5
    assert len(found.easy.drops) <= len(found.best.drops)


def test_a_bottle_s_own_colour_is_a_recipe_of_one_drop():
    found = match(SHELF[3].hex, SHELF).best
    assert found.drops == (("blue", 1),)
    assert found.difference < 1


def test_a_neon_screen_colour_is_out_of_reach_and_the_nearest_is_shown():
    found = match("#39ff14", SHELF)
    assert not found.in_reach
    assert found.best.hex != "#39ff14"
    assert match("#88aa99", SHELF).in_reach


def test_other_icing_asks_for_another_recipe():
    assert (
        match("#c8a8a0", SHELF, ground="#f3c6cf").best.drops
        != match("#c8a8a0", SHELF, ground=ICING).best.drops
    )


def test_a_run_takes_the_recipe_so_many_times():
    found = match("#88aa99", SHELF).best
    scaled = dict(found.scaled(50))
    assert sum(scaled.values()) >= 50 > sum(scaled.values()) - found.total
    assert all(scaled[bottle] % count == 0 for bottle, count in found.drops)


def test_the_same_question_gets_the_same_answer():
    assert match("#a05a6c", SHELF) == match("#a05a6c", SHELF)


def test_no_bottle_no_recipe():
    with pytest.raises(ValueError, match="no bottle"):
        match("#112233", [Bottle("p", "pearl", "#eeeeee", shimmer=True)])
    with pytest.raises(ValueError, match="looks like"):
        match("red", SHELF)
    with pytest.raises(ValueError, match="at least"):
        match("#112233", SHELF, most_drops=0)
