"""Changes that make an order fit, orders that do not fit together, and parts of problems."""

from dataclasses import replace

from bakery.craft.planning import Hold, Lag, Order, changes, promise, verify
from bakery.craft.planning.clock import Clock
from bakery.craft.planning.conflict import conflict, fits
from bakery.craft.planning.parts import with_order, with_window, without_orders, without_window

from .makers import problem, studio, task


def overfull():
    """Two jobs of 60 by 160; the evenings 0-60 and 100-150 hold one and none. Ten more minutes would do."""
    tasks = [task("a", 60), task("b", 60, orders=("o2",))]
    orders = [Order("o1", 160, None, "a", spare=0), Order("o2", 170, None, "b", spare=0)]
    return problem(tasks, [(0, 60), (100, 150), (300, 400)], orders)


def test_every_change_is_shown_by_a_plan_of_the_changed_problem():
    kitchen = overfull()
    assert promise(kitchen, "o2", seconds=2).answer == "no"
    found = {change["kind"]: change for change in changes(kitchen, "o2", seconds=5)}
    # One more hour on the second evening (100-210): b 100-160; o2 at 360; a second pair of hands 0-60.
    assert found["hour"]["window"] == 1
    assert (found["hour"]["start"], found["hour"]["end"], found["hour"]["cost_minutes"]) == (100, 210, 60)
    assert found["later"]["pickup"] == 360
    assert found["hands"]["window"] == 0
    for change in found.values():
        changed = change.get("problem")
        if changed is None:
            order = next(one for one in kitchen.orders if one.id == "o2")
            changed = with_order(kitchen, replace(order, pickup=change["pickup"], event=None))
        assert verify(changed, change["plan"]) == []
        assert change["plan"].late == {}


def test_the_callers_own_variants_are_tried_first():
    kitchen = overfull()
    fewer = replace(kitchen, tasks=[kitchen.tasks[0], replace(kitchen.tasks[1], minutes=50, attended=50)])
    useless = ({"kind": "one colour fewer", "cost_minutes": 0}, kitchen)
    useful = ({"kind": "fewer cookies", "cost_minutes": 0}, fewer)
    found = list(changes(kitchen, "o2", variants=[useless, useful], seconds=5))
    assert found[0]["kind"] == "fewer cookies"
    assert "one colour fewer" not in {change["kind"] for change in found}


def test_a_promise_lists_changes_cheapest_first():
    answer = promise(overfull(), "o2", seconds=2, look_for=5)
    costs = [change["cost_minutes"] for change in answer.changes]
    assert costs == sorted(costs)
    assert len(costs) == 3


def test_a_new_order_is_put_into_the_plan_on_the_wall():
    kitchen = studio(8, seed=3)
    last = kitchen.orders[3].id
    old = promise(without_orders(kitchen, [last]), earliest=False)
    answer = promise(kitchen, last, plan=old.plan)
    assert answer.answer == "yes"
    assert verify(kitchen, answer.plan) == []


def test_the_orders_that_do_not_fit_together_are_a_smallest_set():
    # o1 and o2 both need the one rack place from 20 to 100; o3 does not care.
    tasks = [task("f1", 20), task("p1", 10), task("f2", 20, orders=("o2",)), task("p2", 10, orders=("o2",))]
    tasks += [task("c", 10, orders=("o3",))]
    orders = [Order("o1", 120, None, "p1", spare=0), Order("o2", 120, None, "p2", spare=0)]
    orders += [Order("o3", 120, None, "c", spare=0)]
    lags = [Lag("f1", "p1", 60), Lag("f2", "p2", 60)]
    holds = [Hold("rack", 1, "f1", "p1"), Hold("rack", 1, "f2", "p2")]
    kitchen = problem(tasks, [(0, 50), (100, 120)], orders, resources={"rack": 1}, lags=lags, holds=holds)
    why = conflict(kitchen, Clock(10), keep="o2")
    assert set(why["orders"]) == {"o1", "o2"}
    for name in ("o1", "o2"):
        assert fits(without_orders(kitchen, [name]), Clock(5))[0] == "yes"
    assert fits(without_orders(kitchen, ["o3"]), Clock(5))[0] == "no"


def test_a_problem_without_an_order_has_nothing_of_it():
    kitchen = studio(5, seed=1)
    fewer = without_orders(kitchen, ["o2"])
    assert [order.id for order in fewer.orders] == ["o1", "o3", "o4", "o5"]
    assert not any("o2" in one.orders or one.id.startswith("o2.") for one in fewer.tasks)


def test_shared_work_stays_with_the_orders_that_are_left():
    tasks = [task("dough", 10, orders=("o1", "o2")), task("a", 10), task("b", 10, orders=("o2",))]
    orders = [Order("o1", 100, None, "a"), Order("o2", 100, None, "b")]
    kitchen = problem(tasks, [(0, 60)], orders, lags=[Lag("dough", "a", 0), Lag("dough", "b", 0)])
    fewer = without_orders(kitchen, ["o2"])
    assert [one.id for one in fewer.tasks] == ["dough", "a"]
    assert fewer.tasks[0].orders == ("o1",)


def test_a_lost_evening_and_a_longer_one():
    kitchen = overfull()
    assert [window.start for window in without_window(kitchen, 0).windows] == [100, 300]
    begun = replace(kitchen, now=30)
    assert without_window(begun, 0).windows[0].end == 30
    assert with_window(kitchen, 0, end=110) is None
    assert with_window(kitchen, 0, end=90).windows[0].end == 90
