"""The checker: one small good plan, and each rule broken alone."""

import sys
from dataclasses import replace
from pathlib import Path

import pytest

from bakery.craft.planning import Blocked, Hold, Lag, Order, Plan, Window, measure, verify

from .makers import problem, task

# Evening one 0-60, evening two 100-160. Flood 0-20, spray 100-110, pack 130-140; the tray stands on the
# rack between them. A second order floods 20-40 and packs 110-120, its tray on the second place.
TASKS = [
    task("flood", 20, uses={"bowl": 1}),
    task("spray", 10, uses={"airbrush": 1}),
    task("pack", 10),
    task("flood2", 20, orders=("o2",)),
    task("pack2", 10, orders=("o2",)),
]
LAGS = [Lag("flood", "spray", 40, None, "base dry"), Lag("spray", "pack", 20, 60), Lag("flood2", "pack2", 0)]
HOLDS = [
    Hold("rack", 1, "flood", "spray"),
    Hold("rack", 1, "spray", "pack"),
    Hold("rack", 1, "flood2", "pack2"),
]
ORDERS = [Order("o1", 150, 160, "pack", ("flood",)), Order("o2", 150, None, "pack2")]
STARTS = {"flood": 0, "spray": 100, "pack": 130, "flood2": 20, "pack2": 110}


def kitchen(**changes):
    given = {
        "resources": {"rack": 2, "airbrush": 1, "bowl": 1},
        "lags": LAGS,
        "holds": HOLDS,
        "windows": [(0, 60), (100, 160)],
        "tasks": TASKS,
        "orders": ORDERS,
    }
    given.update(changes)
    return problem(given.pop("tasks"), given.pop("windows"), given.pop("orders"), **given)


def test_the_good_plan_breaks_nothing():
    assert verify(kitchen(), STARTS) == []
    assert verify(kitchen(), Plan(STARTS)) == []


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"flood": None}, "flood: has no start"),
        ({"nobody": 0}, "nobody: no such task"),
        ({"pack": 135}, "not a multiple of 10"),
        ({"pack": 130.0}, "not a whole number"),
        ({"flood2": 50}, "is not inside one window"),
        ({"flood2": 70}, "is not inside one window"),
        ({"spray": 50, "flood2": 20, "pack": 100}, "needs 40 (base dry)"),
        ({"pack": 120}, "needs 20"),
        ({"flood2": 10}, "hands: 2 in use from 10 to 20, there are 1"),
        ({"pack2": 100}, "hands: 2 in use from 100 to 110"),
    ],
)
def test_each_start_that_breaks_a_rule_is_named(change, words):
    starts = {name: start for name, start in {**STARTS, **change}.items() if start is not None}
    broken = verify(kitchen(), starts)
    assert len(broken) == 1, broken
    assert words in broken[0]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"now": 10}, "before now"),
        ({"horizon": 130}, "after the horizon"),
        ({"windows": [(0, 60), Window(100, 160, 1, longest=5)]}, "in a window for jobs up to 5"),
        ({"windows": [(0, 30), (30, 60), (100, 160)]}, "flood2: 20 to 40 is not inside one window"),
        ({"resources": {"rack": 1, "airbrush": 1, "bowl": 1}}, "rack: 2 in use from 40 to 100, there are 1"),
        ({"resources": {"rack": 2, "airbrush": 0, "bowl": 1}}, "airbrush: 1 in use from 100 to 110"),
        ({"blocked": [Blocked("airbrush", 1, 100, 110)]}, "airbrush: 2 in use from 100 to 110"),
        ({"blocked": [Blocked("hands", 1, 30, 50)]}, "hands: 2 in use from 30 to 40"),
        ({"blocked": [Blocked("rack", 1, 50, 60)]}, "rack: 3 in use from 50 to 60"),
        ({"lags": [Lag("flood", "spray", 0, 70)]}, "80 minutes after flood, at most 70"),
        ({"lags": [Lag("pack2", "spray", 0)]}, "spray: -20 minutes after pack2, needs 0"),
        ({"holds": [*HOLDS, Hold("rack", 1, "flood2", None, 30)]}, "rack: 3 in use from 40 to 70"),
        ({"holds": [*HOLDS, Hold("rack", 1, "flood2", "pack2", 30)]}, "rack: 3 in use from 40 to 70"),
        ({"holds": [*HOLDS, Hold("bowl", 2, "flood2", "pack")]}, "bowl: 2 in use from 40 to 130"),
    ],
)
def test_each_rule_of_the_problem_is_held(changes, words):
    # The middle windows meet at 30: nothing may straddle even that.
    broken = verify(kitchen(**changes), STARTS)
    assert any(words in sentence for sentence in broken), broken
    assert len(broken) == (3 if "longest" in str(changes) and "longest=5" in str(changes) else 1), broken


def test_pins_and_facts_keep_their_starts():
    tasks = [replace(TASKS[0], state="done", start=0), replace(TASKS[1], pinned=True, start=100), *TASKS[2:]]
    kept = kitchen(tasks=tasks, now=20)
    assert verify(kept, STARTS) == []
    assert verify(kept, {name: start for name, start in STARTS.items() if name != "flood"}) == []
    assert verify(kept, {**STARTS, "flood": 10}) == ["flood: must start at 0, not at 10"]
    assert verify(kept, {**STARTS, "spray": 110}) == ["spray: must start at 100, not at 110"]


def test_facts_over_capacity_are_forgiven_until_the_plan_adds_to_them():
    # Two running sprays on one airbrush have happened; a free third task may not join them.
    running = [task(f"r{k}", 20, uses={"airbrush": 1}, state="running", start=0, hands=0) for k in (1, 2)]
    more = [*running, task("spray", 10, uses={"airbrush": 1})]
    kitchen_ = problem(more, [(0, 60)], resources={"airbrush": 1}, now=10)
    assert verify(kitchen_, {"spray": 20}) == []
    assert verify(kitchen_, {"spray": 10}) == ["airbrush: 3 in use from 10 to 20, there are 1"]


def test_a_pin_inside_the_time_at_the_door_is_her_own_decision():
    pinned = [task("pin", 20, pinned=True, start=10), task("free", 10)]
    door = problem(pinned, [(0, 60)], blocked=[Blocked("hands", 1, 0, 20)])
    assert verify(door, {"pin": 10, "free": 30}) == []
    assert verify(door, {"pin": 10, "free": 20}) == ["hands: 2 in use from 20 to 30, there are 1"]


def test_a_pin_outside_windows_meets_no_limit_of_hands():
    two = [task("pin1", 20, pinned=True, start=70), task("pin2", 20, pinned=True, start=70), task("free", 10)]
    assert verify(problem(two, [(0, 60)]), {"pin1": 70, "pin2": 70, "free": 0}) == []


def test_a_tray_left_by_done_work_counts_as_the_plans_until_somebody_takes_it():
    done = task("flood", 20, state="done", start=0)
    tasks = [done, task("spray", 10), task("other", 10)]
    holds = [Hold("rack", 1, "flood", "spray"), Hold("rack", 1, "other", None, 20)]
    one = problem(tasks, [(0, 200)], resources={"rack": 1}, holds=holds, now=20)
    assert verify(one, {"spray": 40, "other": 30}) == []
    assert verify(one, {"spray": 60, "other": 30}) == ["rack: 2 in use from 40 to 60, there are 1"]


def test_waits_between_two_facts_are_history():
    done = [task("a", 10, state="done", start=0), task("b", 10, state="done", start=10), task("c", 10)]
    history = problem(done, [(0, 100)], lags=[Lag("a", "b", 30), Lag("b", "c", 20)], now=20)
    assert verify(history, {"c": 40}) == []
    assert verify(history, {"c": 30}) == ["c: 10 minutes after b, needs 20"]


def test_end_and_start_at_the_same_minute_do_not_clash():
    two = [task("a", 10, uses={"oven": 1}), task("b", 10, uses={"oven": 1})]
    assert verify(problem(two, [(0, 20)], resources={"oven": 1}), {"a": 0, "b": 10}) == []


def test_a_hold_whose_until_comes_first_is_no_hold():
    three = [task("a", 10), task("b", 10), task("c", 10)]
    holds = [Hold("rack", 1, "a", "b", 50), Hold("rack", 1, "c", None, 20)]
    assert (
        verify(problem(three, [(0, 100)], resources={"rack": 1}, holds=holds), {"b": 0, "c": 10, "a": 20})
        == []
    )


def test_only_the_attended_part_takes_hands():
    bake = [task("bake", 40, attended=10), task("flood", 30)]
    assert verify(problem(bake, [(0, 40)]), {"bake": 0, "flood": 10}) == []
    assert verify(problem(bake, [(0, 40)]), {"bake": 0, "flood": 0}) == [
        "hands: 2 in use from 0 to 10, there are 1"
    ]


def test_measures_worked_by_hand():
    # o1: packs until 140, pickup and event 130, weight 2: missed 2, late 10 x 2. Baked until 20, keeps 100:
    # stale max(130, 140) - 20 - 100 = 20. o2: packs until 120, pickup 150, spare 50: tight 20.
    # o3 is soft, ready at 40 for 30: lateness 10. Sessions: both evenings. Age: 2 ovens x (130 - 20).
    tasks = [
        replace(TASKS[0], uses={"oven": 2}),
        *TASKS[1:],
        task("stall", 10, orders=("o3",)),
    ]
    orders = [
        Order("o1", 130, 130, "pack", ("flood",), keeps=100, weight=2),
        Order("o2", 150, None, "pack2", spare=50),
        Order("o3", 30, 30, "stall", soft=True),
    ]
    wall = {"flood": 10, "spray": 0, "pack": 500, "flood2": 30}
    kitchen_ = kitchen(
        tasks=tasks, orders=orders, holds=[], resources={"oven": 2, "airbrush": 1, "bowl": 1}, wall=wall
    )
    starts = {**STARTS, "stall": 30, "flood2": 40}
    found = measure(kitchen_, starts)
    assert found["objective"] == {
        "missed": 2,
        "lateness": 30,
        "stale": 20,
        "tight": 20,
        "sessions": 2,
        "moved": 2,  # spray left its evening; pack's old start lies outside every window
        "age": 220,
    }
    assert found["late"] == {"o1": 10, "o3": 10}
    assert found["soft"] == 10


def test_false_claims_of_a_plan_are_named():
    good = measure(kitchen(), STARTS)
    assert verify(kitchen(), Plan(STARTS, objective=good["objective"], late={})) == []
    wrong = {**good["objective"], "sessions": 1}
    assert verify(kitchen(), Plan(STARTS, objective=wrong)) == ["sessions: the plan says 1, it is 2"]
    assert verify(kitchen(), Plan(STARTS, objective=good["objective"], late={"o1": 5}))


def test_the_checker_shares_no_code_with_the_solver():
    source = Path(sys.modules[verify.__module__].__file__).read_text()
    imports = [line for line in source.splitlines() if line.startswith(("import", "from"))]
    assert imports == [
        "from __future__ import annotations",
        "from bisect import bisect_right",
        "from itertools import pairwise",
        "from .problem import DONE, HANDS, TODO",
    ]
