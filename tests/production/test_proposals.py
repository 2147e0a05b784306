"""Take it, leave it, undo: sent once or twice, the wall is what she agreed to."""

from datetime import datetime, timedelta

import pytest
from django.urls import reverse

from bakery.production.adapters import facts_of
from bakery.production.models import Job, Plan
from bakery.production.services import freeze, leave_proposal, make_plan, take_proposal, undo_take
from bakery.studio.services import change_date, report_outage
from tests.factories import KindFactory, OrderFactory

from .conftest import NOW, at, broken_rules, planned_starts, proposed, tonights, wall

pytestmark = pytest.mark.django_db


@pytest.fixture
def offered(planned):
    change_date(day=NOW.date(), kind="off")
    make_plan(now=NOW, reason="You said: Tuesday is off.")
    return proposed()


def test_taking_it_twice_takes_it_once(offered):
    assert take_proposal(pk=offered.pk, now=NOW)
    starts = planned_starts()
    assert take_proposal(pk=offered.pk, now=NOW)
    assert planned_starts() == starts
    assert wall().pk == offered.pk
    assert broken_rules(NOW) == []


def test_after_taking_there_is_nothing_more_to_propose(offered):
    take_proposal(pk=offered.pk, now=NOW)
    assert make_plan(now=NOW) == "same"
    assert proposed() is None


def test_left_is_left_and_not_offered_again(offered):
    before = planned_starts()
    leave_proposal(pk=offered.pk, now=NOW)
    assert planned_starts() == before
    assert make_plan(now=NOW, reason=offered.reason) == "left"
    assert proposed() is None


def test_she_can_still_ask_for_it(offered):
    leave_proposal(pk=offered.pk, now=NOW)
    assert make_plan(now=NOW, reason=offered.reason, force=True) == "proposed"


def test_what_was_taken_can_be_undone(offered):
    before = planned_starts()
    take_proposal(pk=offered.pk, now=NOW)
    assert planned_starts() != before
    assert undo_take(pk=offered.pk)
    assert planned_starts() == before
    assert not undo_take(pk=wall().pk), "there is nothing before the first plan"


def test_only_one_proposal_waits_at_a_time(offered):
    report_outage(resource="airbrush", start=NOW, end=at(20, days=1))
    make_plan(now=NOW, reason="You said: the airbrush is out.")
    assert Plan.objects.filter(state=Plan.State.PROPOSED).count() == 1
    assert not take_proposal(pk=offered.pk, now=NOW), "the first is out of date"


def test_the_page_says_what_moves_why_and_shows_both_evenings(offered, signed_in):
    page = signed_in.get(reverse("proposal")).content.decode()
    assert "You said: Tuesday is off." in page
    late = offered.plan["late"]
    assert (
        "Late, and no better plan was found: Botanical supper" if late else "Every hand-over still holds."
    ) in page
    for move in offered.moves:
        assert move["title"].split("“")[0][:12] in page
    assert page.count("evening-bar") >= 2
    assert "Take it" in page
    assert "Leave it" in page


def test_new_work_on_a_list_she_has_seen_is_added_and_not_moved(planned, signed_in):
    freeze(day=NOW.date(), jobs=tonights(), now=NOW)
    OrderFactory(
        number=120, title="Regatta", hand_over_at=at(20, days=1), lines__quantity=12, lines__spares=0,
        lines__kind=KindFactory(key="stencil_detail"), lines__stage="flooded",
        lines__stage_at=NOW - timedelta(hours=30),
    )  # fmt: skip
    assert make_plan(now=NOW) == "proposed"
    page = signed_in.get(reverse("proposal")).content.decode()
    assert "runs would be added." in page
    assert "would move" not in page
    assert "has no session, and Regatta misses tomorrow 20:00." in page


def test_pressing_take_and_then_undo_on_the_page(offered, signed_in):
    before = planned_starts()
    signed_in.post(reverse("proposal_take", args=[offered.pk]))
    page = signed_in.get(reverse("tonight") + "?list").content.decode()
    assert "You took the changed plan." in page
    signed_in.post(reverse("proposal_undo"))
    assert planned_starts() == before


def test_without_a_proposal_the_page_leads_back(planned, signed_in, run_queued):
    run_queued()
    assert signed_in.get(reverse("proposal")).status_code == 302
    assert signed_in.post(reverse("proposal_take", args=[987654])).status_code == 302


def test_tonight_is_off_is_one_press(planned, signed_in, run_queued, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        response = signed_in.post(reverse("evening_off"), {"day": NOW.date().isoformat()})
    assert response.status_code == 302
    run_queued("replan")
    assert proposed() is not None
    with django_capture_on_commit_callbacks(execute=True):
        signed_in.post(reverse("evening_on"), {"day": NOW.date().isoformat()})
    run_queued("replan")
    assert proposed() is None, "the evening is on again: the question is gone"


@pytest.mark.parametrize("day", ["", "tomorrow", "2020-01-01", "2199-01-01", "2026-99-99"])
def test_a_strange_day_cannot_be_taken_off(planned, signed_in, day):
    from bakery.studio.models import HoursChange

    signed_in.post(reverse("evening_off"), {"day": day})
    assert not HoursChange.objects.exists()


def test_a_tool_that_is_out_moves_what_needs_it(
    planned, signed_in, run_queued, django_capture_on_commit_callbacks
):
    until = at(19, days=2).strftime("%Y-%m-%dT%H:%M")
    with django_capture_on_commit_callbacks(execute=True):
        signed_in.post(reverse("tool_out"), {"resource": "airbrush", "until": until})
    run_queued("replan")
    plan = proposed()
    assert plan is not None
    assert any("airbrush is out until" in move["why"] for move in plan.moves)


@pytest.mark.parametrize(
    "form", [{"resource": "airbrush", "until": "2020-01-01T10:00"}, {"resource": "spoon", "until": ""}, {}]
)
def test_an_outage_that_makes_no_sense_is_explained(planned, signed_in, form):
    page = signed_in.post(reverse("tool_out"), form).content.decode()
    assert "field__error" in page


def test_a_proposal_taken_late_begins_now_and_nothing_of_it_counts_as_done(planned):
    """Offered in the afternoon, taken in the evening: nobody has made what it wanted at half past six."""
    tomorrow = NOW + timedelta(days=1)
    change_date(day=NOW.date(), kind="off")
    make_plan(now=NOW, reason="You said: Tuesday is off.")
    offer = proposed()
    before, evening = planned_starts(), tomorrow.replace(hour=20, minute=2)
    assert min(at for at in starts_in(offer).values()) < evening
    assert take_proposal(pk=offer.pk, now=evening)
    moved = [
        job for job in Job.objects.exclude(planned_start=None) if job.planned_start != before.get(job.key)
    ]
    assert moved
    assert min(job.planned_start for job in moved) == tomorrow.replace(hour=20, minute=5)
    assert facts_of(moved, evening) == [], "nothing is assumed that was on no wall"


def starts_in(plan):
    origin = datetime.fromisoformat(plan.problem["origin"])
    return {name: origin + timedelta(minutes=start) for name, start in plan.plan["starts"].items()}
