"""Tonight's page and command: true sentences, eight lines, bounded queries, and right across a clock
change.
"""

from datetime import datetime, timedelta
from io import StringIO

import pytest
from django.core.management import call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from bakery.craft.planning import plan_from_json, problem_from_json, verify
from bakery.production.models import Evening, Job
from bakery.production.queries.tonight import MOST_LINES, tonight_view
from bakery.production.replan import described
from bakery.production.services import make_plan
from bakery.production.settle import closed_up, current_session, in_window
from bakery.production.verdicts import stop_here, verdicts_tonight, without_more_tonight
from bakery.studio.models import BakingHours, Reading
from tests.factories import OrderFactory, StudioFactory

from .conftest import LONDON, NOW, at, broken_rules, tonights, wall

pytestmark = pytest.mark.django_db


def test_the_headline_counts_the_cookies_that_are_flooded_tonight(planned):
    view = tonight_view(NOW)
    floods = [job for job in tonights() if job.kind == "flood"]
    needed = [run for run in view.runs if run.kind == "flood" and run.verdict != "good"]
    keys = {key for run in needed for key in run.keys}
    count = sum(job.cookies for job in floods if job.key in keys)
    assert view.headline == f"Flood {count} cookies tonight."


def test_every_job_of_the_day_stands_in_exactly_one_run(planned):
    view = tonight_view(NOW)
    keys = [job.key for run in view.runs for job in run.jobs]
    assert sorted(keys) == sorted(job.key for job in tonights())
    assert [run.number for run in view.runs] == list(range(1, len(view.runs) + 1))


def test_what_cannot_wait_comes_first_and_says_until_when(planned):
    view = tonight_view(NOW)
    musts = [run for run in view.runs if run.verdict == "must"]
    assert musts, "the ferns cannot wait"
    assert view.groups[0].verdict == "must"
    for run in musts:
        told = [
            view_told["latest"]
            for key, view_told in _told().items()
            if key in run.keys and view_told["latest"]
        ]
        if told:
            by = min(datetime.fromisoformat(text) for text in told).astimezone(LONDON)
            assert run.by == f"{by:%H:%M}"
            assert by >= run.start


def _told():
    return wall().tonight["tasks"]


def test_a_run_that_cannot_wait_shows_its_way_and_what_happens_otherwise(planned, signed_in):
    view = tonight_view(NOW)
    must = next(run for run in view.runs if run.verdict == "must" and run.kind == "flood")
    assert must.why.chain[-1].kind == "hand_over"
    assert must.why.chain[0].kind == "work"
    assert "Botanical supper" in must.why.otherwise or "proved" in must.why.otherwise
    assert "Why tonight" in signed_in.get(reverse("tonight")).content.decode()


def test_stopping_where_the_line_says_is_really_possible(kitchen):
    """With the stall's flooding put into tonight as well, the line stands before it: tomorrow does for
    that.
    """
    OrderFactory(number=125, title="Quay stall", hand_over_at=at(12, days=4), lines__quantity=12,
                 lines__stage="baked", lines__spares=0)  # fmt: skip
    make_plan(now=NOW)
    stored = wall()
    problem, plan = problem_from_json(stored.problem), plan_from_json(stored.plan)
    session = current_session(problem)
    stall = ["o125.l1.flood.1"]  # its icing is mixed with that for the ferns
    ids = [*(n for n in in_window(problem, dict(plan.starts), session) if n not in stall), *stall]
    starts = closed_up(problem, dict(plan.starts), session, ids)
    assert verify(problem, starts) == []
    both = described(problem, starts)
    stop = stop_here(problem, both, session, ids, verdicts_tonight(problem, both)["tasks"], patience=5)
    assert set(stop["waits"]) >= set(stall)
    answer, later = without_more_tonight(problem, starts, session, stop["before"], seconds=5)
    assert answer == "yes"
    assert verify(problem, later) == []
    assert all(later[name] >= session.end for name in stop["waits"])
    assert all(later[name] == starts[name] for name in stop["before"])


def test_at_most_eight_lines_stand_before_more(kitchen):
    for number in range(130, 142):
        OrderFactory(number=number, title=f"Half {number}", hand_over_at=at(15, days=3 + number % 3),
                     lines__quantity=6, lines__stage="baked", lines__spares=0)  # fmt: skip
    make_plan(now=NOW)
    view = tonight_view(NOW)
    assert sum(len(group.runs) for group in view.groups) <= MOST_LINES
    assert sum(len(g.runs) for g in (*view.groups, *view.rest)) == len(view.open_runs)


def test_the_first_showing_freezes_the_list(planned, signed_in):
    signed_in.get(reverse("tonight"))
    frozen = Evening.objects.get(date=NOW.date()).frozen
    assert [row["key"] for row in frozen] == [job.key for job in tonights()]
    Job.objects.filter(key=frozen[0]["key"]).update(planned_start=at(21))
    signed_in.get(reverse("tonight"))
    assert Evening.objects.get(date=NOW.date()).frozen == frozen


def test_without_baking_hours_today_the_next_list_is_named_by_its_day(planned, clock, signed_in):
    clock.move_to(at(9, days=5))  # a Sunday; the next session is Tuesday's
    view = tonight_view(at(9, days=5))
    assert not view.is_today
    assert "on Tuesday" in view.headline
    assert "tonight" not in view.headline


def test_an_empty_kitchen_says_one_sentence_and_offers_one_button(db, clock, signed_in):
    StudioFactory()
    page = signed_in.get(reverse("tonight")).content.decode()
    assert "Nothing to make yet." in page
    assert "Take an order" in page


def test_a_kitchen_without_hours_says_so(db, clock, signed_in):
    StudioFactory(hours=[])
    BakingHours.objects.all().delete()
    assert "no baking hours" in signed_in.get(reverse("tonight")).content.decode()


def test_a_page_that_is_asked_too_early_says_that_it_is_being_worked_out(kitchen, signed_in, run_queued):
    page = signed_in.get(reverse("tonight")).content.decode()
    assert "Sorting out the plan." in page
    assert "every 1s" in page
    run_queued()
    assert "cookies tonight." in signed_in.get(reverse("tonight")).content.decode()


def test_queries_do_not_grow_with_the_number_of_orders(planned, signed_in):
    url = reverse("tonight") + "?list"
    signed_in.get(url)
    few = _queries(signed_in, url)
    for number in range(130, 145):
        OrderFactory(number=number, title=f"Half {number}", hand_over_at=at(15, days=3 + number % 5),
                     lines__quantity=6, lines__stage="baked", lines__spares=0)  # fmt: skip
    make_plan(now=NOW)
    signed_in.get(url)
    many = _queries(signed_in, url)
    assert many <= few + 3, (few, many)
    assert many < 60


def _queries(client, url):
    with CaptureQueriesContext(
        connection,
    ) as caught:
        assert client.get(url).status_code == 200
    return len(caught)


def test_markup_in_a_title_is_only_text(planned, signed_in):
    planned["ferns"].title = '<script>alert(1)</script> & "ferns"'
    planned["ferns"].save()
    for url in (reverse("tonight"), reverse("week"), reverse("week_table")):
        page = signed_in.get(url).content.decode()
        assert "<script>alert" not in page
        assert "&lt;script&gt;" in page


def test_a_new_reading_is_kept_and_a_wrong_one_explained(planned, signed_in):
    fine = {"temperature_c": "19.5", "humidity_percent": "58", "where": "trays"}
    signed_in.post(reverse("room_reading"), fine)
    assert Reading.objects.first().humidity_percent == 58
    page = signed_in.post(reverse("room_reading"), fine | {"humidity_percent": "158"}).content.decode()
    assert "Humidity ends at 100 %." in page
    assert Reading.objects.count() == 2


def test_the_command_prints_the_same_list(planned):
    out = StringIO()
    call_command("tonight", stdout=out)
    text, view = out.getvalue(), tonight_view(NOW)
    assert text.startswith(view.headline)
    for run in view.runs:
        assert f"{run.number} {run.title}" in text


def test_the_pages_ask_for_a_login(planned, client):
    for name in ("tonight", "week", "week_table", "proposal", "morning", "tool_out"):
        assert client.get(reverse(name)).status_code == 302


def test_baking_hours_stay_where_they_are_when_the_clocks_go_back(db, clock):
    """On Sunday 25 October 2026 British clocks go back: 18:30 is then 18:30 UTC, the Friday before it is
    17:30 UTC.
    """
    friday = datetime(2026, 10, 23, 12, tzinfo=LONDON)
    clock.move_to(friday)
    StudioFactory()
    order = OrderFactory(number=118, title="Ferns", hand_over_at=datetime(2026, 10, 30, 15, tzinfo=LONDON),
                         lines__quantity=24, lines__spares=0)  # fmt: skip
    make_plan(now=friday)
    jobs = list(Job.objects.filter(order=order))
    assert any(job.planned_start > datetime(2026, 10, 25, 12, tzinfo=LONDON) for job in jobs)
    for job in jobs:
        local = job.planned_start.astimezone(LONDON)
        inside = (
            local.weekday() in (1, 2, 3, 4) and 18 * 60 + 30 <= local.hour * 60 + local.minute < 22 * 60 + 30
        )
        saturday = local.weekday() == 5 and 9 <= local.hour < 15
        waking = job.minutes * 1.15 <= 10 and 7 <= local.hour < 23
        assert inside or saturday or waking, (job.key, local)
    assert broken_rules(friday) == []
    tuesday = datetime(2026, 10, 27, 12, tzinfo=LONDON)
    clock.move_to(tuesday)
    session = tonight_view(tuesday).session
    assert (session.start.astimezone(LONDON).hour, session.start.utcoffset()) == (18, timedelta(0))
