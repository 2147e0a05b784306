"""A first plan in milliseconds: every task at its latest fit, from the hand-overs back to now."""

from __future__ import annotations

from heapq import heapify, heappop, heappush

from . import limits
from .grid import Grid
from .plan import FEASIBLE, Plan
from .schedule import Schedule
from .verify import measure, verify

ROUNDS = 40


def backward_pass(problem) -> Plan | None:
    """Return a checked plan with everyone on time, each task at its latest fit, or None if none was found.

    It first tries to have every order ready its `spare` time before pickup. None proves nothing.
    """
    grid = Grid(problem)
    for spare in (True, False):
        lo, hi, empty = limits.tighten(grid, *limits.on_time(grid, spare=spare))
        slots = None if empty is not None else latest_fit(grid, lo, hi)
        if slots is not None:
            return checked(grid, slots)
    return None


def checked(grid, slots) -> Plan | None:
    """Return start slots as a plan with its measures, or None when `verify` finds a rule broken."""
    starts = grid.starts_of(slots)
    if verify(grid.problem, starts):
        return None
    found = measure(grid.problem, starts)
    return Plan(starts, FEASIBLE, found["objective"], {}, found["late"])


def latest_fit(grid, lo, hi, *, rounds=ROUNDS, stop=None, rank=None):
    """Return start slots with every task between `lo` and `hi`, or None.

    Orders go in from the first pickup to the last, each from its finish back to its first task. An order
    that does not fit goes in sooner in the next round (squeaky wheel).

    Parameters
    ----------
    lo, hi : lists of int
        Bounds on start slots, already tightened.
    rounds : int
        How many orders of placing are tried.
    stop : callable or None
        Asked between rounds; a true answer ends the search.
    rank : list of int or None
        Rank of each task, low goes in first; by default by the hand-overs it serves.
    """
    rank = first_ranks(grid, hi) if rank is None else rank
    for turn in range(rounds):
        done, failed = place_all(grid, lo, hi, rank)
        if failed is None:
            return done.starts
        if stop is not None and stop():
            return None
        push_forward(grid, rank, failed, turn)
    return None


def first_ranks(grid, hi) -> list[int]:
    """Rank of each task: its place among latest ends by the orders that need it; low goes in first."""
    due = {}
    for i, task in enumerate(grid.tasks):
        for name in task.orders:
            due[name] = max(due.get(name, -1), hi[i])
    ranks = {name: k for k, name in enumerate(sorted(due, key=lambda name: (due[name], name)))}
    return [min((ranks[name] for name in task.orders), default=len(ranks)) for task in grid.tasks]


def place_all(grid, lo, hi, rank, schedule=None):
    """Place every task that is not yet placed, last tasks first. Return (schedule, failed task or None)."""
    schedule = schedule or Schedule(grid)
    waiting = [sum(schedule.starts[j] is None for _, j, _, _ in grid.succ[i]) for i in range(grid.n)]
    todo = [i for i in range(grid.n) if schedule.starts[i] is None]
    ready = [(rank[i], -hi[i], i) for i in todo if not waiting[i]]
    heapify(ready)
    while ready:
        _, _, i = heappop(ready)
        if not schedule.put_latest(i, lo[i], hi[i]):
            return schedule, i
        for p, _, _, _ in grid.pred[i]:
            waiting[p] -= 1
            if not waiting[p] and schedule.starts[p] is None:
                heappush(ready, (rank[p], -hi[p], p))
    return schedule, None


def push_forward(grid, rank, failed, turn):
    """Move the orders of the failed task (and so all their tasks) ahead of the others."""
    names = set(grid.tasks[failed].orders)
    best = min(rank) - 1
    for i, task in enumerate(grid.tasks):
        if names.intersection(task.orders) or i == failed:
            rank[i] = min(rank[i], best) if turn % 2 else min(rank[i], max(best, rank[i] - 3 - turn))
