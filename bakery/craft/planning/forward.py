"""A plan for any studio, however full: order by order, everything as early as it fits, late where it must.

Overload is no reason to have no plan. Orders go in whole, the most pressing first, so that nothing that
stands on the rack waits for work without a place; where a longest wait is broken, the work before it moves
later. Milliseconds per order; proves nothing.
"""

from __future__ import annotations

from . import bits, limits
from .backward import checked, place_group
from .plan import Plan
from .schedule import Schedule

TURNS = 40
"""How often one group may be begun anew with work moved later."""
ROUNDS = 6


def forward_plan(grid, *, rounds=ROUNDS, stop=None) -> Plan | None:
    """A checked plan by placing forward, or None: then some order found no place before the calendar ends.

    Orders go in by pickup, soft ones last. An order for which that leaves no place goes in sooner in the
    next round, together with those it shares work with. When `stop` says yes there is none.
    """
    sequence = _by_pickup(grid)
    for _ in range(rounds):
        schedule, failed = _all_in(grid, sequence, stop)
        if None not in schedule.starts:
            return checked(grid, schedule.starts)
        if failed is None or (stop is not None and stop()):
            return None  # what belongs to no order found no place, or the time is up
        sooner = _tied(grid, failed)
        places = [k for k, name in enumerate(sequence) if name in sooner]
        if places == list(range(len(places))):
            return None  # it went in first and found no place: another sequence is of no use
        sequence = [name for name in sequence if name in sooner] + [
            name for name in sequence if name not in sooner
        ]
    return None


def without_a_place(grid) -> str | None:
    """The first order, by pickup, for which placing forward once finds no place; None where all find one."""
    return _all_in(grid, _by_pickup(grid))[1]


def _by_pickup(grid) -> list[str]:
    orders = sorted(grid.problem.orders, key=lambda one: (one.soft, one.pickup, -one.weight, one.id))
    return [order.id for order in orders]


def _all_in(grid, sequence, stop=None):
    """(schedule, order that found no place or None), the orders put in one after the other, then the rest."""
    schedule = Schedule(grid)
    for name in [*sequence, None]:
        if stop is not None and stop():
            return schedule, name if name is not None else sequence[-1]
        members = {
            i
            for i, task in enumerate(grid.tasks)
            if schedule.starts[i] is None and (name is None or name in task.orders)
        }
        members = _with_forerunners(grid, schedule, members)
        if not members or put_in_early(grid, schedule, members, stop=stop):
            continue
        # What it shares with others may stand too early for it: those are put in again together with it.
        group = {i for i, task in enumerate(grid.tasks) if _tied(grid, name).intersection(task.orders)}
        for i in group:
            schedule.take_out(i)
        group |= members
        if not put_in_early(grid, schedule, group, stop=stop):
            return schedule, name
    return schedule, None


def put_in_early(grid, schedule, members, *, anyhow=True, stop=None) -> bool:
    """Place `members` as early as they fit and then closer together, else (`anyhow`) at the very end.

    False, and none of them placed, when that fails.
    """
    if put_early(grid, schedule, members, stop=stop):
        _draw_together(grid, schedule, members)
        return True
    if not anyhow or (stop is not None and stop()):
        return False
    return _put_in_the_end(grid, schedule, members)


def _draw_together(grid, schedule, members):
    """Everything before the last work as late as that allows: fresher, and shorter on the rack."""
    order = [i for i in limits.forward_order(grid) if i in members]
    ends = {i: schedule.starts[i] for i in order if not any(j in members for _, j, _, _ in grid.succ[i])}
    for i in reversed(order):
        here = schedule.starts[i]
        if i not in ends:
            schedule.take_out(i)
            if not schedule.put_latest(i, here, grid.hi[i]):
                schedule.put(i, here)


def _with_forerunners(grid, schedule, members):
    """The tasks and all that must come before them and has no place yet."""
    found, todo = set(), list(members)
    while todo:
        i = todo.pop()
        if i not in found:
            found.add(i)
            todo += [p for p, _, _, _ in grid.pred[i] if schedule.starts[p] is None]
    return found


def _tied(grid, name) -> set[str]:
    """The order and all that share work with it, directly or through others."""
    found, todo = set(), [name]
    while todo:
        one = todo.pop()
        if one not in found:
            found.add(one)
            todo += [other for task in grid.tasks if one in task.orders for other in task.orders]
    return found


def put_early(grid, schedule, members, *, turns=TURNS, stop=None) -> bool:
    """Place `members` as early as they fit, longest waits kept; False, with none placed, if it fails."""
    order = [i for i in limits.forward_order(grid) if i in members]
    lo, hi = _bounds(grid, schedule)
    lo, hi, empty = limits.tighten(grid, lo, hi, only=members)
    for _ in range(0 if empty is not None else turns):
        stuck = None
        for i in order:
            if not schedule.put_earliest(i, lo[i], hi[i]):
                stuck = i
                break
        if stuck is None:
            return True
        later = _move_later(grid, schedule, stuck, lo, hi, members)
        for i in order:
            schedule.take_out(i)
        if later is None or (stop is not None and stop()):
            return False
        lo, _, empty = limits.tighten(grid, later, hi, only=members)
        if empty is not None:
            return False
    for i in order:
        schedule.take_out(i)
    return False


def _bounds(grid, schedule):
    lo, hi = list(grid.lo), list(grid.hi)
    for i, start in enumerate(schedule.starts):
        if start is not None:
            lo[i] = hi[i] = start
    return lo, hi


def _move_later(grid, schedule, i, lo, hi, members):
    """`lo` with the forerunners of task i moved later so that it may find a place; None when none can be."""
    later, first = list(lo), _first_alone(grid, schedule, i, lo, hi)
    if first < 0:
        return None
    for p, _, _, most in grid.pred[i]:
        if p in members and most is not None:
            later[p] = max(later[p], first - most)
    for keep in grid.keeps_to[i]:
        p = keep.after
        if p not in members:
            continue
        end = schedule.starts[p] + grid.dur[p]
        full = ~schedule._level(keep.resource, keep.amount) & bits.span(end, max(end, first))
        if full:
            later[p] = max(later[p], full.bit_length() - grid.dur[p])
    if later == lo:
        # Nothing says what is in the way: the last of what comes before makes room, a little at a time.
        before = [p for p, _, _, _ in grid.pred[i] if p in members]
        if not before:
            return None
        p = max(before, key=lambda p: schedule.starts[p])
        later[p] = schedule.starts[p] + max(1, 60 // grid.step)
    return later


def _first_alone(grid, schedule, i, lo, hi):
    """The first start of task i that its own hands and tools allow, longest waits and holds aside; or -1."""
    least = lo[i]
    for p, _, gap, _ in grid.pred[i]:
        if schedule.starts[p] is not None:
            least = max(least, schedule.starts[p] + gap)
    slots = schedule.open(i, least, hi[i])
    return bits.first(slots, least)


def _put_in_the_end(grid, schedule, members) -> bool:
    """Place `members` from the end of the calendar back: where all else is full, that is empty still."""
    lo, hi = _bounds(grid, schedule)
    return place_group(grid, schedule, lo, hi, members, rounds=ROUNDS)
