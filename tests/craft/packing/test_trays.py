"""Cookies on trays: always inside, never over each other when flat, and about as many as bakers count."""

from fractions import Fraction
from itertools import combinations
from math import hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bakery.craft.packing import (
    Box,
    Item,
    Tray,
    boxes_that_fit,
    capacity,
    count_for,
    fit_circles,
    lay,
    mix,
    on_trays,
)
from bakery.craft.packing.circles import overlaps
from bakery.craft.packing.platter import share_of

INCH = 25.4
ROUND = Item("round", 3 * INCH, 3 * INCH, True)
PLAQUE = Item("plaque", 70, 95)
CARD = Item("card", 95, 62)
TRAYS = (Tray("round", 305), Tray("oval", 432, 280), Tray("rectangle", 406, 305))

# Reported counts of 3 in cookies on round trays, flat; half as many again where they overlap (practitioners'
# accounts, about).
REPORTED = {12: (9, 11), 16: (17, 20), 18: (21, 26)}


@pytest.mark.parametrize("inches", REPORTED)
def test_a_round_tray_holds_what_bakers_report(inches):
    low, high = REPORTED[inches]
    flat, lapped = (capacity(ROUND, Tray("round", inches * INCH), how) for how in ("flat", "overlap"))
    assert low <= flat <= high
    assert 1.25 * low <= lapped <= 1.6 * high


def corners(item, spot):
    w, h = (item.height, item.width) if spot.turned else (item.width, item.height)
    return spot.x - w / 2, spot.y - h / 2, spot.x + w / 2, spot.y + h / 2


def inside(tray, item, spot):
    if item.round:
        return overlaps([(spot.x, spot.y)], item.width, tray) <= 1e-6
    x0, y0, x1, y1 = corners(item, spot)
    return all(tray.half_width(y) + 1e-6 >= abs(x) for x in (x0, x1) for y in (y0, y1))


@given(
    counts=st.lists(st.integers(0, 30), min_size=3, max_size=3),
    tray=st.sampled_from(TRAYS),
    how=st.sampled_from(("flat", "overlap")),
)
@settings(max_examples=40, deadline=None)
def test_what_is_laid_lies_inside_and_flat_ones_touch_nothing(counts, tray, how):
    items = [item for item, count in zip((PLAQUE, ROUND, CARD), counts, strict=True) for _ in range(count)]
    spots = lay(items, tray, how)
    assert len({spot.item for spot in spots}) == len(spots)
    assert all(inside(tray, items[spot.item], spot) for spot in spots)
    if how == "flat":
        for one, other in combinations(spots, 2):
            a, b = items[one.item], items[other.item]
            if a.round and b.round:
                assert hypot(one.x - other.x, one.y - other.y) >= a.width - 1e-6
            else:
                p, q = corners(a, one), corners(b, other)
                assert (
                    p[2] <= q[0] + 1e-6 or q[2] <= p[0] + 1e-6 or p[3] <= q[1] + 1e-6 or q[3] <= p[1] + 1e-6
                )


@given(st.floats(20, 200), st.sampled_from(TRAYS))
@settings(max_examples=25, deadline=None)
def test_discs_never_overlap(diameter, tray):
    points = fit_circles(tray, diameter)
    assert overlaps(points, diameter, tray) <= 1e-5 * diameter


def test_a_platter_loses_no_cookie():
    counts = {PLAQUE: 12, ROUND: 30, CARD: 19}
    platter = on_trays(counts, TRAYS, "overlap")
    assert len(platter.spots) == len(platter.items)
    assert platter.trays * len(platter.items) >= 61 > (platter.trays - 1) * len(platter.items)


def test_the_smallest_tray_that_holds_all_is_taken():
    assert on_trays({ROUND: 8}, TRAYS).tray == Tray("round", 305)
    assert on_trays({ROUND: 18}, TRAYS).tray.shape == "rectangle"
    assert on_trays({Item("giant", 600, 600): 1}, TRAYS) is None


def test_guests_and_mix():
    assert count_for(25, 2) == 50
    assert count_for(25, Fraction(3, 2).__float__()) == 38
    with pytest.raises(ValueError):
        count_for(0, 2)
    assert mix(7) == {"feature": 1, "colours": 4, "plain": 2}


@given(st.integers(0, 5000), st.lists(st.integers(0, 9), min_size=1, max_size=6).filter(any))
def test_a_mix_adds_up(count, shares):
    found = mix(count, {str(at): Fraction(share) for at, share in enumerate(shares)})
    assert sum(found.values()) == count
    assert all(abs(found[str(at)] - count * share / sum(shares)) < 1 for at, share in enumerate(shares))


def test_boxes_flat_and_on_edge():
    low, tall = Box("low", 200, 200, 45), Box("tall", 250, 85, 90)
    fits = {one.box.name: one for one in boxes_that_fit(24, 76, 76, (low, tall, Box("tiny", 60, 60, 60)))}
    assert set(fits) == {"low", "tall"}
    # 2 x 2 in a layer of 200 / 78; (45 - 2 + 1) / 10 = 4 layers, three at most
    assert (fits["low"].way, fits["low"].in_layer, fits["low"].layers, fits["low"].boxes) == ("flat", 4, 3, 2)
    # on edge: 85 / 78 = 1 across and (250 - 2) / 10 = 24 deep, or 3 rows of 8
    assert (fits["tall"].way, fits["tall"].each, fits["tall"].boxes) == ("edge", 24, 1)


@given(st.lists(st.integers(0, 60), min_size=1, max_size=6).filter(any), st.integers(1, 12))
def test_every_tray_has_its_share_of_each(counts, parts):
    share = share_of(dict(enumerate(counts)), parts)
    assert sum(share.values()) == -(-sum(counts) // parts)
    for item, count in enumerate(counts):
        assert count // parts <= share.get(item, 0) <= -(-count // parts)
