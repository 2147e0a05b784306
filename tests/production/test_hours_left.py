"""Room for more: one answer for every page, and by plain arithmetic."""

import re
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.orders.models import State
from bakery.production.free_hands import Span, left_in, washing_up
from bakery.production.queries.hours_left import hours_left
from bakery.production.queries.order_list import order_list
from bakery.production.queries.room_for_more import dozen_minutes, room_for_more
from bakery.production.queries.week import week_view
from bakery.production.services import make_plan
from bakery.studio.weeks import close_week, open_week
from tests.factories import HoursChangeFactory, OrderFactory

from .conftest import NOW, at, wall

pytestmark = pytest.mark.django_db

EVENING, SATURDAY, WASH = 240, 360, 15
ORDINARY = 4 * (EVENING - WASH) + SATURDAY - WASH  # 20 h 45
DOOR = 10


def test_an_empty_week_is_its_baking_hours_less_the_washing_up(kitchen):
    weeks = hours_left(NOW, weeks=3)
    assert [week.whole for week in weeks] == [week.left for week in weeks] == [ORDINARY] * 3
    assert [week.orders for week in weeks] == [1, 1, 0]


def test_the_plan_on_the_wall_takes_its_minutes_and_nothing_else(planned):
    """Recomputed from the plan's own starts: minutes of hands of every task, by the week it stands in."""
    problem, starts = wall().problem, wall().plan["starts"]
    monday_after = 24 * 60 * 6  # the origin is midnight of Tuesday the 24th
    taken = [0, 0]
    for task in problem["tasks"]:
        if task["state"] == "todo":
            taken[starts[task["id"]] >= monday_after] += task["attended"] * task["hands"]
    assert all(taken)
    weeks = hours_left(NOW, weeks=2)
    # Both hand-overs, Friday 15:00 and Saturday 12:00; only the second is inside baking hours: the door.
    assert [week.whole for week in weeks] == [ORDINARY, ORDINARY - DOOR]
    waking = sum(
        t["attended"] for t in problem["tasks"] if t["state"] == "todo" and not _in_session(t, starts)
    )
    assert sum(week.taken for week in weeks) == sum(taken) - waking


def _in_session(task, starts):
    minute = starts[task["id"]]
    return any(w["start"] <= minute < w["end"] for w in wall().problem["windows"] if not w["longest"])


def test_both_pages_say_the_same(planned, signed_in):
    assert order_list(NOW).room == week_view(NOW).room
    told = [re.findall(r"\d+ h(?: \d\d)? left", signed_in.get(page).content.decode().replace("\u00a0", " "))
            for page in ("/orders/", "/week/")]  # fmt: skip
    assert set(told[0]) == set(told[1]) != set()


def test_hours_that_have_passed_are_gone(kitchen, clock):
    clock.move_to(at(19, 0))
    assert hours_left(at(19, 0), weeks=1)[0].left == ORDINARY - 30


def test_what_is_held_is_taken_but_told_apart(kitchen):
    held = OrderFactory(number=150, title="Perhaps", hand_over_at=at(12, days=11), lines__quantity=36,
                        state=State.HELD, held_until=NOW + timedelta(days=2))  # fmt: skip
    make_plan(now=NOW)
    weeks = hours_left(NOW, weeks=3)
    problem = wall().problem
    alone = sum(t["attended"] * t["hands"] for t in problem["tasks"] if t["orders"] == [held.key])
    assert sum(week.held for week in weeks) == alone > 0
    assert [week.held_orders for week in weeks] == [0, 1, 0]
    assert "only held" in " ".join(week.note for week in room_for_more(NOW))


def test_dozens_are_whole_dozens_of_plain_cookies(kitchen):
    week = room_for_more(NOW)[2]
    assert week.dozens == int(ORDINARY // dozen_minutes())
    assert 30 < dozen_minutes() < 120


def test_dates_off_and_closed_weeks_leave_nothing(kitchen):
    HoursChangeFactory(date=at(0, days=1).date())
    close_week(day=at(0, days=9).date())
    close_week(day=at(0, days=16).date(), away=True)
    this, shut, away, fourth = hours_left(NOW, weeks=4)
    assert this.left == ORDINARY - (EVENING - WASH)
    assert (shut.left, shut.whole) == (0, ORDINARY)
    assert (away.left, away.whole) == (0, 0)
    assert fourth.left == ORDINARY
    open_week(day=at(0, days=9).date())
    assert hours_left(NOW, weeks=2)[1].left == ORDINARY


def test_the_same_queries_for_four_weeks_and_for_a_year(planned, django_assert_max_num_queries):
    for weeks in (4, 52):
        with django_assert_max_num_queries(14):
            room_for_more(NOW, weeks=weeks)


SPANS = st.builds(
    lambda a, n, h: Span(a, a + n, h), st.integers(0, 60), st.integers(1, 30), st.integers(1, 2)
)


@given(SPANS, st.lists(SPANS, max_size=6))
def test_what_is_left_is_counted_minute_by_minute(stretch, taken):
    slow = sum(
        max(0, stretch.hands - sum(s.hands for s in taken if s.start <= minute < s.end))
        for minute in range(stretch.start, stretch.end)
    )
    assert left_in(stretch, taken) == slow


def test_washing_up_never_eats_a_short_session():
    assert washing_up(Span(0, 240), 15) == Span(225, 240, 1)
    assert washing_up(Span(0, 20), 15) == Span(15, 20, 1)
