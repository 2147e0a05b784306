"""Against exhaustive search on tiny random problems: every answer equal, no false verdict."""

import pytest

from bakery.craft.planning import limits, may_stop, measure, promise, solve, tonight, verify
from bakery.craft.planning.assignment import Assignment
from bakery.craft.planning.clock import Clock
from bakery.craft.planning.conflict import conflict
from bakery.craft.planning.grid import Grid
from bakery.craft.planning.parts import without_orders
from bakery.craft.planning.tonight import end_of_tonight

from .brute import every_plan, key
from .makers import tiny

FOUND = (3526,)  # once brought out a mistake: windows that touch
NORMAL, MANY = (*range(115), *FOUND), range(1000, 3000)


def agree(seed):
    """Compare all answers on one problem; True when it could be searched."""
    problem = tiny(seed)
    plans = every_plan(problem)
    if plans is None:
        return False
    _same_promise(problem, plans)
    if not plans:
        assert solve(problem, seconds=5).status == "none"
        assert tonight(problem, seconds=5).plan is None
        return True
    plan = solve(problem, seconds=20)
    assert verify(problem, plan) == []
    assert plan.status == "best"
    assert key(measure(problem, plan.starts)) == min(key(found) for _, found in plans)
    _same_evening(problem, plans)
    return True


def _same_promise(problem, plans):
    on_time = any(_everyone_on_time(problem, starts, found) for starts, found in plans)
    answer = promise(problem, seconds=5, earliest=False)
    assert answer.answer == ("yes" if on_time else "no")


def _everyone_on_time(problem, starts, found):
    """No hard order late or missed, and nothing stale that is still to be baked."""
    tasks = {task.id: task for task in problem.tasks}
    hard = [order for order in problem.orders if not order.soft]
    if found["objective"]["missed"] or any(order.id in found["late"] for order in hard):
        return False
    return all(
        order.pickup - (starts[name] + tasks[name].minutes) <= order.keeps
        for order in hard
        for name in order.bakes
        if tasks[name].free
    )


def _same_evening(problem, plans):
    best = min(key(found)[:4] for _, found in plans)
    good = [
        starts for starts, found in plans if all(a <= b for a, b in zip(key(found)[:4], best, strict=True))
    ]
    until = end_of_tonight(problem)
    answer = tonight(problem, seconds=20)
    todo = [task for task in problem.tasks if task.state == "todo"]
    for task in todo:
        latest = max(starts[task.id] for starts in good)
        verdict = answer.tasks.get(task.id)
        if verdict is None:
            assert latest >= until
            continue
        assert verdict.proved
        assert verdict.verdict == ("must" if latest < until else "can_wait")
        assert verdict.latest_start == latest
        assert verdict.because
    least = min(sum(task.attended for task in todo if starts[task.id] < until) for starts in good)
    assert (answer.least_minutes.value, answer.least_minutes.proved) == (least, True)
    free = [task.id for task in todo if not task.pinned]
    can_stop = any(all(starts[name] >= until for name in free) for starts in good)
    assert may_stop(problem, seconds=20).answer == ("yes" if can_stop else "no")


def test_every_answer_equals_exhaustive_search():
    assert sum(agree(seed) for seed in NORMAL) >= 100


@pytest.mark.slow
def test_every_answer_equals_exhaustive_search_on_2000_problems():
    searched = sum(agree(seed) for seed in MANY)
    assert searched >= 1800


def refusals(seeds):
    """Seeds at which the relaxation by windows refuses what some plan does."""
    wrong = []
    for seed in seeds:
        problem = tiny(seed)
        plans = every_plan(problem)
        if not plans:
            continue
        grid = Grid(problem)
        lo, hi, _ = limits.tighten(grid, grid.lo, grid.hi)
        work = Assignment(grid, lo, hi)
        _, worked, bound = work.solve(workers=1)
        least = min(found["objective"]["sessions"] for _, found in plans)
        if worked is None or bound > least:
            wrong.append(seed)
    return wrong


def test_the_relaxation_by_windows_never_refuses_a_plan():
    # 6015: a tray pinned into a night comes to stand there only after the work that puts it down.
    assert refusals((*range(3500, 3540), *range(60), 6015)) == []


@pytest.mark.slow
def test_the_relaxation_by_windows_never_refuses_one_of_many_plans():
    assert refusals(range(5000, 7000)) == []


def test_orders_that_are_said_not_to_fit_together_do_not():
    asked = 0
    for seed in range(140):
        problem = tiny(seed)
        plans = every_plan(problem)
        if plans is None:
            continue
        if any(_everyone_on_time(problem, starts, found) for starts, found in plans):
            grid = Grid(problem)
            lo, hi, _ = limits.tighten(grid, *limits.on_time(grid))
            work = Assignment(grid, lo, hi, {order.id: 1 for order in problem.orders})
            assert work.core(seconds=5) is None, seed
            continue
        names = conflict(problem, Clock(5))["orders"]
        others = {order.id for order in problem.orders if not order.soft}.difference(names)
        part = without_orders(problem, others)
        left = every_plan(part)
        if left is not None:
            asked += 1
            assert not any(_everyone_on_time(part, starts, found) for starts, found in left), seed
    assert asked > 20
