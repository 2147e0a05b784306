"""Ruin and recreate: let go of a few neighbouring orders, keep the rest where it is, place them better.

The rest are pins of a smaller problem of the same form, so every rule, measure and solver applies to it.
"""

from __future__ import annotations

import random
from dataclasses import replace

from .backward import checked
from .grid import Grid

BIG = 150  # free tasks from which a whole model is searched worse than parts of it


def let_go(problem, starts, free):
    """The problem with all tasks pinned where `starts` has them, but those named in `free`."""
    tasks = [
        replace(task, pinned=True, start=starts[task.id])
        if task.free and task.id not in free and task.id in starts
        else task
        for task in problem.tasks
    ]
    return replace(problem, tasks=tasks)


class Neighbourhoods:
    """Sets of task names worth letting go for the sake of measure `name`.

    Runs of neighbouring hand-overs, for lateness round a late order. `rng` makes the choices.
    """

    def __init__(self, grid, name, rng):
        self.orders = sorted(grid.problem.orders, key=lambda order: (order.pickup, order.id))
        self.name, self.rng, self.turn = name, rng, 0
        self.by_order = {order.id: [] for order in self.orders}
        for task in grid.tasks:
            for order in task.orders:
                self.by_order[order].append(task.id)

    def __call__(self, plan) -> set[str]:
        """The next set for this plan."""
        size = self.rng.choice([4, 6, 9] if self.name in ("sessions", "moved", "age") else [3, 5, 8])
        centre = _centre(self.orders, plan, self.name, self.turn, self.rng)
        first = max(0, min(centre - size // 2, len(self.orders) - size))
        self.turn += 1
        return {task for order in self.orders[first : first + size] for task in self.by_order[order.id]}


def _centre(orders, plan, name, turn, rng):
    late = [k for k, order in enumerate(orders) if order.id in plan.late]
    if name in ("missed", "lateness", "soft", "stale") and late and turn % 4 != 3:
        return late[turn % len(late)]
    return rng.randrange(len(orders))


def recreate(grid, plan, name, held, clock, stage, *, seed=1, patience=30):
    """Improve measure `name` of a plan by letting go of parts of it, the measures in `held` kept.

    Parameters
    ----------
    stage : callable
        (sub-grid, plan of it, name, held, clock) -> better plan of it or None; takes its share of the time.
    patience : int
        Ends after so many sets in a row without any gain.

    Returns
    -------
    Plan
    """
    from .solver import values_of

    rng, idle, best = random.Random(seed), 0, plan
    choose = Neighbourhoods(grid, name, rng)
    while idle < patience and not clock.over():
        names = choose(best)
        idle += 1
        clock.spend(0.002)
        if not names:
            continue
        part = Grid(let_go(grid.problem, best.starts, names))
        start = checked(part, part.slots_of(best.starts))
        better = None if start is None else stage(part, start, name, held, clock)
        if better is None:
            continue
        found = checked(grid, grid.slots_of(better.starts))
        if found is None:
            continue
        now, before = values_of(grid.problem, found.starts), values_of(grid.problem, best.starts)
        if all(now[key] <= value for key, value in held.items()) and now[name] <= before[name]:
            if now[name] < before[name]:
                idle = 0
            best = found
    return best
    return best
