"""The weeks ahead: seen coming, closed and opened again, over full by arithmetic."""

import re
from datetime import date, datetime, timedelta

import pytest
from django.urls import reverse

from bakery.orders.models import Order
from bakery.production.overfull import fresh_work, overfull_weeks
from bakery.production.queries.ahead import ahead_view
from bakery.production.queries.room_for_more import room_for_more
from bakery.production.queries.week import week_view
from bakery.production.services import make_plan
from bakery.studio.adapters import sessions_between
from bakery.studio.models import ClosedWeek, HoursChange
from bakery.studio.weeks import close_week, open_week
from tests.factories import HoursChangeFactory, OrderFactory

from .conftest import LONDON, NOW, at, planned_starts, wall
from .test_intake import NEW, fields, words_of

pytestmark = pytest.mark.django_db
MONDAY = date(2026, 12, 14)


class TestClosing:
    def test_no_more_orders_leaves_the_baking_hours(self, kitchen):
        close_week(day=MONDAY + timedelta(days=3))
        assert ClosedWeek.objects.get().monday == MONDAY
        assert len(sessions_between(MONDAY, MONDAY + timedelta(days=6))) == 5

    def test_away_takes_them_but_for_dates_given_by_name(self, kitchen):
        HoursChangeFactory(date=MONDAY, kind=HoursChange.Kind.EXTRA, start="10:00", end="12:00")
        close_week(day=MONDAY, away=True)
        assert len(sessions_between(MONDAY, MONDAY + timedelta(days=6))) == 1
        assert len(sessions_between(MONDAY - timedelta(days=7), MONDAY - timedelta(days=1))) == 5

    def test_closing_twice_and_opening_twice_is_once(self, kitchen):
        for _ in range(2):
            close_week(day=MONDAY)
        close_week(day=MONDAY, away=True)
        assert ClosedWeek.objects.get().away
        for _ in range(2):
            open_week(day=MONDAY + timedelta(days=6))
        assert not ClosedWeek.objects.exists()

    def test_nothing_on_the_wall_moves_by_it(self, planned):
        before = planned_starts()
        close_week(day=at(12, days=8).date(), away=True)
        assert planned_starts() == before

    def test_by_the_page_and_back(self, signed_in, planned):
        page = reverse("week_ahead")
        signed_in.post(reverse("week_close"), {"week": "2026-12-16", "how": "orders"})
        text = words_of(signed_in.get(page))
        assert "The week from 14 December takes no more orders." in text
        assert "No more orders: closed by you on Tue 24 Nov." in text
        back = signed_in.post(reverse("week_open"), {"week": "2026-12-14", "back": "/orders/"})
        assert back.url == "/orders/"
        assert "closed by you" not in words_of(signed_in.get(page))

    @pytest.mark.parametrize("week", ["", "never", "2026-02-30", "9999-12-31", "\x00", "2026-12-14T10:00\n"])
    def test_a_week_that_cannot_be_read_is_said(self, signed_in, kitchen, week):
        answer = signed_in.post(reverse("week_close"), {"week": week})
        assert answer.status_code in (302, 400)
        assert ClosedWeek.objects.count() <= 1

    @pytest.mark.parametrize("back", ["https://elsewhere.example/", "//elsewhere.example", "javascript:x"])
    def test_it_never_leads_elsewhere(self, signed_in, kitchen, back):
        answer = signed_in.post(reverse("week_open"), {"week": "2026-12-14", "back": back})
        assert answer.url == reverse("week_ahead")

    def test_intake_warns_and_takes_it_all_the_same(self, signed_in, planned):
        close_week(day=MONDAY)
        asked = fields(hand_over="Sat 19 Dec, 12:00")
        text = words_of(signed_in.post(reverse("order_answer"), asked))
        assert "You closed the week from 14 December to more orders." in text
        assert "would fit" in text
        signed_in.post(NEW, fields(hand_over="Sat 19 Dec, 12:00", do="keep"))
        assert Order.objects.filter(title="Late opening").exists()


class TestOverfull:
    """Two evenings of an hour before Friday, and work for three."""

    PROBLEM = {
        "orders": [
            {"id": "a", "pickup": 5000, "keeps": 1000, "bakes": ["a.bake"], "soft": False},
            {"id": "b", "pickup": 5100, "keeps": 1000, "bakes": ["b.bake"], "soft": False},
            {"id": "c", "pickup": 5100, "keeps": 1000, "bakes": ["c.bake"], "soft": True},
        ],
        "lags": [{"before": f"{o}.{x}", "after": f"{o}.{y}"} for o in "abc"
                 for x, y in (("dough", "bake"), ("bake", "pack"))],
        "tasks": [{"id": f"{o}.{kind}", "orders": [o], "attended": minutes, "hands": 1, "state": "todo"}
                  for o in "abc" for kind, minutes in (("dough", 500), ("bake", 40), ("pack", 50))],
    }  # fmt: skip

    def hours(self, start, end):
        """An hour at 4200 and one at 4700."""
        return sum(max(0, min(end, b) - max(start, b - 60)) for b in (4260, 4760))

    def test_only_what_follows_baking_counts(self):
        assert fresh_work(self.PROBLEM) == {"a": 90, "b": 90, "c": 90}

    def test_the_excess_is_need_less_have(self):
        found = overfull_weeks(self.PROBLEM, [(0, 6000)], self.hours, 0)[0]
        assert (found.need, found.have, found.over) == (180, 120, 60)
        assert (found.start, found.end, found.orders) == (4000, 5100, ("a", "b"))

    def test_made_ahead_or_given_up_it_fits(self):
        half = {**self.PROBLEM, "tasks": [t for t in self.PROBLEM["tasks"] if t["id"] != "b.bake"
                                          and t["id"] != "a.pack"]}  # fmt: skip
        assert overfull_weeks(half, [(0, 6000)], self.hours, 0) == {}

    def test_weeks_are_looked_at_together(self):
        """Each of the two has room by itself; the hours are the same hours."""
        weeks = [(0, 5050), (5050, 6000)]
        found = overfull_weeks(self.PROBLEM, weeks, self.hours, 0)
        assert list(found) == [1]
        assert found[1].over == 60


@pytest.fixture
def december(kitchen):
    """Thirty orders for December, as they stand in November."""
    for number in range(30):
        OrderFactory(
            number=300 + number, title=f"Party {number}", lines__quantity=36, lines__spares=0,
            hand_over_at=at(15, days=11 + 7 * (number % 3)) + timedelta(hours=number % 5),
        )  # fmt: skip
    assert make_plan(now=NOW) == "wall"
    return kitchen


def test_a_december_of_thirty_orders_is_seen_coming_in_november(
    december, signed_in, django_assert_max_num_queries
):
    """One test, since such a plan takes a while: what is seen, that it is true, what it costs."""
    room = room_for_more(NOW, weeks=6)
    assert [week.orders for week in room] == [1, 11, 10, 10, 0, 0]
    assert any(week.over for week in room[1:4])
    view = week_view(NOW)
    assert view.crowded
    page = words_of(signed_in.get(reverse("week")))
    assert "11 orders" in page
    ahead = words_of(signed_in.get(reverse("week_ahead")))
    assert "December" in ahead
    assert ahead_view(NOW).headline != "There is room ahead."
    over_full_is_true_of_the_plan()
    pages_take_the_same_queries_for_a_year(signed_in, django_assert_max_num_queries)


def over_full_is_true_of_the_plan():
    """The sentence's hours, recomputed by hand: the work after baking of the orders it counts, and what lies
    between its two moments; and the plan could not keep them all either.
    """
    week = next(week for week in room_for_more(NOW, weeks=6) if week.over)
    assert wall().plan["late"]
    told = re.match(
        r"(\d+) orders need (.+) from baking on. From .+? (\d+) (\w+) (\d\d):(\d\d), .* "
        r"until .+? (\d+) (\w+) (\d\d):(\d\d) there are (.+): (.+) too little.",
        week.over.replace("\u00a0", " "),
    )
    count, need, start, end, have, over = told[1], told[2], told.group(3, 4, 5, 6), told.group(7, 8, 9, 10), \
        told[11], told[12]  # fmt: skip
    start, end = (datetime.strptime(f"2026 {' '.join(at)}", "%Y %d %b %H %M").replace(tzinfo=LONDON)
                  for at in (start, end))  # fmt: skip
    assert minutes(need) - minutes(have) == minutes(over) == week.over_minutes
    problem = wall().problem
    origin = datetime.fromisoformat(problem["origin"])
    due = {o["id"] for o in problem["orders"] if start < origin + timedelta(minutes=o["pickup"]) <= end}
    late_kinds = [t for t in problem["tasks"] if t["orders"][0] in due and t["kind"] not in ("dough", "mix")]
    assert len(due) >= int(count)
    assert minutes(need) <= sum(t["attended"] * t["hands"] for t in late_kinds)
    inside = [s for s in sessions_between(start.date(), end.date()) if s.start < end and s.end > start]
    hours = sum((min(s.end, end) - max(s.start, start)) / timedelta(minutes=1) for s in inside)
    washed = sum(15 for s in inside if s.end <= end)
    assert minutes(have) <= hours - washed
    assert minutes(have) >= hours - washed - 15 - 10 * len(due)  # less the door, once an order at most


def minutes(text) -> int:
    whole, part = re.match(r"(?:(\d+) h)? ?(\d+)?", text).groups()
    return int(whole or 0) * 60 + int(part or 0)


def test_an_ordinary_month_is_not_crowded(planned):
    assert not week_view(NOW).crowded
    assert ahead_view(NOW).headline == "There is room ahead."
    assert ahead_view(NOW, year=True).months[-1].name == "November"


def pages_take_the_same_queries_for_a_year(signed_in, django_assert_max_num_queries):
    for address in (reverse("week_ahead"), reverse("week_ahead") + "?how=year"):
        with django_assert_max_num_queries(20):
            assert signed_in.get(address).status_code == 200
