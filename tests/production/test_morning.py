"""An evening nobody logged: nothing is red, one question is asked, each of its answers leads to a right
plan.
"""

from datetime import timedelta

import pytest
from django.urls import reverse

from bakery.orders.services import cancel, undo_state
from bakery.production.adapters import current_problem
from bakery.production.models import Evening, Job
from bakery.production.queries.morning import question
from bakery.production.queries.tonight import tonight_view
from bakery.production.services import answer_evening, make_plan, start_run, take_proposal, undo_evening
from bakery.studio.services import change_date
from tests.factories import KindFactory, OrderFactory

from .conftest import NEXT_MORNING, NOW, at, broken_rules, planned_starts, proposed, tonights, wall

pytestmark = pytest.mark.django_db


@pytest.fixture
def morning(planned, clock):
    """The next morning; nobody has said anything."""
    jobs = tonights()
    assert jobs, "the ferns need this evening"
    clock.move_to(NEXT_MORNING)
    return jobs


def test_unsaid_work_counts_as_done_as_planned(morning):
    problem, _ = current_problem(now=NEXT_MORNING)
    states = {task.id: task.state for task in problem.tasks}
    assert {states[job.key] for job in morning} == {"done"}
    assert broken_rules(NEXT_MORNING) == []
    assert set(Job.objects.filter(pk__in=[j.pk for j in morning]).values_list("state", flat=True)) == {
        "planned"
    }


def test_the_next_opening_asks_one_question_and_nothing_is_red(morning, signed_in):
    page = signed_in.get(reverse("tonight")).content.decode()
    assert "Last night: all done?" in page
    assert page.count('name="answer"') == 3
    assert "banner--no" not in page
    assert "late" not in page.replace("nothing is called late", "")


def test_floods_are_asked_first(morning):
    asked = question(NEXT_MORNING)
    assert asked.floods
    assert {run.kind for run in asked.floods} == {"flood"}
    assert {job.key for run in asked.runs for job in run.jobs} == {job.key for job in morning}


def test_what_was_begun_for_an_order_that_came_to_nothing_is_neither_listed_nor_asked_about(planned, clock):
    mine = [job for job in tonights() if job.order_id == planned["ferns"].pk]
    clock.move_to(mine[0].planned_start)
    start_run(keys=[mine[0].key], now=mine[0].planned_start)
    cancelled = cancel(order=planned["ferns"])
    make_plan(now=mine[0].planned_start)
    assert mine[0].key not in [job.key for job in tonight_view(mine[0].planned_start).jobs]
    clock.move_to(NEXT_MORNING)
    asked = question(NEXT_MORNING)
    assert asked is None or mine[0].key not in [job.key for run in asked.runs for job in run.jobs]
    undo_state(order=cancelled)
    asked = question(NEXT_MORNING)
    assert mine[0].key in [job.key for run in asked.runs for job in run.jobs]


def test_all_done_leaves_the_plan_as_it_is(morning):
    before = {k: s for k, s in planned_starts().items() if s > NEXT_MORNING}
    answer_evening(day=NOW.date(), answer="all", now=NEXT_MORNING)
    assert make_plan(now=NEXT_MORNING) == "same"
    assert {k: s for k, s in planned_starts().items() if s > NEXT_MORNING} == before
    assert proposed() is None
    assert question(NEXT_MORNING) is None
    done = Job.objects.filter(pk__in=[job.pk for job in morning])
    assert {(job.state, job.said, job.done_at) for job in done} == {
        ("done", True, j.planned_end) for j in morning
    }


def test_nothing_gives_every_job_a_new_place_in_a_checked_proposal(morning):
    answer_evening(day=NOW.date(), answer="nothing", now=NEXT_MORNING)
    assert make_plan(now=NEXT_MORNING, reason="You said: nothing was done.") == "proposed"
    plan = proposed()
    take_proposal(pk=plan.pk, now=NEXT_MORNING)
    starts = planned_starts()
    assert all(starts[job.key] >= NEXT_MORNING for job in morning)
    assert broken_rules(NEXT_MORNING) == []
    problem, _ = current_problem(now=NEXT_MORNING)
    assert all(task.state == "todo" for task in problem.tasks if task.id in {job.key for job in morning})


def test_all_but_one_flood_moves_that_flood_and_what_hangs_on_it(morning):
    flood = next(job for job in morning if job.kind == "flood")
    answer_evening(day=NOW.date(), answer="but", not_done=[flood.key], now=NEXT_MORNING)
    assert make_plan(now=NEXT_MORNING, reason="You said: all but one.") == "proposed"
    plan = proposed()
    assert any(flood.key in move["keys"] for move in plan.moves)
    assert any("Not done when it was planned" in move["why"] for move in plan.moves)
    take_proposal(pk=plan.pk, now=NEXT_MORNING)
    assert Job.objects.get(key=flood.key).planned_start >= NEXT_MORNING
    others = Job.objects.filter(pk__in=[job.pk for job in morning if job.key != flood.key])
    assert set(others.values_list("state", flat=True)) == {"done"}
    assert broken_rules(NEXT_MORNING) == []


def test_what_lies_on_work_that_was_not_done_was_not_done_either(kitchen, clock):
    """Sprayed and dotted in one evening: without the spray there are no dots."""
    OrderFactory(
        number=120, title="Regatta", hand_over_at=at(20, days=1), lines__quantity=12, lines__spares=0,
        lines__kind=KindFactory(key="stencil_detail"), lines__stage="flooded",
        lines__stage_at=NOW - timedelta(hours=30),
    )  # fmt: skip
    make_plan(now=NOW)
    mine = [job for job in tonights() if job.key.startswith("o120.")]
    assert {"spray", "pipe", "mix"} <= {job.kind for job in mine}
    clock.move_to(NEXT_MORNING)
    spray = [job.key for job in mine if job.kind == "spray"]
    answer_evening(day=NOW.date(), answer="but", not_done=spray, now=NEXT_MORNING)
    states = {job.kind: (job.state, job.planned_start) for job in Job.objects.filter(key__startswith="o120.")}
    assert states["spray"] == states["pipe"] == ("planned", None)
    assert states["mix"][0] == "done"
    make_plan(now=NEXT_MORNING)
    assert set(spray) <= set((proposed() or wall()).plan["starts"])


def test_eleven_of_a_tray_leave_the_rest_to_be_done(morning):
    flood = next(job for job in morning if job.kind == "flood")
    answer_evening(day=NOW.date(), answer="but", counts={flood.key: flood.cookies - 1}, now=NEXT_MORNING)
    make_plan(now=NEXT_MORNING)
    take_proposal(pk=proposed().pk, now=NEXT_MORNING)
    rest = Job.objects.get(key=f"{flood.key}.rest")
    assert rest.cookies == 1
    assert rest.planned_start >= NEXT_MORNING
    assert Job.objects.get(key=flood.key).state == "done"
    assert broken_rules(NEXT_MORNING) == []


def test_one_number_stretches_the_evening_to_when_she_finished(morning):
    last = max(job.planned_end for job in morning)
    finished = last + timedelta(minutes=45)
    answer_evening(day=NOW.date(), answer="all", finished_at=finished, now=NEXT_MORNING)
    rows = Job.objects.filter(pk__in=[job.pk for job in morning])
    assert max(row.done_at for row in rows) == finished
    assert min(row.started_at for row in rows) == min(job.planned_start for job in morning)
    assert make_plan(now=NEXT_MORNING) in ("same", "wall", "proposed")


def test_an_answer_can_be_taken_back_and_is_asked_again(morning):
    before = {job.key: (job.state, job.planned_start, job.planned_end) for job in morning}
    answer_evening(day=NOW.date(), answer="nothing", now=NEXT_MORNING)
    undo_evening(day=NOW.date())
    rows = Job.objects.filter(key__in=before)
    assert {row.key: (row.state, row.planned_start, row.planned_end) for row in rows} == before
    assert question(NEXT_MORNING) is not None
    assert make_plan(now=NEXT_MORNING) == "same"


def test_another_answer_replaces_the_first(morning):
    answer_evening(day=NOW.date(), answer="nothing", now=NEXT_MORNING)
    answer_evening(day=NOW.date(), answer="all", now=NEXT_MORNING + timedelta(minutes=1))
    rows = Job.objects.filter(pk__in=[job.pk for job in morning])
    assert set(rows.values_list("state", flat=True)) == {"done"}
    assert Evening.objects.get(date=NOW.date()).answer == "all"


def test_answers_come_in_by_the_page_once_however_often_they_are_sent(morning, signed_in):
    form = {"day": NOW.date().isoformat(), "answer": "all"}
    for _ in range(2):
        assert signed_in.post(reverse("morning_answer"), form).status_code == 302
    rows = Job.objects.filter(pk__in=[job.pk for job in morning])
    assert set(rows.values_list("state", flat=True)) == {"done"}
    assert rows[0].events.count() == 1


def test_all_but_asks_which_before_anything_is_said(morning, signed_in):
    form = {"day": NOW.date().isoformat(), "answer": "but"}
    page = signed_in.post(reverse("morning_answer"), form).content.decode()
    assert page.count('name="not_done"') == len(question(NEXT_MORNING).runs)
    assert not Job.objects.filter(state="done").exists()


@pytest.mark.parametrize(
    "wrong",
    [
        {"answer": "all", "finished": "half past ten"},
        {"answer": "but", "picking": "1", "count-{flood}": "eleven"},
        {"answer": "but", "picking": "1", "count-{flood}": "-3"},
    ],
)
def test_what_cannot_be_read_comes_back_with_a_sentence(morning, signed_in, wrong):
    flood = question(NEXT_MORNING).floods[0]
    form = {key.format(flood=flood.id): value for key, value in wrong.items()} | {
        "day": NOW.date().isoformat()
    }
    response = signed_in.post(reverse("morning_answer"), form)
    assert response.status_code == 422
    assert "field__error" in response.content.decode()
    assert not Job.objects.filter(state="done").exists()


@pytest.mark.parametrize("day", ["", "yesterday", "2026-13-45", "0001-01-01", "9999-12-31"])
def test_a_strange_day_says_nothing_and_breaks_nothing(morning, signed_in, day):
    response = signed_in.post(reverse("morning_answer"), {"day": day, "answer": "nothing"})
    assert response.status_code == 302


def test_a_part_of_tonight_can_be_said_not_done_while_it_goes_on(planned, clock, signed_in):
    clock.move_to(at(21))
    passed = question(at(21), tonight=True)
    run = passed.runs[0]
    form = {
        "day": NOW.date().isoformat(),
        "tonight": "1",
        "picking": "1",
        "answer": "but",
        "not_done": run.keys[0],
    }
    assert signed_in.post(reverse("morning_answer"), form).status_code == 302
    assert Job.objects.get(key=run.keys[0]).planned_start is None
    make_plan(now=at(21))
    if proposed():
        take_proposal(pk=proposed().pk, now=at(21))
    assert broken_rules(at(21)) == []


def test_the_list_of_today_can_be_seen_before_the_question_is_answered(morning, signed_in):
    page = signed_in.get(reverse("tonight") + "?list").content.decode()
    assert "Last night: all done?" not in page
    assert "Say how it went" in page
    assert tonight_view(NEXT_MORNING).ended_unsaid


def test_after_days_away_one_question_covers_them_all(planned, clock, signed_in):
    friday = at(23, days=3)
    passed = [job.key for job in Job.objects.filter(planned_start__lt=at(4, days=4) - timedelta(days=1))]
    clock.move_to(friday)
    asked = question(friday)
    assert asked.title == "Since Tuesday: all done?"
    keys = {job.key for run in asked.runs for job in run.jobs}
    assert keys == set(passed)
    signed_in.post(reverse("morning_answer"), {"day": asked.day.isoformat(), "answer": "all"})
    assert set(Job.objects.filter(key__in=keys).values_list("state", flat=True)) == {"done"}
    assert question(friday) is None
    undo_evening(day=asked.day)
    assert {job.key for run in question(friday).runs for job in run.jobs} == keys


def test_work_she_started_and_forgot_is_asked_about_too(planned, clock):
    clock.move_to(at(18, 30))
    run = next(run for run in tonight_view(at(18, 30)).runs if run.open)
    start_run(keys=run.keys, now=at(18, 30))
    clock.move_to(NEXT_MORNING)
    assert run.keys[0] in {job.key for asked in question(NEXT_MORNING).runs for job in asked.jobs}


@pytest.mark.parametrize("typed", ["²", "٣", "１２", "-1", "9" * 5000, "half"])
def test_a_count_that_is_no_number_gets_a_sentence(morning, signed_in, typed):
    asked = question(NEXT_MORNING)
    form = {"day": asked.day.isoformat(), "answer": "but", "picking": "1", f"count-{asked.runs[0].id}": typed}
    answer = signed_in.post(reverse("morning_answer"), form)
    assert answer.status_code == 422
    assert "Give a whole number" in answer.content.decode()


class TestADayTakenOff:
    """She pressed "Tonight is off" and closed the phone: the changed plan waits, not taken and not left."""

    @pytest.fixture
    def off(self, planned, clock):
        change_date(day=NOW.date(), kind="off")
        assert make_plan(now=NOW, reason="You said: Tuesday is off.") == "proposed"
        clock.move_to(NEXT_MORNING)
        return [job.key for job in tonights()]

    def test_nothing_of_it_counts_as_done_the_next_day(self, off):
        assert off
        problem, _ = current_problem(now=NEXT_MORNING)
        assert {task.state for task in problem.tasks if task.id in off} == {"todo"}

    def test_it_is_not_asked_about(self, off, signed_in):
        assert question(NEXT_MORNING) is None
        assert answer_evening(day=NOW.date(), answer="all", now=NEXT_MORNING) == []

    def test_it_finds_another_place(self, off):
        make_plan(now=NEXT_MORNING)
        plan = proposed() or wall()
        assert set(off) <= set(plan.plan["starts"])

    def test_what_was_done_before_she_took_the_rest_off_still_counts(self, planned, clock):
        """At twenty past eight she is too ill to go on; the first jobs have passed unsaid."""
        first = tonights()[0]
        clock.move_to(first.planned_end)
        change_date(day=NOW.date(), kind="off")
        clock.move_to(NEXT_MORNING)
        problem, _ = current_problem(now=NEXT_MORNING)
        assert {task.id: task.state for task in problem.tasks}[first.key] == "done"
        assert question(NEXT_MORNING) is not None
