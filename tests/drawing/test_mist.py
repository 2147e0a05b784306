"""Mist: thins with the water, keeps its distance, keeps its budget, and never changes by itself."""

from math import hypot
from xml.etree import ElementTree as etree

from hypothesis import given, settings
from hypothesis import strategies as st

from bakery.drawing.mist import LIMIT, dots, mist


def test_the_same_question_gives_the_same_dots():
    assert dots(200, 20, seed=4) == dots(200, 20, seed=4)
    dots.cache_clear()
    again = dots(200, 20, seed=4)
    assert again == dots(200, 20, seed=4)
    assert again != dots(200, 20, seed=5)


def test_dots_per_area_follow_the_water_left():
    places = dots(1000, 40, seed=1, share=(1.0, 0.5, 0.0))
    thirds = [sum(1 for x, _ in places if a <= x < a + 250) for a in (0, 250, 500, 750)]
    whole = len(places)
    # Water in the quarters of a straight fall: 7/16, 5/16, 3/16, 1/16 of all.
    for found, part in zip(thirds, (7, 5, 3, 1), strict=True):
        assert abs(found / whole - part / 16) < 0.03


def test_dots_stand_apart_as_random_ones_would_not():
    places = dots(120, 40, seed=2, share=(1.0, 1.0))
    nearest = [min(hypot(x - a, y - b) for a, b in places if (a, b) != (x, y)) for x, y in places]
    spacing = (120 * 40 / len(places)) ** 0.5
    assert min(nearest) > 0.25 * spacing
    assert sum(nearest) / len(nearest) > 0.6 * spacing  # 0.5 for places thrown at random


def test_a_dot_costs_about_fourteen_bytes():
    drawing = mist(700, 20, seed=3)
    count = drawing.count("h0")
    assert count > 200
    assert len(drawing) / count < 15
    assert drawing.count("<path") == 1
    etree.fromstring(drawing)


def test_a_limit_is_kept_however_large_the_box():
    assert len(dots(1200, 200, seed=1, limit=300)) == 300
    assert len(dots(3000, 300, seed=1, limit=50)) == 50
    assert LIMIT <= 3000


@settings(max_examples=40, deadline=None)
@given(
    width=st.integers(-5, 400),
    height=st.integers(-5, 40),
    share=st.lists(st.floats(allow_nan=False, allow_infinity=True), max_size=6),
)
def test_any_box_and_any_shares_give_dots_inside_or_none(width, height, share):
    for x, y in dots(width, height, seed=1, share=tuple(share), limit=200):
        assert 0 <= x <= width
        assert 0 <= y <= height
