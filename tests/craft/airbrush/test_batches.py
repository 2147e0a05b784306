"""Colour by colour or so many at a time: the formulas against a run simulated step by step."""

from math import ceil, inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.airbrush import break_even, ways_of

MINUTES = st.integers(0, 40).map(lambda n: n / 4)


def _simulate(cookies, colours, placing, spraying, changes, back, k):
    """Minutes on a stopwatch: each change is an equal share of a round's."""
    step = changes / (colours - 1) if colours > 1 else 0
    by_colour = in_place = 0.0
    for colour in range(colours):
        by_colour += step if colour else 0
        for _ in range(cookies):
            by_colour += placing + spraying
    left, first = cookies, True
    while left:
        some = min(k, left)
        in_place += 0 if first else back
        in_place += some * placing
        for colour in range(colours):
            in_place += step if colour else 0
            in_place += some * spraying
        left, first = left - some, False
    return by_colour, in_place


@given(st.integers(1, 60), st.integers(2, 6), MINUTES, MINUTES, MINUTES, MINUTES, st.integers(1, 60))
def test_both_ways_take_what_a_stopwatch_says(cookies, colours, placing, spraying, changes, back, k):
    ways = ways_of(cookies, colours, placing, spraying, changes, back, k)
    by_colour, in_place = _simulate(cookies, colours, placing, spraying, changes, back, k)
    assert ways.by_colour == pytest.approx(by_colour)
    assert ways.in_place == pytest.approx(in_place)


@given(st.integers(2, 80), st.integers(2, 6), st.integers(1, 20), st.integers(1, 80), st.integers(1, 80))
def test_above_the_break_even_leaving_in_place_pays(cookies, colours, quarter, trip, k):
    placing, round_trip = quarter / 4, trip / 4
    ways = ways_of(cookies, colours, placing, 0.5, round_trip, 0, k)
    gap = (ceil(cookies / k) - 1) * round_trip - cookies * (colours - 1) * placing
    assert ways.in_place - ways.by_colour == pytest.approx(gap, abs=1e-6)
    assert ways.leave_in_place == (ways.in_place < ways.by_colour)
    if cookies % k == 0 and abs(k - ways.break_even) > 1e-6:
        assert (ways.in_place < ways.by_colour) == (k > ways.break_even)


def test_examples_by_hand():
    assert break_even(24, 3, 0.5, 6) == pytest.approx(4.8)
    assert break_even(24, 4, 0.5, 10) == pytest.approx(24 / 4.6)
    assert break_even(24, 1, 0.5, 6) == inf


def test_what_makes_no_sense_is_said():
    with pytest.raises(ValueError, match="run"):
        ways_of(0, 2, 1, 1, 1, 1, 1)
    with pytest.raises(ValueError, match="cookie"):
        ways_of(5, 2, 1, 1, 1, 1, 0)
