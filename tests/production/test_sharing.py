"""Orders that share a mixing, a dough, a spray run: decided with the plan, and taken apart again."""

from datetime import timedelta

import pytest

from bakery.craft.planning import verify
from bakery.orders.models import State
from bakery.orders.services import set_state
from bakery.production.adapters import current_problem, job_named, scene
from bakery.production.models import Job, KeptApart, Plan
from bakery.production.services import finish_run, keep_apart, let_share, make_plan
from tests.factories import OrderFactory, StudioFactory

from .conftest import NOW, at, broken_rules, wall


@pytest.fixture
def three(db, clock):
    """Three orders of plain white rounds within two days of each other."""
    StudioFactory(started_at=NOW - timedelta(days=30))
    return [
        OrderFactory(number=number, title=title, hand_over_at=at(12, days=days), lines__quantity=24,
                     lines__spares=0)
        for number, title, days in ((201, "Regatta", 10), (202, "Library", 10), (203, "Harbour walk", 11))
    ]  # fmt: skip


@pytest.fixture
def shared(three):
    assert make_plan(now=NOW) == "wall"
    return three


def together():
    return {row["kind"]: row for row in wall().shares}


def test_the_first_plan_shares_what_saves_minutes(shared):
    mix = Job.objects.get(key="o201.share.mix.flood")
    assert [(order.number, count) for order, count in mix.counts] == [(201, 0), (202, 0), (203, 0)]
    assert mix.minutes == 13  # the base once, one bag: 8 + 5, instead of three times that
    assert mix.saved == 26
    assert together()["mix"]["saved"] == 26
    assert not Job.objects.filter(key__endswith=".mix.flood").exclude(pk=mix.pk).exists()
    batches = Job.objects.filter(kind="dough")
    assert sum(batch.cookies for batch in batches) == 72
    assert batches.count() == 4  # 72 cookies in batches of 20; apart they would be six
    assert sum(batch.saved for batch in batches) == (12 + 8) * 3 - (12 + 3 * 8)
    assert broken_rules(NOW) == []


def test_apart_and_together_need_the_same_work_but_for_what_is_saved(shared):
    it = scene(now=NOW)
    apart, with_all = it.shared(())[0], it.shared()[0]
    saved = sum(row["saved"] for row in wall().shares)
    assert sum(w.bench_minutes for w in apart.values()) - saved == sum(
        w.bench_minutes for w in with_all.values()
    )
    assert apart == it.works


def test_the_same_rows_give_the_same_problem_again(shared):
    assert make_plan(now=NOW) == "same"
    assert set(together()) == {"mix", "dough"}


def test_what_she_keeps_apart_is_apart_and_may_be_shared_again(shared):
    keep_apart(key="o201.share.mix.flood", now=NOW)
    keep_apart(key="o201.share.mix.flood", now=NOW)
    assert KeptApart.objects.count() == 1
    assert make_plan(now=NOW) in ("wall", "proposed")
    plan = Plan.objects.filter(state="proposed").first() or wall()
    assert {row["kind"] for row in plan.shares} == {"dough"}
    assert {"o201.mix.flood", "o202.mix.flood", "o203.mix.flood"} <= set(plan.plan["starts"])
    let_share(key="o201.share.mix.flood")
    assert not KeptApart.objects.exists()


def test_work_done_together_stays_together(shared):
    mix = Job.objects.get(key="o201.share.mix.flood")
    finish_run(keys=[mix.key], now=NOW)
    keep_apart(key=mix.key, now=NOW)
    make_plan(now=NOW)
    problem, works = current_problem(now=NOW)
    task = next(task for task in problem.tasks if task.id == mix.key)
    assert task.state == "done"
    assert task.orders == ("o201", "o202", "o203")
    assert job_named(works, mix.key)[0].stands_for == ("o201.mix.flood", "o202.mix.flood", "o203.mix.flood")


def test_every_order_of_work_begun_together_is_in_the_kitchen(shared):
    finish_run(keys=["o201.share.mix.flood"], now=NOW)
    for order in shared:
        order.refresh_from_db()
        assert order.state == State.KITCHEN


def test_when_the_first_order_is_closed_the_others_keep_what_was_done_for_them(shared):
    finish_run(keys=["o201.share.mix.flood"], now=NOW)
    order = shared[0]
    order.refresh_from_db()
    set_state(order=order, state=State.CANCELLED)
    problem, _works = current_problem(now=NOW)
    task = next(task for task in problem.tasks if task.id == "o201.share.mix.flood")
    assert task.orders == ("o202", "o203")
    assert task.state == "done"
    assert "o202.mix.flood" not in {task.id for task in problem.tasks}
    make_plan(now=NOW)
    assert broken_rules(NOW) == []


def test_an_order_called_off_leaves_the_others_to_share(shared):
    order = shared[0]
    set_state(order=order, state=State.CANCELLED)
    make_plan(now=NOW)
    problem, _works = current_problem(now=NOW)
    task = next(task for task in problem.tasks if task.id == "o201.share.mix.flood")
    assert task.orders == ("o202", "o203")
    assert not any("o201" in task.orders for task in problem.tasks)


def test_a_late_order_leaves_what_it_shares(shared):
    """202 is wanted much sooner all at once: it may go its own way, and the plan breaks no rule."""
    order = shared[1]
    order.hand_over_at = at(20, days=3)
    order.save()
    make_plan(now=NOW)
    plan = Plan.objects.filter(state="proposed").first() or wall()
    from bakery.craft.planning import problem_from_json

    assert plan.plan["late"] == {}
    assert verify(problem_from_json(plan.problem), plan.plan["starts"]) == []


def test_a_new_order_joins_without_moving_what_hangs_there(three):
    OrderFactory(number=204, title="Tea", hand_over_at=at(12, days=11), lines__quantity=24, lines__spares=0)
    from bakery.orders.models import Order

    Order.objects.filter(number__in=(202, 203, 204)).update(state=State.ENQUIRY)
    assert make_plan(now=NOW) == "wall"
    before = Job.objects.get(key="o201.mix.flood").planned_start
    Order.objects.filter(number=204).update(state=State.BOOKED)
    assert make_plan(now=NOW) == "wall"
    mix = Job.objects.get(key="o201.share.mix.flood")
    assert mix.planned_start == before
    assert {order.number for order in mix.served} == {201, 204}
    assert broken_rules(NOW) == []


def test_a_new_order_is_asked_about_together_with_what_it_could_share(three):
    from bakery.orders.adapters import order_spec
    from bakery.orders.models import Order
    from bakery.production.sharing import joined

    Order.objects.filter(number=203).update(state=State.ENQUIRY)
    asked = order_spec(Order.objects.get(number=203))
    it = scene(now=NOW, extra=asked)
    found = {one.kind: one.orders for one in joined(it, (), "o203")}
    assert found == {"mix": ("o201", "o202", "o203"), "dough": ("o201", "o202", "o203")}
    assert joined(scene(now=NOW, extra=asked), (), "o999") == ()


def test_apart_and_again_with_one_press(shared, signed_in):
    signed_in.post("/tonight/apart/", {"share": "o201.share.mix.flood"})
    assert KeptApart.objects.get().share["orders"] == ["o201", "o202", "o203"]
    assert signed_in.post("/tonight/apart/", {"share": "<b>"}).status_code == 302
    page = signed_in.get("/tonight/?list").content.decode()
    assert "kept apart" in page
    signed_in.post("/tonight/share/", {"share": "o201.share.mix.flood"})
    assert not KeptApart.objects.exists()


def test_the_run_says_who_shares_it_and_what_that_saves(shared):
    from bakery.production.queries.days import shades, with_pictures
    from bakery.production.queries.tonight import run_of

    jobs = list(with_pictures(Job.objects.filter(key="o201.share.mix.flood")))
    run = run_of(jobs, NOW, shades())
    assert run.orders == ("Regatta", "Library", "Harbour walk")
    assert "One mixing for Regatta, Library and Harbour walk, 26\N{NO-BREAK SPACE}min saved." in run.text
    assert run.share == "o201.share.mix.flood"
