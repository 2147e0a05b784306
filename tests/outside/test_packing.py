"""Packings against published values.

Strips: instances C1P1 and C1P3 of Hopper and Turton, European Journal of Operational Research 128 (2001)
34-57, with their optimal heights (total area / width). Circles: radii of the smallest circle around n unit
circles, Graham, Lubachevsky, Nurmela and Ostergard, Discrete Mathematics 181 (1998) 139-154, recomputed to
ten places.
"""

import csv
from pathlib import Path

import pytest

from bakery.craft.packing import enclosing_radius, pack_strip

DATA = Path(__file__).parent / "data" / "packing"


def rows(name):
    with (DATA / name).open() as lines:
        return list(csv.DictReader(lines))


@pytest.mark.parametrize("instance", rows("strip_optima.csv"), ids=lambda row: row["instance"])
def test_strips_reach_the_published_optimum(instance):
    sizes = [(int(row["width"]), int(row["height"])) for row in rows(instance["file"])]
    strip = pack_strip(sizes, float(instance["strip_width"]))
    assert strip.height == float(instance["optimal_height"])
    assert strip.proved
    assert sorted(one.piece for one in strip.placed) == list(range(int(instance["items"])))
    assert_apart(strip.placed, float(instance["strip_width"]), strip.height, sizes)


def assert_apart(placed, width, height, sizes):
    """Every piece keeps its size, lies inside, and none lies over another: by unit cells."""
    cells = set()
    for one in placed:
        assert sorted((one.width, one.height)) == sorted(sizes[one.piece])
        assert one.turned == ((one.width, one.height) != sizes[one.piece])
        for x in range(int(one.x), int(one.x + one.width)):
            for y in range(int(one.y), int(one.y + one.height)):
                assert 0 <= x < width
                assert 0 <= y < height
                assert (x, y) not in cells
                cells.add((x, y))


@pytest.mark.parametrize("row", rows("circles_in_circle.csv"), ids=lambda row: row["n_unit_circles"])
def test_circles_in_a_circle_come_to_the_best_known_radius(row):
    count = int(row["n_unit_circles"])
    radius, points = enclosing_radius(count, tries=6)
    assert radius == pytest.approx(float(row["radius_computed_scipy_slsqp_10dp"]), rel=1e-6)
    apart = [abs(complex(*p) - complex(*q)) for at, p in enumerate(points) for q in points[:at]]
    assert min(apart) >= 2 - 1e-6
    assert max(abs(complex(*p)) for p in points) + 1 <= radius + 1e-6
