"""After a bad night: what can stay stays, what must move moves, and who is late where it no longer fits."""

from dataclasses import replace

from bakery.craft.planning import Lag, Order, Window, backward_pass, measure, solve, verify
from bakery.craft.planning.clock import Clock
from bakery.craft.planning.grid import Grid
from bakery.craft.planning.mend import mend
from bakery.craft.planning.parts import without_window

from .makers import problem, studio, task


def three_evenings():
    """Two orders of one job each on evenings 0-60 and 100-160; a third evening is free."""
    tasks = [task("a", 40), task("b", 40, orders=("o2",))]
    orders = [Order("o1", 260, None, "a", spare=0), Order("o2", 260, None, "b", spare=0)]
    return problem(tasks, [(0, 60), (100, 160), (200, 260)], orders)


def test_a_lost_evening_moves_only_its_own_work():
    kitchen = three_evenings()
    wall = {"a": 0, "b": 110}
    lost = replace(without_window(kitchen, 0), wall=wall)
    plan = mend(Grid(lost), wall, Clock(2))
    assert verify(lost, plan) == []
    assert plan.starts["b"] == 110
    assert plan.starts["a"] >= 200
    assert measure(lost, plan.starts)["objective"]["moved"] == 1


def test_a_plan_that_still_fits_is_kept_as_it_is():
    kitchen = three_evenings()
    wall = {"a": 10, "b": 110}
    assert dict(mend(Grid(kitchen), wall, Clock(2)).starts) == wall


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
    mended = mend(Grid(lost), dict(plan.starts), Clock(2))
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
    plan = mend(Grid(kitchen), {"a": 0, "b": 100, "gone": 20}, Clock(2))
    assert verify(kitchen, plan) == []
    assert plan.starts["b"] == 100
