"""Whole kitchens: plans that hold, bounds below plans, the same answer twice, days on which not all fits."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest

from bakery.craft.planning import Order, backward_pass, limits, measure, solve, verify
from bakery.craft.planning.assignment import Assignment
from bakery.craft.planning.grid import Grid
from bakery.craft.planning.sessions import least_sessions

from .brute import every_plan
from .makers import problem, studio, task, tiny


@pytest.mark.parametrize("seed", range(200))
def test_every_first_plan_of_a_random_studio_is_right(seed):
    kitchen = studio(
        3 + seed % 8, seed=seed, load=0.4 + seed % 3 / 10, both=seed % 5 == 0, hands=1 + seed % 2
    )
    plan = backward_pass(kitchen)
    if plan is not None:
        assert verify(kitchen, plan) == []
        assert plan.late == {}
        assert plan.objective["missed"] == plan.objective["stale"] == 0


@pytest.mark.parametrize(("orders", "load"), [(8, 0.5), (12, 0.7), (8, 0.95), (6, 1.2)])
def test_a_solved_studio_is_right_and_no_worse_than_its_bound(orders, load):
    kitchen = studio(orders, load=load, seed=orders)
    plan = solve(kitchen, seconds=1.5)
    assert verify(kitchen, plan) == []
    assert plan.status in ("best", "within", "feasible", "late")
    assert all(plan.bound[name] <= value for name, value in plan.objective.items())
    first = backward_pass(kitchen)
    if first is not None:
        order = list(plan.objective)
        assert [plan.objective[name] for name in order] <= [first.objective[name] for name in order]


def test_the_same_input_and_seed_give_the_same_plan():
    kitchen = studio(6, seed=4, load=0.6)
    one, two = (solve(kitchen, deterministic=0.3, seed=7) for _ in range(2))
    assert one.starts == two.starts
    assert (one.objective, one.bound, one.status) == (two.objective, two.bound, two.status)


def test_the_hint_is_not_made_worse():
    kitchen = studio(5, seed=2)
    best = solve(kitchen, seconds=3)
    again = solve(replace(kitchen, wall=best.starts), hint=best, seconds=2)
    assert again.objective["moved"] == 0
    assert again.objective["sessions"] == best.objective["sessions"]


@pytest.mark.parametrize("seed", range(0, 60))
def test_the_bound_on_sessions_is_below_every_plan(seed):
    kitchen = tiny(seed)
    plans = every_plan(kitchen)
    if not plans:
        return
    grid = Grid(kitchen)
    lo, hi, _ = limits.tighten(grid, grid.lo, grid.hi)
    assert least_sessions(grid, lo, hi) <= min(found["objective"]["sessions"] for _, found in plans)


def test_without_an_order_no_other_comes_later():
    from bakery.craft.planning.parts import without_orders

    for seed in range(8):
        kitchen = tiny(seed * 7 + 3)
        plan = solve(kitchen, seconds=3)
        if not plan or len(kitchen.orders) < 2:
            continue
        for order in kitchen.orders:
            fewer = solve(without_orders(kitchen, [order.id]), seconds=3)
            left = {name: value for name, value in plan.late.items() if name != order.id}
            weights = {one.id: one.weight for one in kitchen.orders if not one.soft}
            late = sum(weights.get(name, 0) * value for name, value in fewer.late.items())
            missed = fewer.objective["missed"]
            assert (missed, late) <= (
                plan.objective["missed"],
                sum(weights.get(name, 0) * value for name, value in left.items())
                + 10**6 * (missed < plan.objective["missed"]),
            )


def test_clocks_changing_change_nothing():
    # The origin is UTC; the same problem written with another offset is the same problem.
    kitchen = studio(5, seed=1)
    moved = replace(kitchen, origin=datetime(2026, 3, 2, 1, tzinfo=timezone(timedelta(hours=1))))
    assert moved.origin == datetime(2026, 3, 2, tzinfo=UTC)
    assert backward_pass(moved) == backward_pass(kitchen)


def test_too_much_work_gives_up_one_order_and_not_all():
    # Three orders of 60 minutes, due at 100 with 120 minutes until then; the third evening is free.
    tasks = [task(f"t{k}", 60, orders=(f"o{k}",)) for k in (1, 2, 3)]
    orders = [Order(f"o{k}", 100, 100, f"t{k}", spare=0, weight=k) for k in (1, 2, 3)]
    kitchen = problem(
        tasks, [(0, 60), (60, 120), (200, 260)], [replace(one, pickup=120, event=120) for one in orders]
    )
    plan = solve(kitchen, seconds=5)
    assert plan.late == {"o1": 140}
    assert (plan.status, plan.objective["missed"]) == ("best", 1)


def test_an_overfull_month_still_gets_a_plan():
    kitchen = studio(14, load=1.15, seed=5)
    plan = solve(kitchen, seconds=2)
    assert verify(kitchen, plan) == []
    assert plan.status == "late"
    assert len(plan.late) < len(kitchen.orders)
    assert plan.late == measure(kitchen, plan.starts)["late"]


@pytest.mark.parametrize("seed", range(120))
def test_the_choice_of_windows_rules_out_no_plan(seed):
    """The relaxation's optimum lies at or below the sessions of every plan on time."""
    kitchen = tiny(seed)
    plans = every_plan(kitchen)
    grid = Grid(kitchen)
    held = {"missed": 0, "lateness": 0, "soft": 0, "stale": 0}
    lo, hi, empty = limits.tighten(grid, *limits.within(grid, held))
    clean = [
        found["objective"]["sessions"]
        for _, found in plans or ()
        if not any(found["objective"][name] for name in ("missed", "lateness", "stale"))
    ]
    if empty is not None or not clean:
        return
    status, _, bound = Assignment(grid, lo, hi).solve(seconds=10)
    assert status == "optimal"
    assert bound <= min(clean)
