"""The first answer to a bad night: checked, near the wall, and never late where nobody has to be."""

import random
from dataclasses import replace

import pytest

from bakery.craft.planning import Lag, Order, Window, backward_pass, measure, solve, verify
from bakery.craft.planning.grid import Grid
from bakery.craft.planning.parts import without_window
from bakery.craft.planning.repair import repair
from bakery.craft.planning.verify import _window_finder

from .makers import problem, studio, task, tiny


def moved(problem, old, new):
    """Tasks that left their window."""
    window = _window_finder(problem)
    return {name for name in old if name in new and window(old[name]) != window(new[name])}


def without_next_session(problem):
    number = next(
        k for k, w in enumerate(problem.windows) if w.longest is None and w.end > problem.now and w.hands
    )
    return without_window(problem, number)


def test_a_plan_that_still_holds_is_left_as_it_is():
    problem = studio(12, load=0.5, seed=3)
    wall = dict(backward_pass(problem).starts)
    assert dict(repair(replace(problem, wall=wall), wall).starts) == wall


@pytest.mark.parametrize("seed", [0, 1, *(pytest.param(n, marks=pytest.mark.slow) for n in range(2, 6))])
def test_a_lost_evening_moves_little_and_nobody_is_late_where_the_solver_finds_nobody_late(seed):
    problem = studio(12, load=0.5, seed=seed)
    wall = dict(backward_pass(problem).starts)
    lost = replace(without_next_session(problem), wall=wall)
    found = repair(lost, wall, seconds=5)
    assert found is not None
    assert verify(lost, found) == []
    best = solve(lost, seconds=3, hint=found)
    assert found.objective["missed"] <= best.objective["missed"]
    assert found.objective["lateness"] <= best.objective["lateness"] + 60
    window = _window_finder(lost)
    homeless = {name for name, at in wall.items() if window(at) is None}
    assert homeless <= moved(problem, wall, found.starts)
    assert len(moved(problem, wall, found.starts)) <= max(12, 4 * len(homeless))


@pytest.mark.parametrize("seed", range(60))
def test_whatever_comes_out_of_a_tiny_problem_is_checked(seed):
    problem = tiny(seed)
    rng = random.Random(seed)
    slots = range(0, problem.horizon, problem.step)
    wall = {task.id: rng.choice(slots[:20]) for task in problem.tasks if task.free and rng.random() < 0.8}
    problem = replace(problem, wall=wall)
    found = repair(problem, wall)
    if found is None:
        return
    assert verify(problem, found) == []
    assert measure(problem, found.starts)["objective"] == dict(found.objective)


def test_the_least_lateness_is_found_where_waits_alone_make_one_order_late():
    problem = studio(8, load=0.4, seed=5)
    wall = dict(backward_pass(problem).starts)
    first = min(problem.orders, key=lambda order: order.pickup)
    grid = Grid(problem)
    soon = problem.now + 6 * 60
    orders = [replace(one, pickup=soon, event=None) if one is first else one for one in problem.orders]
    hurried = replace(problem, orders=orders, wall=wall)
    found = repair(hurried, wall, seconds=5)
    assert set(found.late) == {first.id}
    best = solve(hurried, seconds=4, hint=found)
    assert found.objective["lateness"] <= best.objective["lateness"]
    assert grid.n == len(problem.tasks)


def test_work_without_a_place_is_put_in_and_the_rest_stays():
    problem = studio(10, load=0.4, seed=2)
    whole = dict(backward_pass(problem).starts)
    last = max(problem.orders, key=lambda order: order.pickup).id
    wall = {task.id: whole[task.id] for task in problem.tasks if last not in task.orders}
    problem = replace(problem, wall=wall)
    found = repair(problem, wall)
    assert verify(problem, found) == []
    assert {name: found.starts[name] for name in wall} == wall


def three_evenings():
    """Two orders of one job each on evenings 0-60 and 100-160; a third evening is free."""
    tasks = [task("a", 40), task("b", 40, orders=("o2",))]
    orders = [Order("o1", 260, None, "a", spare=0), Order("o2", 260, None, "b", spare=0)]
    return problem(tasks, [(0, 60), (100, 160), (200, 260)], orders)


def test_a_lost_evening_moves_only_its_own_work():
    kitchen = three_evenings()
    wall = {"a": 0, "b": 110}
    lost = replace(without_window(kitchen, 0), wall=wall)
    plan = repair(lost, wall)
    assert verify(lost, plan) == []
    assert plan.starts["b"] == 110
    assert plan.starts["a"] >= 200
    assert measure(lost, plan.starts)["objective"]["moved"] == 1


def test_a_plan_that_still_fits_is_kept_as_it_is():
    kitchen = three_evenings()
    wall = {"a": 10, "b": 110}
    assert dict(repair(kitchen, wall).starts) == wall


def test_where_it_no_longer_fits_only_the_order_that_was_hit_is_late():
    kitchen = three_evenings()
    due = [replace(order, pickup=160) for order in kitchen.orders]
    lost = replace(without_window(kitchen, 0), orders=due, wall={"a": 0, "b": 110})
    plan = solve(lost, seconds=3)
    assert plan.late == {"o1": 80}
    assert plan.starts["b"] <= 120


def test_a_sick_night_in_a_whole_kitchen():
    kitchen = studio(12, seed=4, load=0.5)
    plan = backward_pass(kitchen)
    first = next(k for k, window in enumerate(kitchen.windows) if window.longest is None)
    busy = next(k for k in range(first, len(kitchen.windows)) if _works_in(kitchen, plan, kitchen.windows[k]))
    lost = replace(without_window(kitchen, busy), wall=plan.starts)
    mended = repair(lost, dict(plan.starts))
    assert mended is not None
    assert verify(lost, mended) == []
    moved = measure(lost, mended.starts)["objective"]["moved"]
    assert moved < len(kitchen.tasks) / 2


def _works_in(kitchen, plan, window: Window):
    return any(window.start <= start < window.end for start in plan.starts.values())


def test_done_work_and_new_work_are_no_hindrance():
    tasks = [task("a", 40, state="done", start=3), task("b", 40), task("new", 20, orders=("o2",))]
    tasks[0] = replace(tasks[0], minutes=37, attended=37)
    kitchen = problem(tasks, [(0, 60), (100, 160)], now=50, lags=[Lag("a", "b", 40)])
    plan = repair(kitchen, {"a": 0, "b": 100, "gone": 20})
    assert verify(kitchen, plan) == []
    assert plan.starts["b"] == 100
