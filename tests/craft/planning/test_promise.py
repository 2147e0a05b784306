"""Promises: yes with a checked plan, no with arithmetic to redo by hand, the earliest hand-over."""

from dataclasses import replace

from bakery.craft.planning import Lag, Order, promise, verify
from bakery.craft.planning.parts import without_orders

from .makers import problem, studio, task


def crowded(pickup=60):
    """Three orders of 40 minutes each; by 60 there are 60 minutes, by 160 there are 120."""
    tasks = [task(f"t{k}", 40, orders=(f"o{k}",)) for k in (1, 2, 3)]
    orders = [Order(f"o{k}", pickup, None, f"t{k}", spare=0) for k in (1, 2, 3)]
    return problem(tasks, [(0, 60), (100, 160), (200, 260)], orders)


def recompute(kitchen, why):
    """Needed and available minutes of an energy certificate about hands, from the problem alone."""
    tasks = {one.id: one for one in kitchen.tasks}
    needed = sum(tasks[name].attended * tasks[name].hands for name in why["tasks"])
    available = 0
    for window in kitchen.windows:
        if window.longest is not None and window.longest <= why.get("longest", -1):
            continue
        for minute in range(max(window.start, why["from"]), min(window.end, why["to"])):
            blocked = [out for out in kitchen.blocked if out.resource == "hands"]
            out = sum(one.amount for one in blocked if one.start <= minute < one.end)
            available += max(0, window.hands - out)
    return needed, available


def test_too_little_time_is_shown_by_arithmetic():
    kitchen = crowded()
    answer = promise(kitchen, "o3", seconds=5)
    assert answer.answer == "no"
    assert answer.why["kind"] == "energy"
    assert recompute(kitchen, answer.why) == (answer.why["needed"], answer.why["available"]) == (120, 60)
    assert set(answer.why["orders"]) == {"o1", "o2", "o3"}


def test_hours_too_short_for_the_work_do_not_count_as_room():
    # Between the two sessions lie 40 minutes for jobs up to 10: as room for work of 40 they are nothing.
    tasks = [task(f"t{k}", 40, orders=(f"o{k}",)) for k in (1, 2, 3)]
    orders = [Order(f"o{k}", 140, None, f"t{k}", spare=0) for k in (1, 2, 3)]
    kitchen = problem(tasks, [(0, 60), (60, 100, 1, 10), (100, 140)], orders)
    answer = promise(kitchen, "o1", seconds=5)
    assert (answer.answer, answer.why["kind"], answer.why["longest"]) == ("no", "energy", 10)
    assert recompute(kitchen, answer.why) == (answer.why["needed"], answer.why["available"]) == (120, 100)


def test_a_chain_of_waits_that_is_too_long_is_shown_link_by_link():
    tasks = [task("flood", 20), task("pack", 20)]
    kitchen = problem(
        tasks,
        [(0, 60), (100, 160)],
        [Order("o1", 60, None, "pack", spare=0)],
        lags=[Lag("flood", "pack", 60)],
    )
    answer = promise(kitchen, seconds=5)
    assert (answer.answer, answer.why["kind"], answer.why["earliest"]) == ("no", "waits", 120)
    assert [link["task"] for link in answer.why["chain"]] == ["flood", "pack"]
    assert answer.earliest == 120


def test_the_earliest_hand_over_is_exact_and_has_a_plan():
    # An evening holds one job of 40. o1 (by 60) takes the first, o2 (by 160) the second: o3 is ready at 240.
    kitchen = crowded()
    later = replace(
        kitchen, orders=(kitchen.orders[0], replace(kitchen.orders[1], pickup=160), kitchen.orders[2])
    )
    answer = promise(later, "o3", seconds=5)
    assert answer.answer == "no"
    assert answer.earliest == 240
    moved = replace(later, orders=(*later.orders[:2], replace(later.orders[2], pickup=answer.earliest)))
    assert promise(moved, "o3", seconds=5).answer == "yes"
    sooner = replace(moved, orders=(*later.orders[:2], replace(later.orders[2], pickup=answer.earliest - 10)))
    assert promise(sooner, "o3", seconds=5).answer == "no"


def test_yes_comes_with_a_plan_and_the_time_to_spare():
    kitchen = crowded(260)
    answer = promise(kitchen, "o2", seconds=5)
    assert answer.answer == "yes"
    assert verify(kitchen, answer.plan) == []
    assert answer.plan.late == {}
    # The others at their latest leave the first evening free: ready at 40, 220 before 260.
    assert answer.spare_minutes == 220


def test_a_whole_kitchen_is_promised_and_an_impossible_order_is_not():
    kitchen = studio(15, seed=1)
    assert promise(kitchen).answer == "yes"
    first = replace(kitchen.orders[0], pickup=kitchen.now + 120, event=None)
    rushed = replace(kitchen, orders=(first, *kitchen.orders[1:]))
    answer = promise(rushed, first.id)
    assert answer.answer == "no"
    assert answer.why["sentence"]
    assert answer.earliest > first.pickup


def longer(window, windows):
    """Half an hour more, where the next window leaves it."""
    later = [one.start for one in windows if one.start >= window.end]
    return min([window.end + 30, *later])


def test_more_hours_hands_or_racks_never_make_a_promise_worse():
    asked = 0
    for seed in range(8):
        kitchen = studio(6, seed=seed, load=0.5)
        if promise(kitchen, seconds=3, earliest=False).answer != "yes":
            continue
        asked += 1
        more = replace(
            kitchen,
            windows=[replace(one, hands=2, end=longer(one, kitchen.windows)) for one in kitchen.windows],
            resources={name: amount + 1 for name, amount in kitchen.resources.items()},
        )
        assert promise(more, seconds=3, earliest=False).answer == "yes"
    assert asked >= 3  # or this shows nothing


def test_an_order_taken_away_never_makes_another_late():
    kept = 0
    for seed in range(8):
        kitchen = studio(6, seed=seed, load=0.5)
        answer = promise(kitchen, seconds=3, earliest=False)
        if answer.answer != "yes":
            continue
        for gone in kitchen.orders:
            fewer = without_orders(kitchen, [gone.id])
            rest = {task.id for task in fewer.tasks}
            starts = {name: start for name, start in answer.plan.starts.items() if name in rest}
            assert verify(fewer, starts) == []  # what is left of the plan is a plan
            assert promise(fewer, seconds=3, earliest=False).answer == "yes"
            kept += 1
    assert kept  # some kitchens were asked about, or this shows nothing


def test_an_order_whose_end_is_fixed_too_late_is_no_yes():
    tasks = [task("a", 10), task("end", 20, pinned=True, start=120)]
    kitchen = problem(tasks, [(0, 60), (100, 160)], [Order("o1", 100, None, "end", spare=0)])
    answer = promise(kitchen, seconds=2)
    assert (answer.answer, answer.why["kind"], answer.why["ready"]) == ("no", "fact", 140)
