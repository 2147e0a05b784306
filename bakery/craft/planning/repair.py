"""The first answer to a bad night: as little as possible is let go, by placing alone, without the solver.

What cannot stay where it hangs is let go, then the orders it belongs to, then their neighbours, until
everyone is on time again; where that is not found, as few minutes late as the passes can make it. At last
every job that can still go back to its old place goes back. Milliseconds to tenths of a second; proves
nothing.
"""

from __future__ import annotations

import time

from . import limits
from .backward import checked, first_ranks, place_all, push_forward, quick
from .forward import forward_plan
from .grid import Grid
from .moves import let_go
from .overload import put_in_one_by_one
from .parts import without_orders
from .plan import Plan
from .schedule import Schedule

NEAR = (0, 2, 5, 10)
"""So many neighbouring hand-overs are let go besides the orders that were hit."""
ROUNDS = 5
ATTEMPTS = 60
GRACE = 1.5
"""Seconds over the limit in which a first complete plan is still finished."""
FEW_LATE = 8
"""So many orders that were late already are let go in the hope of less; more of them only all together."""
FIRST_STEP = 120
"""Minutes that an order which does not fit is given first; twice as many each time after."""


class _Limit:
    """Computing time or, for answers that must repeat, a number of attempts."""

    def __init__(self, seconds):
        self.ends, self.left = None if seconds is None else time.thread_time() + seconds, ATTEMPTS
        self.far = None if seconds is None else self.ends + max(GRACE, seconds)

    def over(self) -> bool:
        if self.ends is not None:
            return time.thread_time() > self.ends
        self.left -= 1
        return self.left < 0

    def long_over(self) -> bool:
        """True when even a plan under way is given up."""
        return self.far is not None and time.thread_time() > self.far


def repair(problem, wall, *, seconds=0.6, grid=None) -> Plan | None:
    """A checked plan near the old starts `wall`, or None when placing alone finds none in time.

    Parameters
    ----------
    wall : mapping of task id to start
        Old places; work without one, and old places off the grid or in the past, are placed anew.
    seconds : float or None
        Limit of computing time [s]; the attempt under way is finished. None: a fixed number of attempts.
    grid : Grid or None
        That of the problem, where there is one already.

    Returns
    -------
    Plan or None
        With everyone on time where that was found, else with the least lateness found. Jobs in no need of
        moving are where they were.
    """
    limit, grid = _Limit(seconds), grid or Grid(problem)
    old = _old_slots(grid, wall)
    late = _late_already(grid, old)
    loose = _loose(grid, old, late)
    if not loose and not late:
        return checked(grid, [old[i] for i in range(grid.n)])
    kept = {grid.ids[i]: old[i] * grid.step for i in old if i not in loose}
    kept |= {task.id: task.start for task in problem.tasks if task.pinned and task.state == "todo"}
    hit = {name for i in loose for name in grid.tasks[i].orders}
    rings, best, floor = list(_rings(grid, loose, hit)), None, _floor(grid)
    allowed = {name: max(floor.get(name, 0), late.get(name, 0)) for name in {*floor, *late}}
    hopeless = limits.tighten(grid, *limits.on_time(grid, extra=allowed))[2] is not None
    for free in () if hopeless else rings:
        part = Grid(let_go(problem, kept, free))
        slots = _placed(part, allowed)[0] if allowed else quick(part, rounds=ROUNDS)
        plan = None if slots is None else _whole(grid, part, slots)
        if plan is not None and all(minutes <= allowed.get(name, 0) for name, minutes in plan.late.items()):
            if not late:
                return _gone_back(grid, plan, old)
            best = plan  # nobody is later than before; perhaps somebody can be sooner
            hit |= set(plan.late)
            break
        if limit.over():
            break
    if 0 < len(late) <= FEW_LATE:
        rings = list(_rings(grid, loose | _of_orders(grid, late), hit | set(late)))
        kept = {name: at for name, at in kept.items() if name not in rings[0]}
    elif late:
        rings.append({grid.ids[i] for i in old} | {grid.ids[i] for i in loose})
    for plan in _late_ones(grid, kept, rings, hit, allowed, limit):
        if plan is not None and (best is None or _worth(problem, plan) < _worth(problem, best)):
            best = plan
            if all(late <= floor.get(name, 0) for name, late in plan.late.items()):
                break  # nobody can be less late, whatever is let go
    return None if best is None else _gone_back(grid, best, old)


def _floor(grid) -> dict[str, int]:
    """Minutes that waits and calendar alone make each order late, whoever else steps back."""
    lo, _, empty = limits.tighten(grid, grid.lo, grid.hi)
    if empty is not None:
        return {}
    ends = [(order, grid.index.get(order.finish)) for order in grid.problem.orders]
    late = {order.id: (lo[i] + grid.dur[i]) * grid.step - order.pickup for order, i in ends if i is not None}
    return {name: minutes for name, minutes in late.items() if minutes > 0}


def _worth(problem, plan):
    """What hurts, soft orders after the others, then how much moves: the less the better."""
    soft = sum(order.weight * plan.late.get(order.id, 0) for order in problem.orders if order.soft)
    rest = [plan.objective[name] for name in ("stale", "moved", "tight", "sessions")]
    return [plan.objective["missed"], plan.objective["lateness"] - soft, soft, *rest]


def _old_slots(grid, wall):
    """Old start slots by task number."""
    return {
        i: wall[name] // grid.step
        for i, name in enumerate(grid.ids)
        if name in wall and wall[name] % grid.step == 0 and wall[name] >= grid.problem.now
    }


def _late_already(grid, old) -> dict[str, int]:
    """Minutes by which orders are late on the wall as it was: no more is asked of them than that. An order
    whose bakes are too old there may be so again.
    """
    found, tasks = {}, {task.id: task for task in grid.problem.tasks}
    ends = {grid.ids[i]: (slot + grid.dur[i]) * grid.step for i, slot in old.items()}
    ends |= {name: tasks[name].start + tasks[name].minutes for name in grid.fact}
    for order in grid.problem.orders:
        end = ends.get(order.finish)
        if end is None or order.soft:
            continue
        due = order.pickup if order.event is None else min(order.pickup, order.event)
        stale = any(max(order.pickup, end) - ends[name] > order.keeps for name in order.bakes if name in ends)
        late = max(0, end - due, grid.step if stale else 0)
        if late:
            found[order.id] = late
    return found


def _loose(grid, old, late) -> set[int]:
    """Tasks that have no old start, or cannot keep it beside the others with nobody later than before."""
    schedule, loose = Schedule(grid), set(range(grid.n)) - set(old)
    lo, hi = limits.on_time(grid, extra=late)
    for i in sorted(old, key=lambda i: (old[i], i)):
        if not (lo[i] <= old[i] <= hi[i] and schedule.room(i, old[i], old[i]) and schedule.put(i, old[i])):
            loose.add(i)
    return loose


def _of_orders(grid, names) -> set[int]:
    return {i for i, task in enumerate(grid.tasks) if not set(names).isdisjoint(task.orders)}


def _rings(grid, loose, hit):
    """Growing sets of task names to let go."""
    orders = sorted(grid.problem.orders, key=lambda order: (order.pickup, order.id))
    places = [k for k, order in enumerate(orders) if order.id in hit]
    seen: set[frozenset[str]] = set()
    for free in ({grid.ids[i] for i in loose}, _followers(grid, loose)):
        if frozenset(free) not in seen:
            seen.add(frozenset(free))
            yield free
    far = sorted(range(len(orders)), key=lambda k: min((abs(k - place) for place in places), default=k))
    for count in NEAR:
        near = hit | {orders[k].id for k in far[: count + len(places)]}
        free = {task.id for i, task in enumerate(grid.tasks) if i in loose or near.intersection(task.orders)}
        if frozenset(free) not in seen:
            seen.add(frozenset(free))
            yield free


def _followers(grid, loose):
    """The loose tasks and all that waits for them."""
    found, todo = set(), list(loose)
    while todo:
        i = todo.pop()
        if i not in found:
            found.add(i)
            todo += [j for _, j, _, _ in grid.succ[i]]
    return {grid.ids[i] for i in found}


def _whole(grid, part, slots):
    """A plan of the whole from start slots of a part."""
    starts = part.starts_of(slots)
    return checked(grid, [starts[name] // grid.step for name in grid.ids])


def _late_ones(grid, kept, rings, hit, allowed, limit):
    """Plans in which somebody is late: ring by ring as they fit, or the hit orders put in one by one.

    However full the studio is, what is let go finds a place when it is placed forward; so that comes first,
    and searching for less lateness after it, as long as there is time. With nothing else left, all is placed
    anew.
    """
    parts, any_yet = [], False
    for free in rings:
        part = Grid(let_go(grid.problem, kept, free))
        found = forward_plan(part, rounds=2, stop=limit.long_over)
        parts.append(part)
        any_yet = any_yet or found is not None
        yield None if found is None else _whole(grid, part, part.slots_of(found.starts))
        if limit.long_over() or (any_yet and limit.over()):
            return
    if not any_yet:
        yield forward_plan(grid, rounds=2, stop=limit.long_over)
    rest = without_orders(grid.problem, hit)
    others = {task.id: kept[task.id] for task in rest.tasks if task.id in kept}
    if not limit.over() and len(others) == sum(1 for task in rest.tasks if task.state == "todo"):
        yield put_in_one_by_one(grid, others, set(), limit.over, limit.long_over)
    for part in parts:
        if limit.over():
            return
        slots = _least_late(part, hit, allowed, limit)
        yield None if slots is None else _whole(grid, part, slots)


def _least_late(grid, hit, floor, limit):
    """Start slots in which the orders that do not fit get more time, and then only as much as they need.

    `floor` are the minutes that orders may be late in any case.
    """
    extra = {order.id: floor.get(order.id, 0) for order in grid.problem.orders}
    soft = [order.id for order in grid.problem.orders if order.soft]
    slots, tries = None, 0
    while slots is None and tries < 24:
        tries += 1
        slots, failed = _placed(grid, extra)
        if slots is None:
            names = [name for name in failed if name in hit] or list(failed) or list(extra)
            for name in {*names, *(() if tries % 2 else soft)}:
                extra[name] = floor.get(name, 0) + max(FIRST_STEP, 2 * (extra[name] - floor.get(name, 0)))
        if limit.over():
            break
    if slots is None:
        return None
    for name in sorted(
        (name for name in extra if extra[name]), key=lambda name: (name in soft, -extra[name])
    ):
        least = max(floor.get(name, 0), extra[name] // 2 if extra[name] > FIRST_STEP else 0)
        most = extra[name]
        while most - least > grid.step and not limit.over():
            middle = (least + most) // 2
            better, _ = _placed(grid, {**extra, name: middle})
            least, most, slots = (middle, most, slots) if better is None else (least, middle, better)
        extra[name] = most
    return slots


def _placed(grid, extra):
    """(slots, ()) with every order at most its `extra` minutes late, or (None, orders that did not fit)."""
    given = {name: minutes for name, minutes in extra.items() if minutes}
    lo, hi, empty = limits.tighten(grid, *limits.on_time(grid, soft=True, extra=given))
    if empty is not None:
        return None, grid.tasks[empty].orders
    rank = first_ranks(grid, hi)
    for turn in range(ROUNDS):
        schedule, failed = place_all(grid, lo, hi, rank)
        if failed is None:
            return schedule.starts, ()
        push_forward(grid, rank, failed, turn)
    return None, grid.tasks[failed].orders


def _gone_back(grid, plan, old):
    """The plan with every job back in its old place that can be there beside the others, nobody worse."""
    slots = grid.slots_of(plan.starts)
    schedule = Schedule(grid)
    for i, slot in enumerate(slots):
        if not schedule.put(i, slot):
            return plan
    lo, hi = limits.no_worse(grid, plan.starts)
    for turn in range(3):
        moved = sorted((i for i in old if schedule.starts[i] != old[i]), key=lambda i: (old[i], i))
        back = 0
        for i in moved if turn % 2 else reversed(moved):
            here = schedule.starts[i]
            schedule.take_out(i)
            if lo[i] <= old[i] <= hi[i] and schedule.room(i, old[i], old[i]) and schedule.put(i, old[i]):
                back += 1
            else:
                schedule.put(i, here)
        if not back:
            break
    better = checked(grid, schedule.starts)
    if better is None or _worth(grid.problem, better)[:4] > _worth(grid.problem, plan)[:4]:
        return plan
    return better
