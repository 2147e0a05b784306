"""Start, Done, so many done, undo: idempotent, and the rest of the evening follows her."""

from datetime import timedelta

import pytest
from django.urls import reverse

from bakery.production.adapters import current_problem
from bakery.production.models import Job, JobEvent, Plan
from bakery.production.queries.tonight import tonight_view
from bakery.production.services import finish_run, make_plan, start_run, undo_run

from .conftest import NOW, at, broken_rules, tonights, wall

pytestmark = pytest.mark.django_db


def first_run(now=NOW):
    return next(run for run in tonight_view(now).runs if run.open)


def test_start_sent_twice_starts_once(planned, clock):
    clock.move_to(at(18, 40))
    keys = first_run(at(18, 25)).keys
    assert start_run(keys=keys, now=at(18, 40))
    assert start_run(keys=keys, now=at(18, 41)) == []
    job = Job.objects.get(key=keys[0])
    assert (job.state, job.started_at) == ("started", at(18, 40))


def test_a_run_that_is_begun_stands_first_whatever_could_have_waited(planned, clock):
    start_run(keys=next(run for run in tonight_view(NOW).runs if run.verdict == "must").keys, now=NOW)
    last = next(run for run in reversed(tonight_view(NOW).runs) if run.open)
    Plan.objects.filter(state=Plan.State.WALL).update(tonight={})  # nothing is proved of any
    clock.move_to(at(18, 40))
    start_run(keys=last.keys, now=at(18, 40))
    begun = next(run for run in tonight_view(at(18, 41)).runs if last.keys[0] in run.keys)
    assert (begun.verdict, begun.note) == ("must", "begun")


def test_done_sent_twice_is_done_once(planned, clock):
    clock.move_to(at(19))
    keys = first_run(NOW).keys
    finish_run(keys=keys, now=at(19))
    assert finish_run(keys=keys, now=at(19, 5)) == []
    assert JobEvent.objects.filter(job__key=keys[0], what="done").count() == 1
    assert Job.objects.get(key=keys[-1]).done_at == at(19)


def test_undo_brings_back_what_was(planned, clock):
    keys = first_run().keys
    before = list(Job.objects.filter(key__in=keys).values("state", "planned_start", "planned_end", "done_at"))
    clock.move_to(at(19))
    finish_run(keys=keys, now=at(19))
    undo_run(keys=keys)
    after = list(Job.objects.filter(key__in=keys).values("state", "planned_start", "planned_end", "done_at"))
    assert after == before


def test_the_rest_of_the_list_follows_when_she_is_late_and_stays_in_its_order(planned, clock):
    order = [job.key for job in tonights()]
    keys = first_run().keys
    clock.move_to(at(19, 30))
    start_run(keys=keys, now=at(19, 30))
    assert make_plan(now=at(19, 30)) in ("same", "wall")
    later = [job for job in tonights() if job.state == "planned"]
    assert [job.key for job in later] == [key for key in order if key in {job.key for job in later}]
    assert min(job.planned_start for job in later) >= at(19, 30)
    assert broken_rules(at(19, 30)) == []


def test_what_a_very_late_start_pushes_out_of_her_hours_is_never_assumed_done(planned, clock):
    runs, end = tonight_view(NOW).open_runs, at(22, 30)
    first, last = runs[0].jobs[0], runs[-1].jobs[-1]
    late = end - (last.planned_start - first.planned_start) + timedelta(minutes=5)
    clock.move_to(late)
    start_run(keys=[first.key], now=late)
    pushed = Job.objects.get(key=last.key)
    assert (pushed.state, pushed.planned_start, pushed.said) == ("planned", None, True)
    inside = Job.objects.filter(state="planned", planned_start__gte=late, planned_start__lt=at(23, 59))
    assert all(job.planned_start < end for job in inside)
    clock.move_to(at(23, 30))
    problem, _ = current_problem(now=at(23, 30))
    assert {task.state for task in problem.tasks if task.id == last.key} == {"todo"}
    undo_run(keys=[first.key])
    assert Job.objects.get(key=last.key).planned_start == last.planned_start


def test_a_finished_job_brings_a_new_bedtime_line(planned, clock, run_queued):
    first = wall().tonight
    keys = first_run().keys
    clock.move_to(at(18, 50))
    finish_run(keys=keys, now=at(18, 50))
    run_queued()
    then = wall().tonight
    assert then["seen"] > first["seen"]
    assert not set(keys) & set(then["stop"]["before"])
    view = tonight_view(at(18, 50))
    assert not view.stale
    assert view.bedtime or view.bedtime_rest


def test_part_of_a_tray_leaves_its_rest_on_the_list(planned, clock):
    flood = next(run for run in tonight_view(NOW).runs if run.kind == "flood")
    clock.move_to(flood.end)
    finish_run(keys=flood.keys, now=flood.end, count=flood.cookies_count - 3)
    make_plan(now=flood.end)
    assert sum(Job.objects.filter(key__endswith=".rest").values_list("cookies", flat=True)) == 3


def test_passed_work_is_shown_plainly_as_assumed(planned, clock, signed_in):
    clock.move_to(at(22))
    view = tonight_view(at(22))
    assert view.so_far
    assert {run.state for run in view.so_far} == {"assumed"}
    page = signed_in.get(reverse("tonight")).content.decode()
    assert "assumed" in page
    assert "banner--no" not in page


def test_presses_work_without_script(planned, signed_in):
    run = first_run()
    response = signed_in.post(reverse("run_start"), {"key": list(run.keys)}, follow=True)
    assert response.status_code == 200
    assert Job.objects.get(key=run.keys[0]).state == "started"
    response = signed_in.post(reverse("run_done"), {"key": list(run.keys), "count": ""}, follow=True)
    assert {Job.objects.get(key=key).state for key in run.keys} == {"done"}
    assert "Undo" in response.content.decode()
    signed_in.post(reverse("job_undo"), {"key": list(run.keys)})
    assert Job.objects.get(key=run.keys[0]).state == "started"


@pytest.mark.parametrize("count", ["many", "-1", "99999999999999999999"])
def test_a_strange_count_changes_nothing_and_says_so(planned, signed_in, count):
    run = first_run()
    response = signed_in.post(reverse("run_done"), {"key": list(run.keys), "count": count}, follow=True)
    assert "Give a whole number" in response.content.decode()
    assert not Job.objects.filter(state="done").exists()


@pytest.mark.parametrize("keys", [[], ["nothing.of.the.sort"], ["x" * 500], ["'; drop table jobs; --"]])
def test_unknown_keys_do_nothing(planned, signed_in, keys):
    for name in ("run_start", "run_done", "job_undo"):
        assert signed_in.post(reverse(name), {"key": keys}).status_code == 302
    assert not JobEvent.objects.exists()


def test_a_poll_of_an_unchanged_list_answers_with_nothing(planned, signed_in):
    url = reverse("tonight") + f"?list&seen={tonight_view(NOW).version}"
    assert signed_in.get(url, headers={"HX-Request": "true"}).status_code in (200, 204)
    url = reverse("tonight") + f"?list&seen={tonight_view(NOW).version}"
    assert signed_in.get(url, headers={"HX-Request": "true"}).status_code == 204
    start_run(keys=first_run().keys, now=NOW + timedelta(minutes=1))
    assert signed_in.get(url, headers={"HX-Request": "true"}).status_code == 200
