"""However full a studio is there is a plan: by placing forward alone, and from the solver in no time."""

import random

import pytest

from bakery.craft.planning import Blocked, Hold, Lag, Order, limits, measure, solve, verify
from bakery.craft.planning.forward import forward_plan
from bakery.craft.planning.grid import Grid
from bakery.craft.planning.plan import MEASURES

from .brute import every_plan
from .makers import problem, studio, task, tiny


def impossible(found) -> bool:
    """True when some task has no start at all by waits and calendar: a proof that there is no plan."""
    grid = Grid(found)
    return limits.tighten(grid, grid.lo, grid.hi)[2] is not None


def full_studio(seed):
    """A studio with half as much to twice as much work as its evenings hold."""
    rng = random.Random(seed)
    return studio(
        rng.choice([3, 5, 8, 12]),
        load=rng.uniform(0.5, 2.0),
        seed=seed,
        hands=rng.choice([1, 1, 2]),
        both=rng.random() < 0.3,
    )


MANY = [pytest.param(tens, marks=[pytest.mark.slow] if tens >= 4 else []) for tens in range(20)]


@pytest.mark.parametrize("tens", MANY)
def test_placing_forward_and_the_solver_find_a_plan_for_ten_studios(tens):
    for seed in range(10 * tens, 10 * tens + 10):
        kitchen = full_studio(seed)
        assert not impossible(kitchen)
        plan = forward_plan(Grid(kitchen))
        assert plan is not None, f"studio {seed}"
        assert verify(kitchen, plan) == []
        solved = solve(kitchen, deterministic=0.001, seed=seed, workers=1)
        assert solved, f"studio {seed} has no plan"
        assert verify(kitchen, solved) == []
        # The solver had it to choose from: in strict order of the objectives it is never worse.
        assert [solved.objective[k] for k in MEASURES] <= [plan.objective[k] for k in MEASURES]


@pytest.mark.parametrize("seed", range(150))
def test_no_tiny_problem_that_has_a_plan_is_left_without(seed):
    found = tiny(seed)
    plan = forward_plan(Grid(found))
    if plan is not None:
        assert verify(found, plan) == []
        assert measure(found, plan.starts)["objective"] == dict(plan.objective)
    plans = every_plan(found)
    if plans is not None:  # few enough candidates to try them all
        assert bool(solve(found, deterministic=0.05, workers=1)) == bool(plans)


def test_a_longest_wait_moves_the_work_before_it_into_a_later_evening():
    # Mixing fits into the first evening, but flooding only into the second, and the icing keeps 60 minutes.
    tasks = [task("mix", 20), task("flood", 50)]
    kitchen = problem(tasks, [(0, 40), (200, 280)], lags=[Lag("mix", "flood", 0, 60, "icing keeps")])
    plan = forward_plan(Grid(kitchen))
    assert verify(kitchen, plan) == []
    assert plan.starts["mix"] >= 200


def test_an_order_waits_for_the_rack_when_another_stands_on_it():
    tasks = [task("a", 10), task("b", 10), task("c", 10, orders=("o2",)), task("d", 10, orders=("o2",))]
    kitchen = problem(
        tasks,
        [(0, 60), (200, 260)],
        [Order("o1", 50, None, "b"), Order("o2", 60, None, "d")],
        resources={"rack": 1},
        lags=[Lag("a", "b", 20), Lag("c", "d", 20)],
        holds=[Hold("rack", 1, "a", "b"), Hold("rack", 1, "c", "d")],
    )
    plan = forward_plan(Grid(kitchen))
    assert verify(kitchen, plan) == []
    assert plan.starts["c"] + 10 >= plan.starts["b"]


def test_shared_work_that_keeps_no_longer_is_placed_again_with_the_second_order():
    """One dough for two orders, and the second cannot be baked before the third evening."""
    tasks = [
        task("dough", 20, orders=("o1", "o2")),
        task("one", 20, orders=("o1",)),
        task("two", 60, orders=("o2",)),
    ]
    kitchen = problem(
        tasks,
        [(0, 50), (100, 150), (300, 420)],
        [Order("o1", 50, None, "one"), Order("o2", 400, None, "two")],
        lags=[Lag("dough", "one", 0, 150), Lag("dough", "two", 0, 150)],
    )
    plan = forward_plan(Grid(kitchen))
    assert verify(kitchen, plan) == []
    assert plan.late["o1"] > 0


def test_work_longer_than_every_evening_has_no_plan_and_that_is_proved():
    kitchen = problem([task("long", 90), task("short", 10)], [(0, 60), (100, 160)])
    assert impossible(kitchen)
    assert forward_plan(Grid(kitchen)) is None
    assert not solve(kitchen, seconds=0.2)


def test_an_order_that_finds_no_place_goes_in_sooner():
    """Placed first, the order due first takes the only evening in which the other one can use the oven."""
    tasks = [task("a", 40), task("b", 40, orders=("o2",), uses={"oven": 1})]
    kitchen = problem(
        tasks,
        [(0, 40), (100, 140)],
        [Order("o1", 10, None, "a"), Order("o2", 500, None, "b")],
        resources={"oven": 1},
        blocked=[Blocked("oven", 1, 100, 140)],
    )
    plan = forward_plan(Grid(kitchen))
    assert verify(kitchen, plan) == []
    assert dict(plan.starts) == {"a": 100, "b": 0}


def test_work_of_no_order_that_finds_no_place_is_no_plan_and_no_fall():
    """Sheets to wash for nobody in particular, and the one evening is full of what somebody waits for."""
    tasks = [task("a", 60), task("sheets", 30, orders=())]
    kitchen = problem(tasks, [(0, 60)], [Order("o1", 60, None, "a")])
    assert forward_plan(Grid(kitchen)) is None
    assert not solve(kitchen, seconds=0.2)
