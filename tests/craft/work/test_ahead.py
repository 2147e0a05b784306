"""Dough, blanks and transfers made ahead: used when there are enough, made when not, never given twice."""

import random
from dataclasses import replace
from datetime import timedelta

import pytest

from bakery.craft.planning import solve, verify
from bakery.craft.work import Ahead, Layer, OrderSpec, Shop, Use, allot, work_of

from .makers import HAND_OVER, NOW, TUESDAY, evenings, line, problem

DAY = timedelta(days=1)
ROUND = "round 75 x 75"
SHOP = Shop()
TRANSFERS = (Layer("flood", ("sea",)), Layer("transfer", ("navy",), wait="base_dry"))


def order(number, *lines, days=0, quantity=24, **rest):
    made = lines or (line("plain", quantity, spares=0, shape=ROUND, title="Rounds", **rest),)
    return OrderSpec(f"o{number}", f"Order {number}", made, HAND_OVER + days * DAY)


def blanks(quantity, place="freezer", *, id="a", age=1.0, **rest):
    made = NOW - age * DAY
    return Ahead(id, "blank", quantity, place, made, None, rest.pop("shape", ROUND), **rest)


def given(orders, items, **rest):
    return [
        (use.item.id, use.order, use.line, use.quantity) for use in allot(orders, items, SHOP, NOW, **rest)
    ]


def ids(work, kind=None):
    return [job.id for job in work.jobs if kind is None or job.kind == kind]


def test_enough_blanks_drop_dough_and_baking_of_their_line():
    one = order(1)
    uses = allot([one], [blanks(24, "freezer")], SHOP, NOW)
    work = work_of(one, SHOP, ahead=uses)
    assert not ids(work, "dough")
    assert not ids(work, "bake")
    assert ids(work, "thaw") == ["o1.l1.thaw"]
    assert work.uses == uses
    assert work.order is one


def test_too_few_blanks_are_not_used_at_all():
    assert given([order(1)], [blanks(23)]) == []
    uses = given([order(1)], [blanks(23), blanks(1, id="b")])
    assert sorted(uses) == [("a", "o1", "l1", 23), ("b", "o1", "l1", 1)]


def test_two_orders_cannot_have_the_same_blanks_and_the_first_hand_over_comes_first():
    first, second = order(1, days=3), order(2)
    assert given([first, second], [blanks(30)]) == [("a", "o2", "l1", 24)]
    assert given([first, second], [blanks(48)]) == [("a", "o2", "l1", 24), ("a", "o1", "l1", 24)]


def test_what_is_claimed_stays_claimed_and_what_is_kept_for_one_order_is_only_for_it():
    first, second = order(1, days=3), order(2)
    claim = [Use(blanks(30), "o1", "l1", 24)]
    assert given([first, second], [blanks(30)], claimed=claim) == [("a", "o1", "l1", 24)]
    assert given([first, second], [blanks(30, order="o1")]) == [("a", "o1", "l1", 24)]
    assert given([second], [blanks(30, order="o1")]) == []


def test_another_cutter_does_not_fit_and_begun_orders_get_no_more():
    assert given([order(1)], [blanks(24, shape="oval 70 x 90")]) == []
    assert given([order(1)], [blanks(24)], begun={"o1"}) == []


def test_in_the_tin_they_grow_old_in_the_freezer_they_do_not():
    one = order(1)  # due in eleven days; cookies keep five
    assert given([one], [blanks(24, "tin")]) == []
    assert given([one], [blanks(24, "freezer", age=60)]) == [("a", "o1", "l1", 24)]
    soon = order(1, days=-8)
    assert given([soon], [blanks(24, "tin")]) == [("a", "o1", "l1", 24)]
    assert given([soon], [blanks(24, "tin", age=3)]) == []


def test_days_before_the_freezer_count_for_keeping():
    one = order(1)
    old = replace(blanks(24, "freezer", age=30), since=NOW - 20 * DAY, aged_days=2.0)
    work = work_of(one, SHOP, ahead=allot([one], [old], SHOP, NOW))
    assert work.aged_minutes == 2 * 1440
    assert problem(work).orders[0].keeps == SHOP.keeps_days * 1440 - 2 * 1440


def test_thawing_is_short_done_in_any_waking_hour_and_lies_for_hours():
    one = order(1)
    work = work_of(one, SHOP, ahead=allot([one], [blanks(24)], SHOP, NOW))
    found = problem(work)
    thaw = next(task for task in found.tasks if task.kind == "thaw")
    assert thaw.minutes <= 10
    lags = [lag for lag in found.lags if lag.before == thaw.id]
    assert {lag.after for lag in lags} == set(ids(work, "flood"))
    assert all(lag.min == 360 for lag in lags)
    assert found.orders[0].bakes == (thaw.id,)
    plan = solve(found, deterministic=0.2, seed=1, workers=1)
    assert verify(found, plan) == []
    assert plan.objective["stale"] == 0


def test_a_baked_line_in_the_freezer_is_thawed_first():
    one = order(1, line("plain", 24, spares=0, stage="baked", shape=ROUND))
    assert given([one], [blanks(24)]) == [], "somebody else's blanks do not matter to it"
    uses = allot([one], [blanks(24, order="o1")], SHOP, NOW)
    assert ids(work_of(one, SHOP, ahead=uses), "thaw") == ["o1.l1.thaw"]


def dough(quantity, place="freezer", id="d", **rest):
    return Ahead(id, "dough", quantity, place, NOW - DAY, **rest)


def test_dough_is_used_by_whole_batches_and_the_rest_is_mixed():
    one = order(1, quantity=50)  # three batches of twenty
    for lying, mixed in ((1, ["o1.dough.2", "o1.dough.3"]), (2, ["o1.dough.3"]), (3, []), (5, [])):
        uses = allot([one], [dough(lying)], SHOP, NOW)
        work = work_of(one, SHOP, ahead=uses)
        assert ids(work, "dough") == mixed
        assert sum(use.quantity for use in uses) == min(3, lying)
        if mixed:
            first = work.job(mixed[0])
            assert first.minutes == 12
            assert sum(work.job(name).cookies for name in mixed) == sum([17, 17, 16][lying:])
    # What is baked from frozen dough waits for it to thaw, what is baked from fresh dough for the chill.
    work = work_of(one, SHOP, ahead=allot([one], [dough(1)], SHOP, NOW))
    assert {(w.before, w.after) for w in work.waits if w.kind == "thaw"} == {("o1.dough.thaw", "o1.bake.1")}
    assert ("o1.dough.2", "o1.bake.1") in {(w.before, w.after) for w in work.waits}


def test_dough_in_the_fridge_must_last_until_it_is_baked():
    until = Ahead("d", "dough", 2, "fridge", NOW, HAND_OVER - 2 * DAY)
    assert given([order(1)], [until]) == []
    assert given([order(1)], [replace(until, keeps_until=HAND_OVER)]) == [("d", "o1", "", 2)]


def test_blanks_go_before_dough():
    two = order(
        1, line("plain", 20, spares=0, shape=ROUND), line("plain", 20, spares=0, id="l2", shape="star")
    )
    uses = given([two], [blanks(20), dough(4)])
    assert uses == [("a", "o1", "l1", 20), ("d", "o1", "", 1)]


def test_transfers_that_are_dry_are_not_piped_again():
    one = order(1, line("stencil", 10, spares=0, layers=TRANSFERS, title="Fair winds"))
    wanted = next(job for job in work_of(one, SHOP).jobs if job.id.endswith(".make")).cookies
    assert wanted == 12  # a fifth more against breaking
    item = Ahead("t", "transfer", 12, "tin", NOW - 3 * DAY, HAND_OVER + DAY, "Fair winds")
    work = work_of(one, SHOP, ahead=allot([one], [item], SHOP, NOW))
    assert not [name for name in ids(work) if name.endswith(".make")]
    assert "transfer" in {job.kind for job in work.jobs}
    assert given([one], [replace(item, quantity=11)]) == []
    assert given([one], [replace(item, made=NOW - timedelta(hours=5))]) == []
    assert given([one], [replace(item, shape="Compass")]) == []


def test_nonsense_is_refused_in_words():
    for wrong in ({"what": "icing"}, {"place": "shed"}, {"quantity": -1}):
        with pytest.raises(ValueError, match=r"\w+ .*\."):
            Ahead(**({"id": "x", "what": "dough", "quantity": 1, "place": "tin", "made": NOW} | wrong))


@pytest.mark.parametrize("seed", range(60))
def test_nothing_is_given_twice_whatever_lies_there(seed):
    rng = random.Random(seed)
    shapes = [ROUND, "oval 70 x 90"]
    orders = [
        OrderSpec(
            f"o{n}",
            "x",
            tuple(
                line("plain", rng.choice([6, 12, 24]), spares=0, id=f"l{k}", shape=rng.choice(shapes))
                for k in range(1, rng.randint(2, 3))
            ),
            TUESDAY + timedelta(days=rng.randint(3, 15), hours=12),
        )
        for n in range(1, 5)
    ]
    items = [
        Ahead(str(k), rng.choice(["dough", "blank"]), rng.randint(1, 40), rng.choice(["tin", "freezer"]),
              NOW - rng.randint(0, 3) * DAY, None, rng.choice(shapes))
        for k in range(rng.randint(1, 6))
    ]  # fmt: skip
    uses = allot(orders, items, SHOP, NOW)
    for item in items:
        assert sum(use.quantity for use in uses if use.item.id == item.id) <= item.quantity
    assert allot(orders, items, SHOP, NOW, claimed=uses) == uses, "asked again it says the same"
    works = [work_of(one, SHOP, ahead=uses) for one in orders]
    for one, work in zip(orders, works, strict=True):
        covered = {use.line for use in uses if use.order == one.id and use.item.what == "blank"}
        baked = {name for job in work.jobs if job.kind == "bake" for name, _ in job.parts}
        assert not covered & baked
        assert covered | baked == {each.id for each in one.lines}
    found = problem(*works, calendar=evenings())
    plan = solve(found, deterministic=0.02, seed=seed, workers=1)
    assert plan.status != "none"
    assert verify(found, plan) == []
