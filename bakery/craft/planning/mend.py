"""From a plan that no longer fits (an evening lost, a tool out, a job not done) to one that moves little."""

from __future__ import annotations

from .backward import checked
from .grid import Grid
from .limits import on_time
from .moves import let_go
from .overload import put_in_one_by_one
from .parts import without_orders
from .plan import Plan
from .schedule import Schedule


def mend(grid, wall, clock, *, seed=1, workers=2) -> Plan | None:
    """Keep what can stay of the old starts `wall` and place the rest anew; None when that is not found.

    First only the work that cannot stay is moved, then all of the orders it belongs to, then their
    neighbours. Where not everything can be on time, the orders that were hit are put in as early as can be.
    """
    loose = _loose(grid, wall)
    if not loose:
        return checked(grid, [wall[name] // grid.step for name in grid.ids])
    hit = {name for i in loose for name in grid.tasks[i].orders}
    kept = {grid.ids[i]: wall[grid.ids[i]] for i in range(grid.n) if i not in loose}
    kept |= {one.id: one.start for one in grid.problem.tasks if one.pinned and one.state == "todo"}
    for free in _rings(grid, loose, hit):
        plan = _around(grid, kept, free, clock, seed, workers)
        if plan is not None:
            return plan
    rest = without_orders(grid.problem, hit)
    kept = {task.id: kept[task.id] for task in rest.tasks if task.id in kept}
    return (
        put_in_one_by_one(grid, kept, set())
        if len(kept) == len([t for t in rest.tasks if t.free or t.pinned])
        else None
    )


def _loose(grid, wall):
    """The numbers of tasks that cannot keep their old start beside the others."""
    schedule, loose = Schedule(grid), set()
    known = [i for i in range(grid.n) if grid.ids[i] in wall and wall[grid.ids[i]] % grid.step == 0]
    lo, hi = on_time(grid)
    for i in sorted(known, key=lambda i: (wall[grid.ids[i]], i)):
        slot = wall[grid.ids[i]] // grid.step
        if not (lo[i] <= slot <= hi[i] and schedule.room(i, slot, slot) and schedule.put(i, slot)):
            loose.add(i)
    return loose | (set(range(grid.n)) - set(known))


def _rings(grid, loose, hit):
    """Growing sets of task names to let go."""
    yield {grid.ids[i] for i in loose}
    orders = sorted(grid.problem.orders, key=lambda order: order.pickup)
    places = [k for k, order in enumerate(orders) if order.id in hit]
    for count in (0, 4, 10):
        near = set(hit)
        if places:
            far = sorted(range(len(orders)), key=lambda k: min(abs(k - place) for place in places))
            near |= {orders[k].id for k in far[: count + len(places)]}
        yield {task.id for i, task in enumerate(grid.tasks) if i in loose or near.intersection(task.orders)}
        if len(near) == len(orders):
            return


def _around(grid, kept, free, clock, seed, workers):
    """A plan with everyone on time in which only the tasks `free` may stand elsewhere than in `kept`."""
    from .first import on_time_plan
    from .promise import quick

    part = Grid(let_go(grid.problem, kept, free))
    slots = quick(part, rounds=6)
    if slots is None and part.n < grid.n:
        _, slots = on_time_plan(part, clock, share=0.1, seed=seed, workers=workers)
    if slots is None:
        return None
    whole = part.starts_of(slots)
    plan = checked(grid, [whole[name] // grid.step for name in grid.ids])
    lo, hi = on_time(grid)
    if plan is None or any(
        not a <= s <= b for a, s, b in zip(lo, grid.slots_of(plan.starts), hi, strict=True)
    ):
        return None
    return plan
