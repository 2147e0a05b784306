"""Can this order be promised? Yes with a checked plan, no with a reason, or unknown: then do not promise."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from . import limits
from .backward import checked, first_ranks, place_all, quick
from .certificate import reason_for_no
from .changes import changes
from .clock import Clock
from .conflict import conflict
from .first import on_time_plan
from .grid import Grid
from .hard import NO, UNKNOWN, YES
from .model import Model
from .moves import BIG, let_go
from .parts import with_order
from .plan import Plan, plan_to_json
from .verify import verify

FIRST_ROUNDS = 14  # of placing, before anything is proved: nearly all that placing finds it finds by then
REASON = 0.5  # seconds for a smallest set of orders that do not fit together
NO_WAY = {"kind": "search", "orders": [], "sentence": "Every way of placing the work was ruled out."}


@dataclass(frozen=True, slots=True)
class Promise:
    """The answer with its plan, or why not and the earliest hand-over that would do.

    `earliest` is in minutes after the origin, from a checked plan; None when none was found.
    `spare_minutes` (with a yes) is how long before its pickup the order could be ready.
    """

    answer: str
    plan: Plan | None = None
    why: Mapping | None = None
    earliest: int | None = None
    changes: tuple = ()
    spare_minutes: int | None = None


def promise(
    problem,
    order_id=None,
    *,
    seconds=2.0,
    seed=1,
    workers=2,
    plan=None,
    earliest=True,
    look_for=0.0,
    variants=(),
) -> Promise:
    """Say whether every hard order of `problem` can be on time, the order `order_id` among them.

    Parameters
    ----------
    order_id : str or None
        The order asked about, for `earliest` and `spare_minutes`; by default the last one of the problem.
    seconds : float
        Limit [s] for the answer; a reason, and the earliest hand-over, may take half as long again each.
    plan : Plan or None
        A plan known already, perhaps without the work of the new order: it is the answer when it has
        everyone on time, and the new work is put into it where that works.
    earliest : bool
        Look for the earliest hand-over when the answer is not yes.
    look_for : float
        Seconds in which changes that would make it fit are looked for, 0 for none.
    variants : iterable of (dict, Problem)
        Changes that the caller knows how to make; see `changes`.

    Raises
    ------
    KeyError
        When there is no such order.
    """
    order = _order(problem, order_id)
    grid = Grid(problem)
    answer, found, why = answer_for(grid, Clock(seconds), plan=plan, order=order, seed=seed, workers=workers)
    if answer == YES:
        return Promise(YES, found, spare_minutes=None if order is None else _spare(grid, order, found))
    if answer == NO and why is None:
        clock, keep = Clock(min(REASON, seconds / 2)), None if order is None else order.id
        why = conflict(problem, clock, keep=keep, seed=seed, workers=workers) or NO_WAY
    if order is None:
        return Promise(answer, None, why)
    first = None
    if earliest:
        first = earliest_pickup(problem, order.id, seconds=seconds / 2, seed=seed, workers=workers)
    options = {"seconds": look_for, "seed": seed, "workers": workers}
    found = tuple(changes(problem, order.id, variants=variants, **options)) if look_for else ()
    found = tuple(sorted(found, key=lambda change: change["cost_minutes"]))
    return Promise(answer, None, why, None if first is None else first[0], found)


def _order(problem, order_id):
    orders = {order.id: order for order in problem.orders}
    if order_id is None:
        return problem.orders[-1] if problem.orders else None
    return orders[order_id]


def answer_for(grid, clock, *, plan=None, order=None, seed=1, workers=2):
    """Return (YES | NO | UNKNOWN, checked plan with everyone on time or None, certificate or None)."""
    why = _late_already(grid)
    if why is not None:
        return NO, None, why
    starts = {} if plan is None else dict(plan.starts)
    if starts and not verify(grid.problem, starts) and _on_time(grid, grid.slots_of(starts)):
        return YES, checked(grid, grid.slots_of(starts)), None
    why = reason_for_no(grid, *limits.on_time(grid))
    if why is not None:
        return NO, None, why
    slots = quick(grid, rounds=FIRST_ROUNDS)
    if slots is not None:
        return YES, checked(grid, slots), None
    placed = insert(grid, starts, order, clock, seed, workers) if starts and order is not None else None
    if placed is not None:
        return YES, placed, None
    slots = quick(grid, stop=clock.over) if grid.n > BIG else None  # the solver is better at small ones
    if slots is not None:
        return YES, checked(grid, slots), None
    answer, slots = on_time_plan(grid, clock, seed=seed, workers=workers)
    return answer, None if slots is None else checked(grid, slots), None


def _late_already(grid):
    """A hard order whose finish is pinned, running or done and ends too late: no plan changes that."""
    for order in grid.problem.orders:
        end = grid.fact.get(order.finish, (0, None))[1]
        if end is not None and not order.soft and end > grid.due(order) * grid.step:
            return {
                "kind": "fact",
                "task": order.finish,
                "orders": [order.id],
                "ready": end,
                "pickup": order.pickup,
                "sentence": f"{order.finish} is fixed and ends at {end}; {order.id} is due {order.pickup}.",
            }
    return None


def insert(grid, starts, order, clock, seed=1, workers=2):
    """A plan with the work of `order` put into the plan `starts`, up to ten other orders let go; or None.

    Failing says nothing: the neighbours may have to move further.
    """
    problem = grid.problem
    known = {task.id for task in grid.tasks if task.id in starts and order.id not in task.orders}
    others = sorted(
        (one for one in problem.orders if one.id != order.id), key=lambda one: abs(one.pickup - order.pickup)
    )
    for count in (0, 4, 10):
        near = {one.id for one in others[:count]}
        free = {task.id for task in grid.tasks if task.id not in known or near.intersection(task.orders)}
        part = Grid(let_go(problem, starts, free))
        slots = quick(part, rounds=6)
        if slots is None:
            _, slots = on_time_plan(part, clock.part(0.1, 0.15), seed=seed, workers=workers)
        if slots is not None:
            whole = part.starts_of(slots)
            found = checked(grid, [whole[name] // grid.step for name in grid.ids])
            if found is not None and _on_time(grid, grid.slots_of(found.starts)):
                return found
        if count >= len(others):
            break
    return None


def _on_time(grid, slots):
    lo, hi = limits.on_time(grid)
    return all(a <= s <= b for a, s, b in zip(lo, slots, hi, strict=True))


def _spare(grid, order, plan):
    """Minutes before pickup at which the order could be ready, the others staying on time."""
    finish = grid.index.get(order.finish)
    if finish is None:
        return None
    end = plan.starts[order.finish] + grid.tasks[finish].minutes
    sooner = soonest(grid, order)
    if sooner is not None:
        end = min(end, (sooner[finish] + grid.dur[finish]) * grid.step)
    return order.pickup - end


def soonest(grid, order):
    """Slots with the others on time at their latest and `order` as early as it then fits, or None."""
    mine = {i for i, task in enumerate(grid.tasks) if set(task.orders) == {order.id}}
    lo, hi, empty = limits.tighten(grid, *limits.on_time(grid, leave_out={order.id}))
    if empty is not None:
        return None
    rank = first_ranks(grid, hi)
    for i in mine:
        rank[i] = grid.n
    schedule, failed = place_all(grid, lo, hi, rank)
    if failed is not None and failed not in mine:
        return None
    for i in mine:
        schedule.take_out(i)
    for i in limits.forward_order(grid):
        if i in mine and not schedule.put_earliest(i, lo[i], hi[i]):
            return None
    return schedule.starts


def earliest_pickup(problem, order_id, *, seconds=2.0, seed=1, workers=2):
    """Return (minutes, plan): the earliest pickup of an order with all others on time, or None.

    The plan is one of the problem with the order's pickup moved there (its event left out). It is the
    earliest that was found; the search is exact when the time suffices.
    """
    clock = Clock(seconds)
    order = next(one for one in problem.orders if one.id == order_id)
    moved = with_order(problem, replace(order, pickup=_end_of_time(problem), event=None, spare=0))
    grid = Grid(moved)
    finish = grid.index.get(order.finish)
    if finish is None:
        return None
    lo, hi, empty = limits.tighten(grid, *limits.on_time(grid, leave_out={order_id}))
    if empty is not None:
        return None
    slots = _freshened(grid, order, soonest(grid, order), lo, hi)
    best = None if slots is None else _at(problem, order, grid, slots)
    model = Model(grid, lo, hi)
    for name in order.bakes:
        bake = grid.index.get(name)
        if bake is not None:
            gap = grid.down(order.keeps) + grid.dur[bake] - grid.dur[finish]
            model.model.add(model.start[finish] - model.start[bake] <= gap)
    model.model.minimize(model.start[finish])
    if slots is not None:
        model.hint(slots)
    _, found, _ = clock.run(model, seed=seed, workers=workers)
    other = None if found is None else _at(problem, order, grid, found)
    answers = [one for one in (best, other) if one is not None]
    return min(answers, key=lambda one: one[0], default=None)


def _end_of_time(problem):
    last = max([one.end for one in problem.windows] + [problem.now])
    return min(last, problem.horizon) // problem.step * problem.step


def _freshened(grid, order, slots, lo, hi):
    """The slots with the order's tasks as late as its finish allows, so that its bakes are fresh."""
    if slots is None:
        return None
    from .schedule import Schedule

    schedule = Schedule(grid)
    mine = {i for i, task in enumerate(grid.tasks) if set(task.orders) == {order.id}}
    for i in limits.forward_order(grid):
        if not schedule.put(i, slots[i]):
            return slots
    finish = grid.index[order.finish]
    for i in reversed(limits.forward_order(grid)):
        if i in mine and i != finish:
            schedule.take_out(i)
            if not schedule.put_latest(i, lo[i], hi[i]):
                schedule.put(i, slots[i])
    return schedule.starts


def _at(problem, order, grid, slots):
    """(pickup, plan) when the order is handed over as soon as it is ready, or None when a rule is broken."""
    finish = grid.index[order.finish]
    pickup = (slots[finish] + grid.dur[finish]) * grid.step
    fixed = Grid(with_order(problem, replace(order, pickup=pickup, event=None)))
    plan = checked(fixed, slots)
    return (pickup, plan) if plan is not None and _on_time(fixed, slots) else None


def promise_to_json(answer: Promise) -> dict:
    """Return the JSON form of an answer."""
    return {
        "answer": answer.answer,
        "plan": plan_to_json(answer.plan),
        "why": None if answer.why is None else dict(answer.why),
        "earliest": answer.earliest,
        "changes": [
            {key: value for key, value in change.items() if key != "problem"}
            | {"plan": plan_to_json(change["plan"])}
            for change in answer.changes
        ],
        "spare_minutes": answer.spare_minutes,
    }


__all__ = ["NO", "UNKNOWN", "YES", "Promise", "earliest_pickup", "promise", "promise_to_json"]
