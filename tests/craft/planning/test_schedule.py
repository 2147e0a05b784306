"""Putting one task into free slots: what is skipped after a clash is never a slot that fits."""

import random

import pytest

from bakery.craft.planning import Hold, Lag, Order, Window
from bakery.craft.planning.grid import Grid
from bakery.craft.planning.schedule import Schedule

from .makers import problem, task, tiny


def _one_by_one(schedule, i, slots):
    return any(schedule.room(i, start, start) and schedule.put(i, start) for start in slots)


@pytest.mark.parametrize("seed", range(150))
def test_the_first_and_the_last_place_are_those_that_trying_every_slot_finds(seed):
    grid, rng = Grid(tiny(seed)), random.Random(seed)
    quick, slow = Schedule(grid), Schedule(grid)
    for i in rng.sample(range(grid.n), grid.n):
        lo, hi, late = grid.lo[i], grid.hi[i], rng.random() < 0.5
        slots = range(hi, lo - 1, -1) if late else range(lo, hi + 1)
        found = (quick.put_latest if late else quick.put_earliest)(i, lo, hi)
        assert found == _one_by_one(slow, i, slots)
        assert quick.starts == slow.starts
        assert all((quick.left[name] == slow.left[name]).all() for name in quick.left)


def test_a_full_rack_is_not_tried_slot_by_slot():
    """Two trays that stand until they are packed, on one place: no packing time ever fits."""
    floods = [task("flood.1", 30), task("flood.2", 30)]
    it = problem(
        [*floods, task("pack", 30)],
        [Window(0, 90_000)],
        [Order("o1", 80_000, None, "pack")],
        resources={"rack": 1},
        lags=[Lag(one.id, "pack", 0, None, "dry") for one in floods],
        holds=[Hold("rack", 1, one.id, "pack") for one in floods],
    )
    schedule, tries = Schedule(Grid(it)), []
    put = schedule.put
    schedule.put = lambda i, start: tries.append(start) or put(i, start)
    assert schedule.put(0, 0)
    assert schedule.put(1, 3)
    tries.clear()
    assert not schedule.put_earliest(2, 7, 8000)
    assert not schedule.put_latest(2, 7, 8000)
    assert len(tries) <= 4
