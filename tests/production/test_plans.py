"""The plan: checked, saved only when it still answers, silent where it may be, a proposal where it may
not.
"""

import json
from io import StringIO

import pytest
from django.core.management import call_command
from django.db import transaction
from django.urls import reverse

from bakery.background.models import Computation
from bakery.background.ownership import MAX_ATTEMPTS
from bakery.craft.planning import plan_from_json, problem_from_json, verify
from bakery.orders.models import State
from bakery.orders.services import move_hand_over, set_state
from bakery.production.models import Job, Plan
from bakery.production.services import ask_for_plan, freeze, make_plan, save_outcome
from bakery.production.working_out import BrokenPlan, check, work_out
from bakery.studio.example import fill_example
from bakery.studio.models import BakingHours
from bakery.studio.services import change_date
from tests.factories import BakingHoursFactory, KindFactory, OrderFactory

from .conftest import NOW, at, broken_rules, planned_starts, proposed, tonights, wall

pytestmark = pytest.mark.django_db


def test_the_first_plan_goes_on_the_wall_and_gives_every_job_its_place(planned):
    assert proposed() is None
    assert not Job.objects.filter(planned_start=None).exists()
    assert broken_rules(NOW) == []


def test_the_plan_of_the_example_studio_passes_the_checker(db, clock):
    fill_example(NOW)
    make_plan(now=NOW)
    stored = wall()
    assert verify(problem_from_json(stored.problem), plan_from_json(stored.plan)) == []
    assert broken_rules(NOW) == []
    assert tonights(), "the example's tonight is never empty"


def test_a_plan_that_the_checker_refuses_is_never_saved(planned):
    stored = wall()
    problem, plan = problem_from_json(stored.problem), plan_from_json(stored.plan)
    first = min(plan.starts, key=plan.starts.get)
    with pytest.raises(BrokenPlan):
        check(problem, plan_from_json({"starts": {**plan.starts, first: problem.now - 600}}))


def test_a_plan_of_data_that_has_changed_meanwhile_is_not_saved(kitchen):
    found = work_out(now=NOW)
    move_hand_over(order=kitchen["ferns"], revision=1, hand_over_at=at(18, days=3))
    with transaction.atomic():
        assert save_outcome(found) == "changed"
    assert not Plan.objects.exists()
    assert not Job.objects.exists()


def test_the_computation_does_again_what_was_overtaken(planned, monkeypatch, run_queued):
    """Between reading and saving somebody freezes the list: the first attempt is thrown away, the second
    saved.
    """
    from bakery.production import working_out
    from bakery.production.services import ask_for_plan

    real, calls = working_out.work_out, []

    def overtaken(**more):
        found = real(**more)
        calls.append(found)
        if len(calls) == 1:
            freeze(day=NOW.date(), jobs=tonights(), now=NOW)
        return found

    monkeypatch.setattr(working_out, "work_out", overtaken)
    ask_for_plan()
    run_queued("replan")
    assert len(calls) == 2
    kinds = [row.result["kind"] for row in Computation.objects.filter(kind="replan").order_by("pk")]
    assert kinds == ["changed", "same"]


def test_a_changed_order_asks_for_a_plan(planned, django_capture_on_commit_callbacks, run_queued):
    with django_capture_on_commit_callbacks(execute=True):
        move_hand_over(order=planned["rounds"], revision=1, hand_over_at=at(12, days=12))
    assert Computation.objects.filter(kind="replan", state="queued").count() == 1
    run_queued("replan")
    assert broken_rules(NOW) == []


def test_new_work_is_put_around_what_hangs_on_the_wall(planned):
    before = planned_starts()
    OrderFactory(number=120, title="Library", hand_over_at=at(12, days=9), lines__quantity=12)
    assert make_plan(now=NOW) == "wall"
    after = planned_starts()
    assert any(key.startswith("o120.") for key in after)
    # The new order's icing joins a mixing that hangs there: the mixing keeps its place.
    joined = {name: job.planned_start for job in Job.objects.all() for name in job.stands_for}
    assert {key: (after.get(key) or joined[key]).date() for key in before} == {
        key: start.date() for key, start in before.items()
    }
    assert broken_rules(NOW) == []


def test_an_order_that_comes_half_made_is_put_around_the_wall_too_in_the_middle_of_a_session(planned, clock):
    """What is done of it is done, what is left of it has no place yet."""
    clock.move_to(at(19))
    OrderFactory(
        number=120, title="Regatta", hand_over_at=at(18, days=2), lines__quantity=20,
        lines__kind=KindFactory(key="stencil_detail"), lines__stage="flooded", lines__stage_at=at(17),
    )  # fmt: skip
    assert make_plan(now=at(19)) in ("wall", "proposed")


def test_a_fault_of_ours_is_not_told_to_her_in_our_words(planned, monkeypatch, run_queued, signed_in):
    def fails(**_):
        raise KeyError("tasks[0].orders")

    monkeypatch.setattr("bakery.production.working_out.work_out", fails)
    ask_for_plan(reason="")
    for _ in range(MAX_ATTEMPTS):
        Computation.objects.filter(state=Computation.State.QUEUED).update(due=NOW)
        run_queued("replan")
    page = signed_in.get(reverse("tonight")).content.decode()
    assert "could not be worked into the plan" in page
    assert "KeyError" not in page


def test_a_list_she_has_seen_takes_nothing_new_silently(planned):
    freeze(day=NOW.date(), jobs=tonights(), now=NOW)
    seen = {job.key: job.planned_start for job in tonights()}
    OrderFactory(number=120, title="Library", hand_over_at=at(12, days=9), lines__quantity=12)
    make_plan(now=NOW)
    assert {job.key: job.planned_start for job in tonights()} == seen


def test_a_lost_evening_is_answered_with_a_proposal_and_nothing_moves_before_it_is_taken(planned):
    before = planned_starts()
    change_date(day=NOW.date(), kind="off")
    assert make_plan(now=NOW, reason="You said: Tuesday is off.") == "proposed"
    plan = proposed()
    assert planned_starts() == before
    assert 1 <= len(plan.moves) <= 5
    assert all(move["why"].endswith(".") for move in plan.moves)
    assert any("no baking hours on Tuesday" in move["why"] for move in plan.moves)
    assert verify(problem_from_json(plan.problem), plan_from_json(plan.plan)) == []


def test_more_than_five_moves_are_told_in_five_sentences(planned):
    for number in range(121, 127):
        OrderFactory(number=number, title=f"Tea {number}", hand_over_at=at(12, days=16), lines__quantity=12)
    make_plan(now=NOW)
    days = sorted({start.date() for start in planned_starts().values()})
    for day in days[:4]:
        change_date(day=day, kind="off")
    assert make_plan(now=NOW) == "proposed"
    moves = proposed().moves
    assert len(moves) == 5
    assert moves[-1]["more"] > 1


def test_the_plan_command_prints_problem_and_plan_that_the_checker_accepts(planned):
    out = StringIO()
    call_command("plan", "--json", stdout=out)
    both = json.loads(out.getvalue())
    assert set(both) == {"problem", "plan"}
    assert verify(problem_from_json(both["problem"]), plan_from_json(both["plan"])) == []


def test_an_order_that_is_gone_takes_its_planned_jobs_with_it(planned):
    from bakery.orders.services import cancel

    cancel(order=planned["rounds"])
    make_plan(now=NOW)
    assert not Job.objects.filter(order=planned["rounds"]).exists()
    assert broken_rules(NOW) == []


def test_without_any_baking_hours_the_page_says_so_and_stops_asking(kitchen, signed_in, run_queued):
    """Work that fits nowhere is refused with a sentence, and polling does not ask for ever."""
    BakingHours.objects.all().delete()
    BakingHoursFactory(weekday=1, start="18:30", end="18:40")
    signed_in.get(reverse("tonight"))
    run_queued("replan")
    row = Computation.objects.filter(kind="replan").latest("pk")
    if row.state == "failed":
        assert "baking hours" in row.error
        page = signed_in.get(reverse("tonight")).content.decode()
        assert "baking hours" in page
        assert not Computation.objects.filter(kind="replan", state="queued").exists()
    else:
        assert wall().plan["late"], "what ten minutes a week cannot do comes late"


def test_of_an_order_that_is_ready_nothing_stays_on_the_list(planned):
    """She packed it without ticking anything off: "It is ready" is enough."""
    set_state(order=planned["ferns"], state=State.READY)
    assert make_plan(now=NOW) in ("same", "wall")
    assert not Job.objects.filter(order=planned["ferns"], state=Job.State.PLANNED).exists()
    make_plan(now=at(9, days=5))
    assert "o118" in {order["id"] for order in wall().problem["orders"]}, "it is not handed over yet"
    assert "o118" not in wall().plan["late"]
