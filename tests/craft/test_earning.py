"""What work paid, held against plain arithmetic."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as some

from bakery.craft.earning import (
    Pay,
    brought,
    factor,
    hour,
    least_paid,
    money,
    owed,
    share_out,
    timed,
    used_up,
    whole_pence,
)

pennies = some.integers(min_value=-(10**9), max_value=10**9)
weights = some.lists(
    some.fractions(min_value=0, max_value=1000, max_denominator=1000), min_size=1, max_size=12
)


@given(pennies, weights)
def test_parts_add_up_to_what_was_shared_out(total, weights):
    parts = share_out(total, weights)
    assert sum(parts) == total
    assert len(parts) == len(weights)
    assert all(part * total >= 0 for part in parts)


@given(some.integers(min_value=0, max_value=10**7), weights)
def test_no_part_is_a_whole_unit_off_its_weight(total, weights):
    every = sum(weights) or len(weights)
    for part, weight in zip(share_out(total, weights), weights, strict=True):
        exact = Fraction(total) * (weight if sum(weights) else 1) / every
        assert abs(part - exact) < 1


def test_a_weight_below_nothing_is_refused():
    with pytest.raises(ValueError, match="never less"):
        share_out(10, [1, -1])
    assert share_out(10, []) == []


@given(some.lists(some.tuples(pennies, pennies, some.integers(0, 10**7)), max_size=20))
def test_a_sum_of_rows_is_the_sum_of_their_figures(rows):
    every = sum((Pay("", 1, 2, came, went, 0, took) for came, went, took in rows), Pay())
    assert every.left == sum(came for came, _, _ in rows) - sum(went for _, went, _ in rows)
    assert (every.orders, every.cookies) == (len(rows), 2 * len(rows))
    assert every.took == sum(took for *_, took in rows)


def test_an_hour_is_what_is_left_by_the_time_it_took():
    assert hour(9400, 10 * 3600) == Decimal("9.40")
    assert hour(-100, 3600) == Decimal("-1.00")
    assert hour(1, 7200) == Decimal("0.01")  # half a penny, halves up
    assert hour(1000, 0) is None


@given(some.decimals(min_value=-(10**7), max_value=10**7, places=2))
def test_pence_go_there_and_back(amount):
    assert money(whole_pence(amount)) == amount


def test_what_is_no_number_is_no_amount():
    for wrong in ("NaN", "Infinity"):
        with pytest.raises(ValueError, match="number"):
            whole_pence(wrong)


def test_what_an_order_brings():
    assert brought(10000, 10000, 0) == 10000
    assert brought(10000, 5000, 0) == 10000  # asked and not paid yet: it is owed
    assert brought(10000, 11000, 0) == 11000  # more came than was asked
    assert brought(10000, 10000, 2000) == 8000
    assert brought(None, 4000, 0) == 4000
    assert brought(None, 0, 0) is None
    assert [owed(10000, 4000), owed(10000, 12000), owed(None, 0)] == [6000, 0, 0]


def test_a_forgotten_clock_is_not_believed():
    assert timed(600, 660)
    assert timed(600, 2400)
    assert not timed(600, 2401)
    assert not timed(600, 149)
    assert not timed(0, 100)
    assert not timed(100, 0)


def test_the_books_count_where_they_know_all_else_the_larger():
    thought, books = {"food": 500, "wafer": 100}, {"food": 300, "colour": 40}
    assert used_up(thought, books, {"food"}) == {"food": 300, "wafer": 100, "colour": 40}
    assert used_up(thought, books, ()) == {"food": 500, "wafer": 100, "colour": 40}
    assert used_up(thought, {}, {"food"}) == {"food": 500, "wafer": 100}  # nothing was booked at all


def test_the_least_paid_rests_on_enough_orders():
    few = Pay("Compass", 2, 24, 1000, 900, 0, 3600)
    low, high = Pay("Fern", 3, 36, 2840, 20, 0, 10800), Pay("Rook", 9, 90, 9000, 0, 0, 3600)
    assert least_paid([few, high, low]) is low
    assert low.hour == Decimal("9.40")
    assert least_paid([few]) is None
    assert least_paid([Pay("Stall", 5, 0, 100, 0, 0, 0)]) is None  # no time is known


def test_how_many_times_her_minutes():
    assert factor(100, 140) == Fraction(7, 5)
    assert factor(0, 10) is None
