"""When not everything fits on time: whom to let be late, and how little."""

from __future__ import annotations

from . import limits
from .assignment import MOST, Assignment, choices
from .backward import checked, place_group
from .forward import put_in_early
from .grid import Grid
from .model import FEW
from .parts import without_orders
from .plan import Plan
from .schedule import Schedule

DAY = 1440


def least_late(grid, clock, *, seed=1, workers=2, give_up=None) -> Plan | None:
    """A plan with some orders late, or None when none was found before `give_up` said yes.

    Which orders to give up is asked of the windows first. The others are placed on time, all at once where
    that is found, else one by one; then the late ones, each as early as it fits.
    """
    out = hopeless(grid)
    if out is None:
        return None
    given_up = out | set(_fewest_late(grid, out, clock, seed, workers))
    together = _together(grid, given_up, clock, seed, workers)
    plans = [put_in_one_by_one(grid, together, given_up, clock.over, give_up)]
    if together and not clock.over():
        plans.append(put_in_one_by_one(grid, {}, out, clock.over, give_up))
    return min((plan for plan in plans if plan is not None), key=worth, default=None)


def worth(plan) -> list[int]:
    """The objectives in strict order, to compare plans by."""
    return list(plan.objective.values())


def _together(grid, out, clock, seed, workers):
    """Starts with all orders but `out` on time, or none at all."""
    from .backward import quick
    from .first import on_time_plan

    kept = without_orders(grid.problem, out)
    if not kept.orders:
        return {}
    part = Grid(kept)
    slots = quick(part, stop=clock.over)
    if slots is None:
        _, slots = on_time_plan(part, clock, share=0.2, seed=seed, workers=workers)
    return {} if slots is None else part.starts_of(slots)


def put_in_one_by_one(grid, starts, out, stop=None, give_up=None):
    """Put in the orders that `starts` lacks, those in `out` last, by weight and pickup; a plan or None.

    Once `stop` says yes, the rest goes in as it comes, without a search for a place on time; once `give_up`
    does, there is no plan.
    """
    schedule = Schedule(grid)
    for i in limits.forward_order(grid):
        name = grid.ids[i]
        if name in starts and not schedule.put(i, starts[name] // grid.step):
            return None
    missing = {i for i in range(grid.n) if schedule.starts[i] is None}
    lacking = {name for i in missing for name in grid.tasks[i].orders}
    waiting = sorted(
        (order for order in grid.problem.orders if order.id in lacking),
        key=lambda order: (order.id in out, order.soft, -order.weight, order.pickup),
    )
    on_time, put_off = [order for order in waiting if order.id not in out], []
    for order in on_time:  # whoever does not fit on time waits, so as not to take the others' place
        late = stop is not None and stop()
        if late or not _try(grid, schedule, _members(grid, schedule, order), order, 0):
            put_off.append(order)
    for order in [*put_off, *(order for order in waiting if order.id in out), None]:
        members = _members(grid, schedule, order)
        if members and not _put_in(grid, schedule, members, order, give_up):
            return None
    return checked(grid, schedule.starts)


def _members(grid, schedule, order):
    """The tasks of an order (None: of no order) that are not placed yet."""
    missing = (i for i in range(grid.n) if schedule.starts[i] is None)
    return {i for i in missing if order is None or order.id in grid.tasks[i].orders}


def _put_in(grid, schedule, members, order, give_up=None) -> bool:
    """Put in the tasks `members` of one order, as early as they fit, else as little late as this finds."""
    if put_in_early(grid, schedule, members, anyhow=False, stop=give_up):
        return True
    late = 0
    while not _try(grid, schedule, members, order, late):
        if give_up is not None and give_up():
            return False
        late = max(DAY, late * 2)
        if late > 4 * grid.problem.horizon:
            return False
    least = late // 2
    for _ in range(6):
        if not late or late - least <= 3 * grid.step or (give_up is not None and give_up()):
            break
        middle = (least + late) // 2
        before = {i: schedule.starts[i] for i in members}
        for i in members:
            schedule.take_out(i)
        if _try(grid, schedule, members, order, middle):
            late = middle
        else:
            least = middle
            for i in sorted(before, key=before.get):
                schedule.put(i, before[i])
    return True


def _try(grid, schedule, members, order, late) -> bool:
    """Place `members` with the order at most `late` minutes late; nothing is left placed where that fails."""
    lo, hi = list(grid.lo), list(grid.hi)
    for i, start in enumerate(schedule.starts):
        if start is not None:
            lo[i] = hi[i] = start
    finish = None if order is None else grid.index.get(order.finish)
    if finish is not None:
        due = grid.due(order) if not late and not order.soft else grid.down(order.pickup + late)
        hi[finish] = min(hi[finish], due - grid.dur[finish])
    if order is not None and not late and not order.soft:
        for name in order.bakes:
            bake = grid.index.get(name)
            if bake in members:
                lo[bake] = max(lo[bake], grid.up(order.pickup - order.keeps) - grid.dur[bake])
    return place_group(grid, schedule, lo, hi, members, rounds=8)


def hopeless(grid) -> set[str] | None:
    """Orders that waits and calendar alone make late; None when some task has no start at all."""
    lo, _, empty = limits.tighten(grid, grid.lo, grid.hi)
    if empty is not None:
        return None
    out = set(_too_soon(grid, lo))
    while True:
        _, _, empty = limits.tighten(grid, *limits.on_time(grid, leave_out=out))
        if empty is None:
            return out
        names = set(grid.tasks[empty].orders) - out
        if not names:
            return None
        out |= names


def _too_soon(grid, lo):
    """Orders due before the first moment `lo` at which they can be ready: found at once, not one by one."""
    for order in grid.problem.orders:
        finish = grid.index.get(order.finish)
        if finish is not None and not order.soft and lo[finish] + grid.dur[finish] > grid.due(order):
            yield order.id


def _fewest_late(grid, out, clock, seed, workers):
    """The orders that the windows have no room for, the least weight of them that can be."""
    if grid.n <= FEW or clock.over():
        return []
    weights = {
        order.id: 0 if order.id in out else 1 if order.soft else 1000 * max(1, order.weight)
        for order in grid.problem.orders
    }
    lo, hi, _ = limits.tighten(grid, *limits.on_time(grid, soft=True, leave_out=out))
    if any(a > b or a < 0 for a, b in zip(lo, hi, strict=True)):
        lo, hi, _ = limits.tighten(grid, *limits.on_time(grid, leave_out=out))
    if choices(grid, lo, hi) > MOST:
        return []
    work = Assignment(grid, lo, hi, weights)
    status, _, _ = clock.run(work, 0.2, seed=seed, workers=workers)
    return work.dropped if status in ("optimal", "feasible") else []
