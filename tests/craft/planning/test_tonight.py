"""Tonight on small evenings worked by hand, and its promises on whole kitchens."""

import pytest

from bakery.craft.planning import Hold, Lag, Order, backward_pass, may_stop, solve, tonight, verify
from bakery.craft.planning.clock import Clock
from bakery.craft.planning.hard import Hard

from .makers import problem, studio, task

# Two evenings of 60 (0-60 and 100-160). flood 20, 60 to dry, pack 20, due at 150: pack at 130 at the latest,
# flood at 50 at the latest by its wait, so at 40 inside the window: it cannot wait for the second evening.
FLOOD = [task("flood", 20), task("pack", 20)]
DRY = [Lag("flood", "pack", 60, None, "flood coat dry")]
DUE = [Order("o1", 150, None, "pack", spare=0)]
EVENINGS = [(0, 60), (100, 160)]


def test_a_flood_coat_that_must_dry_for_tomorrow_cannot_wait():
    answer = tonight(problem(FLOOD, EVENINGS, DUE, lags=DRY), seconds=5)
    flood = answer.tasks["flood"]
    assert answer.until == 60
    assert (flood.verdict, flood.latest_start, flood.proved) == ("must", 40, True)
    assert flood.because[-1] == "pickup o1"
    assert any("flood coat dry" in reason for reason in flood.because)
    assert (answer.least_minutes.value, answer.least_minutes.proved) == (20, True)
    assert "pack" not in answer.tasks  # it cannot start tonight


def test_with_a_day_more_it_can_wait_and_she_can_stop():
    kitchen = problem(FLOOD, [*EVENINGS, (200, 260)], [Order("o1", 260, None, "pack", spare=0)], lags=DRY)
    answer = tonight(kitchen, seconds=5)
    assert (answer.tasks["flood"].verdict, answer.tasks["flood"].latest_start) == ("can_wait", 140)
    assert answer.least_minutes.value == 0
    stop = may_stop(kitchen)
    assert stop.answer == "yes"
    assert verify(kitchen, stop.plan) == []
    assert all(start >= 60 for start in stop.plan.starts.values())


def test_each_may_wait_and_yet_not_both():
    # Two jobs of 40 before 160, the second evening holds one: either may wait, 40 minutes tonight are needed.
    jobs = [task("a", 40), task("b", 40, orders=("o2",))]
    orders = [Order("o1", 160, None, "a", spare=0), Order("o2", 160, None, "b", spare=0)]
    kitchen = problem(jobs, EVENINGS, orders)
    answer = tonight(kitchen, seconds=5)
    assert {one.verdict for one in answer.tasks.values()} == {"can_wait"}
    assert (answer.least_minutes.value, answer.least_minutes.proved) == (40, True)
    assert may_stop(kitchen, seconds=5).answer == "no"


def test_until_moves_the_end_of_tonight():
    kitchen = problem(FLOOD, EVENINGS, DUE, lags=DRY)
    assert tonight(kitchen, until=160, seconds=5).tasks["pack"].verdict == "must"
    assert tonight(kitchen, until=40, seconds=5).tasks["flood"].verdict == "can_wait"


def test_pins_are_named_and_counted():
    pinned = [task("talk", 20, pinned=True, start=10), task("later", 10, pinned=True, start=110)]
    answer = tonight(problem([*pinned, task("free", 10)], EVENINGS), seconds=5)
    assert answer.tasks["talk"].verdict == "must"
    assert answer.tasks["later"].verdict == "can_wait"
    assert answer.least_minutes.value == 20


def test_on_an_overfull_day_musts_are_those_of_the_least_late_plans():
    # 20 minutes tonight, both 20s due at 20: one is late whatever she does; the heavier one must go first.
    jobs = [task("a", 20), task("b", 20, orders=("o2",))]
    orders = [Order("o1", 20, None, "a", spare=0), Order("o2", 20, None, "b", spare=0, weight=5)]
    answer = tonight(problem(jobs, [(0, 20), (100, 120)], orders), seconds=5)
    assert answer.tasks["b"].verdict == "must"
    assert answer.tasks["a"].verdict == "can_wait"


def test_where_no_plan_is_known_nothing_is_claimed():
    answer = tonight(problem([task("a", 50)], [(0, 40)]), seconds=1)
    assert answer.plan is None
    assert {one.verdict for one in answer.tasks.values()} <= {"undecided"}


def test_the_tray_on_the_rack_is_a_reason():
    # One place: flood's tray leaves it when pack starts; tray2 needs it for the 40 minutes before 150.
    jobs = [task("flood", 20), task("pack", 10), task("flood2", 20, orders=("o2",))]
    orders = [Order("o1", 160, None, "pack", spare=0), Order("o2", 130, None, "flood2", spare=0)]
    holds = [Hold("rack", 1, "flood", "pack"), Hold("rack", 1, "flood2", None, 30)]
    kitchen = problem(
        jobs, EVENINGS, orders, resources={"rack": 1}, holds=holds, lags=[Lag("flood", "pack", 10)]
    )
    answer = tonight(kitchen, seconds=5)
    # flood2 at 110-130 at the latest, its tray to 160; flood must be packed by then, and cannot be: so flood
    # and pack lie before flood2 or flood2 lies early. Latest flood: 100 with flood2 tonight.
    assert answer.tasks["flood"].proved
    assert answer.tasks["flood2"].verdict == "can_wait"


@pytest.mark.parametrize("seed", [1, 2])
def test_a_whole_kitchen_is_decided_with_witnesses(seed):
    kitchen = studio(15, seed=seed)
    plan = backward_pass(kitchen)
    answer = tonight(kitchen, plan=plan, seconds=5)
    assert answer.tasks
    assert all(one.proved for one in answer.tasks.values())
    for name, one in answer.tasks.items():
        assert (one.verdict == "must") == (
            one.latest_start is not None and one.latest_start < answer.until
        ), name


def test_the_answer_agrees_with_plans_made_otherwise():
    kitchen = studio(15, seed=3, load=0.6)
    answer = tonight(kitchen, seconds=5)
    for seed in (1, 2):
        plan = solve(kitchen, seconds=1, seed=seed)
        assert not plan.late
        for name, one in answer.tasks.items():
            if one.verdict == "must":
                assert plan.starts[name] < answer.until
            if one.latest_start is not None:
                assert plan.starts[name] <= one.latest_start


def test_a_solver_that_had_no_time_proves_nothing():
    """Stopped before it begins, the solver reports a bound of 0 for the latest start of everything."""
    kitchen = studio(8, seed=3, load=0.5)
    plan = solve(kitchen, deterministic=0.05, workers=1)
    hard = Hard(kitchen, plan, workers=1)
    slots = hard.grid.slots_of(plan.starts)
    for i, start in enumerate(slots[:12]):
        _, upper = hard.most(i, hard.lo[i], Clock(0, deterministic=1e-6))
        assert upper >= start
