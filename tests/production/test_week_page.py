"""The week: picture, table and words say the same; an order is picked by a link."""

import re
from itertools import pairwise

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from bakery.orders.models import Order
from bakery.production.models import Job, Plan
from bakery.production.queries.week import week_view
from bakery.production.services import make_plan
from tests.factories import OrderFactory

from .conftest import LONDON, NOW, at

pytestmark = pytest.mark.django_db


def test_picture_and_table_hold_every_job_of_the_seven_days(planned):
    view = week_view(NOW)
    end = NOW.date().toordinal() + 7
    wanted = {j.key for j in Job.objects.exclude(planned_start=None)
              if j.planned_start.astimezone(LONDON).date().toordinal() < end}  # fmt: skip
    told = {job.key for day in view.days for run in day.runs for job in run.jobs}
    assert told == wanted
    drawn = [work for work in view.picture.work if not work.bare]
    assert len(drawn) == sum(len(day.runs) for day in view.days)


def test_no_two_trays_stand_on_one_place_at_once(planned):
    stays = week_view(NOW).picture.stays
    assert stays
    lying = [(s.place, [p for p in s.pieces if p.kind != "work"]) for s in stays]
    spans = sorted((place, pieces[0].start, pieces[-1].end) for place, pieces in lying if pieces)
    for (place, _, end), (other, start, _) in pairwise(spans):
        assert place != other or start >= end


def test_a_picked_order_is_told_in_words(planned, signed_in):
    page = signed_in.get(reverse("week") + "?order=119").content.decode()
    assert "Rowing tea in words" in page
    assert re.search(r'order=119[^>]*aria-current="true"', page)


@pytest.mark.parametrize(
    "query", ["?order=abc", "?order=99999999999", "?from=never", "?from=0001-01-01", "?from=2027-01-01"]
)
def test_strange_questions_get_a_page(planned, signed_in, query):
    assert signed_in.get(reverse("week") + query).status_code == 200
    assert signed_in.get(reverse("week_table") + query).status_code == 200


def test_room_for_more_shrinks_by_what_is_planned(kitchen):
    before = week_view(NOW).room
    make_plan(now=NOW)
    after = week_view(NOW).room
    assert sum(week.minutes for week in after) < sum(week.minutes for week in before)
    assert all(week.dozens * 12 >= 0 for week in after)


def test_the_table_is_reached_from_the_page_and_needs_no_script(planned, signed_in):
    assert reverse("week_table") in signed_in.get(reverse("week")).content.decode()
    page = signed_in.get(reverse("week_table")).content.decode()
    assert page.count("<tr>") > len(Job.objects.all()) / 4


def test_a_late_order_is_the_headline(kitchen, signed_in):
    OrderFactory(number=140, title="Too soon", hand_over_at=at(20), lines__quantity=40)
    make_plan(now=NOW)
    page = signed_in.get(reverse("week")).content.decode()
    assert "is late." in page
    assert "Too soon" in page
    assert "Sort out the week" in page


def test_queries_stay_bounded(planned, signed_in):
    few = _count(signed_in)
    for number in range(130, 142):
        OrderFactory(
            number=number, title=f"Tea {number}", hand_over_at=at(15, days=6 + number % 5), lines__quantity=6
        )
    make_plan(now=NOW)
    assert _count(signed_in) <= few + 3


def _count(client):
    with CaptureQueriesContext(connection) as caught:
        client.get(reverse("week"))
    return len(caught)


def test_an_order_without_a_place_is_no_kept_hand_over(planned, signed_in):
    """Booked a moment ago, or no plan was found: nothing is promised for it."""
    OrderFactory(number=141, title="Giant tea", hand_over_at=at(15, days=9), lines__quantity=12)
    page = signed_in.get(reverse("week")).content.decode()
    assert "Every order keeps its hand-over" not in page
    assert "The tightest is" not in page
    assert "One order has no place in the plan yet." in page
    assert "Giant tea" in page


def test_a_wall_that_no_longer_fits_promises_nothing(planned, signed_in):
    plan = Plan.objects.get(state=Plan.State.WALL)
    plan.tonight = {**plan.tonight, "broken": True}
    plan.save()
    page = signed_in.get(reverse("week")).content.decode()
    assert "Every order keeps its hand-over" not in page
    assert "no longer fits what you said" in page


def test_an_empty_list_says_so_when_orders_have_no_place(kitchen, signed_in):
    Order.objects.update(state="cancelled")
    make_plan(now=NOW)
    OrderFactory(number=141, title="Giant tea", hand_over_at=at(15, days=9), lines__quantity=12)
    page = signed_in.get(reverse("tonight") + "?list").content.decode()
    assert "Nothing needs you" not in page
