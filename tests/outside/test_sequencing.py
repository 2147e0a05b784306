"""The order of colours on published sequencing problems (tests/outside/data/sequencing).

TSPLIB95: Reinelt, ORSA J. Computing 3 (1991) 376-384. A `.sop` asks for a path that keeps an order (entry -1:
column before row), an `.atsp` for a round trip: here a path that ends on a copy of its start.
"""

import csv
from pathlib import Path

import numpy as np
import pytest

from bakery.craft.airbrush.order import EXACT, best_order, cost_of

FOLDER = Path(__file__).parent / "data" / "sequencing"
ROWS = {row["file"]: row for row in csv.DictReader((FOLDER / "sequencing_optima.csv").open())}


def read(name: str):
    """(costs, rules) of a file as an open path."""
    words = (FOLDER / name).read_text().split("EDGE_WEIGHT_SECTION")[1].replace("EOF", "").split()
    numbers = [int(word) for word in words]
    size = int(ROWS[name]["dimension"])
    matrix = np.array(numbers[-size * size :]).reshape(size, size)
    if name.endswith(".sop"):
        rules = [(int(j), int(i)) for i, j in np.argwhere(matrix == -1) if i != j]
        rules += [(0, j) for j in range(1, size)]
        return np.where(matrix < 0, 0, matrix), rules
    path = np.zeros((size + 1, size + 1), dtype=int)
    path[:size, :size] = matrix
    path[:size, size] = matrix[:, 0]
    np.fill_diagonal(path, 0)
    rules = [(0, j) for j in range(1, size + 1)] + [(j, size) for j in range(size)]
    return path, rules


def stated(name: str, column: str) -> int:
    return int(float(ROWS[name][column]))


@pytest.mark.parametrize("name", sorted(ROWS))
def test_the_published_tour_costs_what_is_published(name):
    costs, rules = read(name)
    tour = [int(place) - 1 for place in ROWS[name]["tour_1_based"].split()]
    if name.endswith(".atsp"):
        at = tour.index(0)
        tour = tour[at:] + tour[:at] + [len(tour)]
    if tour:
        assert cost_of(costs, tour) == stated(name, "upper_bound_ortools")
        assert all(tour.index(i) < tour.index(j) for i, j in rules)


@pytest.mark.parametrize("name", sorted(ROWS))
def test_small_ones_are_proved_and_large_ones_say_how_far_off_they_may_be(name):
    costs, rules = read(name)
    found = best_order(costs, rules)
    assert sorted(found.places) == list(range(len(costs)))
    assert all(found.places.index(i) < found.places.index(j) for i, j in rules)
    assert found.cost == cost_of(costs, found.places)
    low, high = stated(name, "lower_bound_ortools"), stated(name, "upper_bound_ortools")
    assert found.bound <= high
    assert found.cost >= low
    if len(costs) <= EXACT:
        assert found.proved
        assert found.cost == stated(name, "optimum")
    else:
        assert found.cost <= 1.25 * high, f"{name}: {found.cost} against {high}, bound {found.bound}"
