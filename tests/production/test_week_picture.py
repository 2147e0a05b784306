"""The picture of the week: runs stay in their session, one day is looked at closer, a block says why."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from bakery.drawing.week import week_picture
from bakery.production.models import Job
from bakery.production.queries.week import week_view
from bakery.production.queries.week_runs import new_runs
from bakery.production.queries.week_why import why_now
from tests.factories import OrderFactory

from .conftest import NOW, at, wall
from .test_intake import words_of

pytestmark = pytest.mark.django_db


def ivory(key, start, end, order):
    return Job.objects.create(
        key=key, order=order, kind="flood", title="Flood Ivory", colours=["Ivory"], layer=0, cookies=12,
        minutes=30, attended=30, planned_start=start, planned_end=end,
    )  # fmt: skip


@pytest.fixture
def two_evenings(planned):
    """The last thing of one evening and the first of the next are the same step and colour."""
    Job.objects.all().delete()
    order = OrderFactory(number=170, hand_over_at=at(12, days=9))
    ivory("o170.a", at(21), at(21, 30), order)
    ivory("o170.b", at(21, 30), at(22), order)
    ivory("o170.c", at(18, 30, days=1), at(19, days=1), order)
    ivory("o170.d", at(20, days=1), at(20, 30, days=1), order)


def test_a_run_never_crosses_the_night_nor_a_long_pause(two_evenings):
    view = week_view(NOW)
    runs = [run.keys for day in view.days for run in day.runs]
    assert runs == [("o170.a", "o170.b"), ("o170.c",), ("o170.d",)]
    for work in view.picture.work:
        assert any(s.start <= work.start and work.end <= s.end for s in view.picture.sessions)


def test_even_with_hours_that_touch_midnight_each_session_begins_a_run(two_evenings):
    jobs = list(Job.objects.order_by("planned_start"))
    assert new_runs(jobs, []) == {"o170.a", "o170.c", "o170.d"}


def test_work_said_done_the_morning_after_does_not_stretch_over_the_night(two_evenings, clock):
    Job.objects.filter(key="o170.b").update(state="done", started_at=at(21, 30), done_at=at(7, days=1))
    clock.move_to(at(7, 30, days=1))
    view = week_view(at(7, 30, days=1), first=NOW.date())
    assert all(work.end <= at(22, 30) for work in view.picture.work if work.start < at(23))


def test_one_day_is_drawn_wider_and_to_the_next_noon(planned):
    day, week = week_view(NOW, zoom="day"), week_view(NOW)
    assert [one.day for one in day.days] == [NOW.date()]
    assert day.picture.end == at(12, days=1)
    assert day.after - day.first == timedelta(days=1)
    assert widest(week_picture(day.picture)) > 2 * widest(week_picture(week.picture))


def widest(drawing) -> float:
    return max(float(w) for w in re.findall(r'<a href="[^"]*run=[^>]*><rect [^>]*width="([\d.]+)"', drawing))


def test_days_without_baking_hours_have_a_picture_too(planned, signed_in):
    page = signed_in.get(reverse("week") + "?zoom=day&from=2026-11-29")  # a Sunday
    assert "The day before" in page.content.decode()


@pytest.mark.parametrize(
    "query", ["?zoom=year", "?zoom=day&from=x", "?run=%00", "?run=o1.x", "?run=" + "x" * 3000]
)
def test_strange_questions_get_a_page(planned, signed_in, query):
    assert signed_in.get(reverse("week") + query).status_code == 200


def test_every_block_leads_to_its_reason(planned, signed_in):
    page = signed_in.get(reverse("week")).content.decode()
    links = re.findall(
        r'<a href="([^"]*run=[^"]*)" aria-label="([^"]+)" hx-get="([^"]+)" hx-trigger="focus', page
    )
    assert len(links) == len([w for w in week_view(NOW).picture.work if not w.bare])
    assert 'role="group"' in page
    for href, _, fetched in links[:4]:
        whole = words_of(signed_in.get(href.replace("&amp;", "&").split("#")[0]))
        alone = words_of(signed_in.get(fetched.replace("&amp;", "&")))
        assert "Why then: " in whole
        assert re.search(r"Why then: .* Hand-over \w{3} \d\d:\d\d", alone)


def test_the_reason_ends_at_the_hand_over_and_names_the_time_between(planned):
    task = next(t for t in wall().problem["tasks"] if t["orders"] == ["o118"] and t["state"] == "todo")
    why = why_now(task["id"], NOW)
    assert why.order == 118
    assert why.steps[-1].kind == "hand_over"
    last = max(Job.objects.filter(order__number=118), key=lambda job: job.planned_end)
    spare = at(15, days=3) - last.planned_end
    hours, minutes = divmod(int(spare.total_seconds() // 60), 60)
    said = f"{hours} h {minutes:02d}" if minutes else f"{hours} h"
    assert f"{said} before the hand-over" in why.closing.replace("\u00a0", " ")


@pytest.mark.parametrize("run", ["", "o999.l1.bake.1", "nothing", "\x00"])
def test_no_reason_for_what_is_no_work(planned, signed_in, run):
    assert signed_in.get(reverse("week_why"), {"run": run}).status_code == 404
