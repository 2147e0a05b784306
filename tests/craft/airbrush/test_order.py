"""The order of colours against every order there is, and a rule that it keeps."""

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bakery.craft.airbrush.order import EXACT, best_order, cost_of


@st.composite
def kitchens(draw, most=7):
    size = draw(st.integers(1, most))
    costs = draw(
        st.lists(st.lists(st.integers(0, 60), min_size=size, max_size=size), min_size=size, max_size=size)
    )
    pairs = draw(st.lists(st.tuples(st.integers(0, size - 1), st.integers(0, size - 1)), max_size=4))
    return np.array(costs), [(min(pair), max(pair)) for pair in pairs if pair[0] != pair[1]]


def _brute(costs, rules) -> int:
    size = len(costs)
    return min(
        cost_of(costs, order)
        for order in permutations(range(size))
        if all(order.index(i) < order.index(j) for i, j in rules)
    )


@settings(max_examples=60)
@given(kitchens())
def test_no_order_costs_less(kitchen):
    costs, rules = kitchen
    found = best_order(costs, rules)
    assert found.cost == cost_of(costs, found.places) == _brute(costs, rules)
    assert found.proved
    assert sorted(found.places) == list(range(len(costs)))
    assert all(found.places.index(i) < found.places.index(j) for i, j in rules)


@settings(max_examples=30)
@given(kitchens(), st.data())
def test_what_is_in_the_cup_comes_first(kitchen, data):
    costs, _ = kitchen
    start = data.draw(st.integers(0, len(costs) - 1))
    found = best_order(costs, start=start)
    assert found.places[0] == start
    assert found.cost == _brute(costs, [(start, j) for j in range(len(costs)) if j != start])


@settings(max_examples=25)
@given(kitchens(most=7))
def test_the_bound_of_many_colours_is_undercut_by_none(kitchen):
    from bakery.craft.airbrush.order import _near, _needs

    costs, rules = kitchen
    near = _near(costs, _needs(len(costs), rules, None))
    best = _brute(costs, rules)
    assert near.bound <= best <= near.cost


def test_more_than_the_exact_number_of_colours_gets_an_order_that_keeps_the_rules():
    rng = np.random.default_rng(4)
    costs = rng.integers(3, 60, (22, 22))
    rules = [(3, 1), (7, 3), (20, 0)]
    found = best_order(costs, rules)
    assert sorted(found.places) == list(range(22))
    assert len(costs) > EXACT
    assert all(found.places.index(i) < found.places.index(j) for i, j in rules)
    assert 0 < found.bound <= found.cost == cost_of(costs, found.places)


@pytest.mark.parametrize(
    ("costs", "rules"),
    [
        ([[0, -1], [1, 0]], []),
        ([[0, 1]], []),
        ([[0, 1], [1, 0]], [(0, 1), (1, 0)]),
        ([[0, 1], [1, 0]], [(0, 2)]),
    ],
)
def test_what_makes_no_sense_is_said(costs, rules):
    with pytest.raises(ValueError, match=r"\w"):
        best_order(costs, rules)


def test_nothing_to_spray_costs_nothing():
    assert best_order(np.zeros((0, 0))).places == ()
