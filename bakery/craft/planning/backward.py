"""A first plan in milliseconds: every task at its latest fit, from the hand-overs back to now."""

from __future__ import annotations

from heapq import heappop, heappush

from . import limits
from .grid import Grid
from .plan import FEASIBLE, Plan
from .schedule import Schedule
from .verify import measure, verify

ROUNDS = 40


def backward_pass(problem, *, stop=None) -> Plan | None:
    """Return a checked plan with everyone on time, each task at its latest fit, or None if none was found.

    It first tries to have every order ready its `spare` time before pickup. None proves nothing. `stop` is
    asked between rounds; a true answer ends the search.
    """
    grid = Grid(problem)
    for spare in (True, False):
        lo, hi, empty = limits.tighten(grid, *limits.on_time(grid, spare=spare))
        slots = None if empty is not None else latest_fit(grid, lo, hi, stop=stop)
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

    From the end of the calendar back: of the tasks whose followers are placed, the one that can come
    latest is placed next, as late as it fits. Orders whose task does not fit go in sooner in the next round
    (squeaky wheel). When half of the rounds are spent, orders are tried one after the other, from the last
    pickup and then from the first.

    Parameters
    ----------
    lo, hi : lists of int
        Bounds on start slots, already tightened.
    rounds : int
        How many times everything is placed.
    stop : callable or None
        Asked between rounds; a true answer ends the search.
    rank : list of int or None
        Rank of each task, low goes in first; then only these ranks are tried.
    """
    if rank is not None:
        return _squeaky_wheel(grid, lo, hi, rank, rounds, stop)
    by_order = first_ranks(grid, hi)
    for ranks, share in (([0] * grid.n, 2), ([-k for k in by_order], 4), (by_order, 4)):
        slots = _squeaky_wheel(grid, lo, hi, ranks, max(1, rounds // share), stop)
        if slots is not None or (stop is not None and stop()):
            return slots
    return None


def quick(grid, rounds=40, stop=None):
    """Start slots with every hard order on time, by placing alone, or None."""
    before = None
    for spare, soft in ((True, True), (False, True), (False, False)):
        lo, hi, empty = limits.tighten(grid, *limits.on_time(grid, spare=spare, soft=soft))
        if empty is None and (lo, hi) != before:  # where nothing is spare or soft it would all be the same
            before = lo, hi
            slots = latest_fit(grid, lo, hi, rounds=rounds if not spare else min(rounds, 10), stop=stop)
            if slots is not None and checked(grid, slots) is not None:
                return slots
    return None


def _squeaky_wheel(grid, lo, hi, rank, rounds, stop):
    for turn in range(rounds):
        done, failed = place_all(grid, lo, hi, rank)
        if failed is None:
            return done.starts
        if stop is not None and stop():
            return None
        capped = pull_followers(grid, done, lo, hi, failed)
        if capped is not None:
            low, high, empty = limits.tighten(grid, lo, capped)
            if empty is None:
                lo, hi = low, high
                continue
        push_forward(grid, rank, failed, turn)
    return None


def pull_followers(grid, schedule, lo, hi, i):
    """Lower `hi` for tasks placed so late that task i, before them, would wait too long; or None."""
    best = schedule.room(i, lo[i], hi[i], patient=True).bit_length() - 1
    if best < 0:
        return None
    capped, changed = list(hi), False
    for _, j, _, most in grid.succ[i]:
        if most is not None and schedule.starts[j] is not None and schedule.starts[j] - most > best:
            capped[j], changed = min(capped[j], best + most), True
    return capped if changed else None


def first_ranks(grid, hi) -> list[int]:
    """Rank of each task: its place among latest ends by the orders that need it; low goes in first."""
    due = {}
    for i, task in enumerate(grid.tasks):
        for name in task.orders:
            due[name] = max(due.get(name, -1), hi[i])
    ranks = {name: k for k, name in enumerate(sorted(due, key=lambda name: (due[name], name)))}
    return [min((ranks[name] for name in task.orders), default=len(ranks)) for task in grid.tasks]


def place_all(grid, lo, hi, rank, schedule=None, members=None):
    """Place every task (of `members`) that is not yet placed, last tasks first.

    Returns (schedule, the first task that did not fit or None).
    """
    schedule = schedule or Schedule(grid)
    members = range(grid.n) if members is None else members
    mine = {i for i in members if schedule.starts[i] is None}
    waiting = {i: sum(j in mine for _, j, _, _ in grid.succ[i]) for i in mine}
    ready = []

    def offer(i):
        latest = hi[i]
        for _, j, gap, _ in grid.succ[i]:
            if schedule.starts[j] is not None:
                latest = min(latest, schedule.starts[j] - gap)
        heappush(ready, (rank[i], -latest, i))

    for i in sorted(mine):
        if not waiting[i]:
            offer(i)
    while ready:
        _, _, i = heappop(ready)
        if not schedule.put_latest(i, lo[i], hi[i]):
            return schedule, i
        for p, _, _, _ in grid.pred[i]:
            if p in mine:
                waiting[p] -= 1
                if not waiting[p]:
                    offer(p)
    return schedule, None


def push_forward(grid, rank, failed, turn, members=None):
    """Move the orders of the failed task (and so all their tasks, or those of `members`) ahead."""
    names = set(grid.tasks[failed].orders)
    best = min(rank) - 1
    for i in range(grid.n) if members is None else members:
        if i == failed or names.intersection(grid.tasks[i].orders):
            rank[i] = min(rank[i], best) if turn % 2 else min(rank[i], max(best, rank[i] - 3 - turn))


def place_group(grid, schedule, lo, hi, members, *, rounds) -> bool:
    """Add the tasks `members` to what is placed, each as late as it fits; False and none of them when not."""
    lo, hi, empty = limits.tighten(grid, lo, hi, only=members)
    rank = [0] * grid.n
    for turn in range(rounds):
        if empty is not None:
            return False
        _, failed = place_all(grid, lo, hi, rank, schedule, members)
        if failed is None:
            return True
        capped = pull_followers(grid, schedule, lo, hi, failed)
        for i in members:
            schedule.take_out(i)
        if capped is None:
            push_forward(grid, rank, failed, turn, members)
            rank[failed] -= 1
        else:
            lo, hi, empty = limits.tighten(grid, lo, capped, only=members)
    return False
