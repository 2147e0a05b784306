"""Shared dough, mixings and spray runs: what goes together, what it saves, and that it comes apart again."""

from datetime import timedelta

import pytest

from bakery.craft.planning import problem_from_json, problem_to_json, solve, verify
from bakery.craft.work import Fact, Layer, OrderSpec, Share, Shop, choose, propose, share, work_of
from bakery.craft.work.choosing import harm_of
from bakery.craft.work.sharing import is_apart, jobs_in, narrower

from .makers import HAND_OVER, NOW, evenings, line, problem, studio

DAY = timedelta(days=1)
FERN = (
    Layer("flood", ("bone",), title="Flood"),
    Layer("spray", ("leaf green", "dark green"), None, "base_dry", ("fern/background", "fern/frond"), 2,
          title="Fern"),
)  # fmt: skip


def works_of(*orders, shop=None):
    return [work_of(order, shop or Shop()) for order in orders]


def plain(number, quantity=24, days=0, **rest):
    """An order of plain rounds, cut without spares."""
    lines = rest.pop("lines", (line("plain", quantity, spares=0, **rest),))
    return OrderSpec(f"o{number}", f"Order {number}", lines, HAND_OVER + days * DAY)


def kinds(found):
    return {one.kind: one for one in found}


def minutes(works):
    return sum(work.bench_minutes for work in works)


def test_dough_is_rounded_up_over_all_orders_and_mixed_in_one_go():
    works = works_of(plain(1), plain(2), plain(3))
    one = kinds(propose(works))["dough"]
    together, _ = share(works, [one])
    batches = [job for work in together for job in work.jobs if job.kind == "dough"]
    assert [job.cookies for job in batches] == [18, 18, 18, 18]  # 72 of 20 a batch; apart it would be six
    assert [job.minutes for job in batches] == [12, 8, 8, 8]
    assert one.saved == 3 * (12 + 8) - (12 + 3 * 8)
    assert [job.shared for job in batches] == [
        (("o1", 18),), (("o1", 6), ("o2", 12)), (("o2", 12), ("o3", 6)), (("o3", 18),)
    ]  # fmt: skip


def test_no_batch_is_counted_twice_however_the_cookies_fall():
    for first in range(1, 45, 3):
        for second in (5, 20, 33):
            works = works_of(plain(1, first), plain(2, second))
            for one in propose(works):
                together, _ = share(works, [one])
                batches = [job for work in together for job in work.jobs if job.kind == "dough"]
                assert sum(job.cookies for job in batches) == first + second
                parts = [part for job in batches for part in job.shared] or [("o1", first), ("o2", second)]
                assert sum(n for name, n in parts if name == "o1") == first


def test_one_mixing_for_one_colour_costs_the_base_and_the_bag_once():
    works = works_of(plain(1), plain(2))
    one = kinds(propose(works))["mix"]
    together, _ = share(works, [one])
    mix = together[0].job("o1.share.mix.flood")
    assert mix.minutes == 8 + 5
    assert mix.grams == pytest.approx(sum(work.job(f"{work.order.id}.mix.flood").grams for work in works))
    assert one.saved == 13
    assert mix.stands_for == ("o1.mix.flood", "o2.mix.flood")


def test_other_colours_and_other_weeks_are_not_mixed_together():
    bone, navy = plain(1, colours=("bone",)), plain(2, colours=("navy",))
    assert "mix" not in kinds(propose(works_of(bone, navy)))
    later = plain(3, colours=("bone",), days=8)
    assert "mix" not in kinds(propose(works_of(bone, later)))
    assert "mix" in kinds(propose(works_of(bone, plain(3, colours=("bone",), days=6))))


def test_dough_is_not_shared_beyond_its_life():
    assert "dough" in kinds(propose(works_of(plain(1), plain(2, days=3))))
    assert "dough" not in kinds(propose(works_of(plain(1), plain(2, days=4))))


def fern(number, layers=FERN, *ids):
    lines = [line("stencil", 12, spares=2, id=name, layers=layers) for name in ids or ("l1",)]
    return OrderSpec(f"o{number}", "Ferns", lines, HAND_OVER)


def test_a_spray_run_of_the_same_stencils_and_colours_is_set_up_and_cleaned_once():
    works = works_of(fern(1), fern(2))
    one = kinds(propose(works))["spray"]
    apart = [work.job(f"{work.order.id}.l1.spray") for work in works]
    together, _ = share(works, [one])
    run = together[0].job("o1.share.l1.spray")
    # What is done once: set-up 6, drying between two placings 3, cleaning between two colours 3, strip 10.
    assert run.minutes == apart[0].minutes + apart[1].minutes - (6 + 3 + 3 + 10)
    assert (run.cookies, run.trays) == (28, 2)
    assert dict(run.uses) == dict(apart[0].uses)
    before = {wait.before for work in together for wait in work.waits if wait.after == run.id}
    assert {"o1.l1.flood.1", "o2.l1.flood.1"} <= before


def test_lines_of_one_order_share_a_run_too():
    one = kinds(propose(works_of(fern(1, FERN, "l1", "l2", "l3"))))["spray"]
    assert one.jobs == ("o1.l1.spray", "o1.l2.spray", "o1.l3.spray")


def test_other_stencils_colours_or_unnamed_designs_are_not_sprayed_together():
    import dataclasses

    flood, spray = FERN
    for other in (
        dataclasses.replace(spray, stencils=("star/background",)),
        dataclasses.replace(spray, colours=("leaf green", "ochre")),
        dataclasses.replace(spray, placings=3),
    ):
        assert "spray" not in kinds(propose(works_of(fern(1), fern(2, (flood, other)))))
    unnamed = [OrderSpec(f"o{n}", "x", (line("stencil", 12, title=""),), HAND_OVER) for n in (1, 2)]
    assert "spray" not in kinds(propose(works_of(*unnamed)))


def test_a_shared_run_stays_on_half_the_rack_and_within_an_evening():
    shop = Shop(rack_places=4)
    runs = [one for one in propose(works_of(fern(1), fern(2), fern(3), shop=shop)) if one.kind == "spray"]
    assert [len(one.jobs) for one in runs] == [2]
    assert not [one for one in propose(works_of(fern(1), fern(2)), longest=60) if one.kind == "spray"]


def test_what_is_begun_or_kept_apart_is_left_alone():
    works = works_of(plain(1), plain(2), plain(3))
    mix = kinds(propose(works))["mix"]
    assert "o1" not in kinds(propose(works, busy={"o1.mix.flood"}))["mix"].orders
    assert "mix" not in kinds(propose(works, apart=[mix]))
    assert is_apart(Share("x", "mix", ("o2", "o3"), (), "flood"), [mix])
    assert not is_apart(Share("x", "mix", ("o3", "o4"), (), "flood"), [mix])


def test_taking_a_share_out_gives_the_others_alone_and_none_gives_the_works_back():
    works = works_of(plain(1), plain(2), fern(3), fern(4))
    found = propose(works)
    assert share(works, ())[0] == tuple(works)
    for out in found:
        rest = [one for one in found if one is not out]
        together, taken = share(works, rest)
        assert {one.key for one in taken} == {one.key for one in rest}
        ids = {job.id for work in together for job in work.jobs}
        assert set(jobs_in(works, out)) <= ids


def test_a_share_follows_its_orders_and_falls_out_with_the_last():
    orders = [plain(1), plain(2), plain(3)]
    found = [kinds(propose(works_of(*orders)))["mix"]]
    together, taken = share(works_of(*orders[1:]), found)
    assert taken[0].orders == ("o2", "o3")
    assert together[0].job("o1.share.mix.flood").order == "o2"
    assert share(works_of(orders[2]), found)[1] == ()
    alone, held = share(works_of(orders[2]), found, held={found[0].key})
    assert held[0].orders == ("o3",)
    assert alone[0].job("o1.share.mix.flood").orders == ("o3",)


def test_a_share_that_does_harm_is_not_taken_and_a_smaller_one_is_tried():
    """The judge says what hurts; the smaller shares of a harmful one are its neighbours."""
    works = works_of(plain(1), plain(2))
    build = lambda some: problem(*some, calendar=evenings())  # noqa: E731
    assert {one.kind for one in choose(works, build)} == {"dough", "mix"}
    assert choose(works, build, judge=lambda found: None) == ()
    calls = []

    def worse(found):
        calls.append(found)
        return (0,) if len(calls) == 1 else (1,)

    assert choose(works, build, judge=worse) == ()
    three = Share("o1.share.dough", "dough", ("o1", "o2", "o3"))
    assert [one.orders for one in narrower(three)] == [("o1", "o2"), ("o2", "o3")]


def test_a_dough_that_ties_far_days_together_makes_somebody_late_or_stale_and_is_refused(monkeypatch):
    works = works_of(plain(1), plain(2, days=20))
    build = lambda some: problem(*some, calendar=evenings(60))  # noqa: E731
    forced = Share("o1.share.dough", "dough", ("o1", "o2"))
    together, taken = share(works, [forced])
    assert taken[0].saved > 0
    apart, tied = harm_of(build(works)), harm_of(build(together))
    assert tied is None or tied > apart
    monkeypatch.setattr("bakery.craft.work.choosing.propose", lambda *a, **k: (forced,))
    assert choose(works, build) == ()


def test_a_task_says_all_its_orders_and_its_deadline_is_the_first():
    works, _ = share(works_of(plain(1), plain(2, days=2)), propose(works_of(plain(1), plain(2, days=2))))
    found = problem(*works)
    mix = next(task for task in found.tasks if task.id == "o1.share.mix.flood")
    assert mix.orders == ("o1", "o2")
    assert {lag.after for lag in found.lags if lag.before == mix.id} >= {"o1.l1.flood.1", "o2.l1.flood.1"}


def test_dough_shared_is_mixed_in_one_go_in_every_plan():
    works = works_of(plain(1), plain(2), plain(3))
    together, _ = share(works, propose(works))
    found = problem(*together)
    plan = solve(found, deterministic=0.2, seed=1, workers=1)
    assert verify(found, plan) == []
    starts = [plan.starts[f"o1.share.dough.{n}"] for n in (1, 2, 3, 4)]
    assert max(starts) - min(starts) <= 15 + 15 * 4


def test_who_has_flooded_has_had_the_shared_icing():
    works = works_of(plain(1), plain(2))
    together, _ = share(works, propose(works))
    fact = Fact("o2.l1.flood.1", "done", NOW - timedelta(hours=2), 20)
    found = problem(*together, facts=[fact])
    assert next(task for task in found.tasks if task.id == "o1.share.mix.flood").state == "done"


@pytest.mark.parametrize("tens", range(20))
def test_ten_random_studios_share_without_more_work_or_harm(tens):
    for seed in range(10 * tens, 10 * tens + 10):
        works, calendar = studio(seed)
        build = lambda some, hours=calendar: problem(*some, calendar=hours)  # noqa: E731
        everything, taken = share(works, propose(works))
        assert minutes(everything) == minutes(works) - sum(one.saved for one in taken)
        assert all(one.saved > 0 for one in taken)
        known = {job.id for work in works for job in work.jobs}
        left = {name for w in everything for job in w.jobs for name in job.stands_for or (job.id,)}
        assert left == known
        chosen = choose(works, build, tries=6)
        if not chosen:
            continue
        found = build(share(works, chosen)[0])
        assert harm_of(found) <= harm_of(build(works))
        assert problem_from_json(problem_to_json(found)) == found
        plan = solve(found, deterministic=0.02, seed=seed, workers=1)
        assert plan.status != "none", f"studio {seed} has no plan"
        assert verify(found, plan) == [], f"studio {seed}"
