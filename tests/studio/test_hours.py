"""Baking hours as real time: ordinary weeks, changed dates, and the nights on which clocks change."""

from datetime import UTC, date, datetime, time, timedelta

import pytest

from bakery.studio import adapters
from bakery.studio.models import BakingHours, HoursChange
from tests.factories import BakingHoursFactory, HoursChangeFactory, OutageFactory, StudioFactory

pytestmark = pytest.mark.django_db
TUESDAY = date(2026, 11, 24)


def evening(day=1, start="18:30", end="22:30", **more):
    return BakingHoursFactory(weekday=day, start=start, end=end, **more)


def baking(first, last=None):
    return [s for s in adapters.calendar(first, last or first).sessions if s.longest is None]


def waking(day):
    return [s for s in adapters.calendar(day, day).sessions if s.longest is not None]


def test_an_ordinary_evening_is_one_session():
    evening()
    (session,) = baking(TUESDAY)
    assert session.start == datetime(2026, 11, 24, 18, 30, tzinfo=UTC)
    assert session.end - session.start == timedelta(hours=4)
    assert session.hands == 1


def test_hours_that_touch_are_one_session_so_that_a_job_may_cross_noon():
    evening(start="09:00", end="12:00")
    evening(start="12:00", end="15:00")
    (session,) = baking(TUESDAY)
    assert session.end - session.start == timedelta(hours=6)


def test_a_helper_for_part_of_the_evening_adds_hands_and_is_away_for_the_rest():
    evening()
    evening(start="19:00", end="21:00")
    calendar = adapters.calendar(TUESDAY, TUESDAY)
    (session,) = [s for s in calendar.sessions if s.longest is None]
    assert session.hands == 2
    away = [(o.resource, o.amount, o.start.hour, o.end.hour) for o in calendar.outages]
    assert away == [("hands", 1, 18, 19), ("hands", 1, 21, 22)]


@pytest.mark.parametrize(
    ("changes", "found"),
    [
        ([{"kind": "off"}], []),
        ([{"kind": "instead", "start": "10:00", "end": "12:00"}], [(10, 12)]),
        ([{"kind": "extra", "start": "10:00", "end": "12:00"}], [(10, 12), (18, 22)]),
        ([{"kind": "off"}, {"kind": "extra", "start": "10:00", "end": "12:00"}], [(10, 12)]),
    ],
)
def test_a_changed_date(changes, found):
    evening()
    for change in changes:
        HoursChangeFactory(date=TUESDAY, **change)
    assert [(s.start.hour, s.end.hour) for s in baking(TUESDAY)] == found
    assert [(s.start.hour, s.end.hour) for s in baking(TUESDAY + timedelta(days=7))] == [(18, 22)]


def test_waking_hours_fill_the_day_around_the_baking_hours():
    StudioFactory(hours=(), waking_from="07:00", waking_until="23:00")
    evening()
    assert [(s.start.hour, s.end.hour, s.longest) for s in waking(TUESDAY)] == [(7, 18, 10), (22, 23, 10)]


def test_waking_hours_past_midnight():
    StudioFactory(hours=(), waking_from="09:00", waking_until="01:00")
    (stretch,) = waking(TUESDAY)
    assert stretch.end - stretch.start == timedelta(hours=16)


@pytest.mark.parametrize(
    ("sunday", "utc_start", "hours_of_day"),
    [
        (date(2027, 3, 28), 8, 23),  # clocks go forward in the night before
        (date(2026, 10, 25), 9, 25),  # and back
    ],
)
def test_the_clock_on_the_wall_counts_when_clocks_change(sunday, utc_start, hours_of_day):
    StudioFactory(hours=(), waking_from="00:00", waking_until="23:59")
    evening(day=6, start="09:00", end="12:00")
    (session,) = baking(sunday)
    assert session.start.astimezone(UTC).hour == utc_start
    assert session.end - session.start == timedelta(hours=3)
    day = sum((s.end - s.start for s in adapters.calendar(sunday, sunday).sessions), timedelta())
    assert day == timedelta(hours=hours_of_day) - timedelta(minutes=1)


def test_hours_inside_the_skipped_hour_do_not_break_the_calendar():
    BakingHours.objects.create(weekday=6, start=time(1, 15), end=time(1, 45))
    assert all(s.start < s.end for s in adapters.calendar(date(2027, 3, 27), date(2027, 3, 29)).sessions)


def test_a_tool_that_is_out_is_known_to_the_calendar_for_the_days_it_touches():
    start = datetime(2026, 11, 24, 12, tzinfo=UTC)
    OutageFactory(start=start, end=start + timedelta(days=2))
    assert [
        o.resource
        for o in adapters.calendar(TUESDAY + timedelta(days=2), TUESDAY + timedelta(days=2)).outages
    ]
    assert not adapters.calendar(TUESDAY + timedelta(days=3), TUESDAY + timedelta(days=3)).outages


def test_a_year_of_calendar_takes_as_many_queries_as_a_day(django_assert_num_queries):
    StudioFactory()
    HoursChangeFactory(date=TUESDAY, kind=HoursChange.Kind.OFF)
    for days in (0, 365):
        with django_assert_num_queries(5):
            adapters.calendar(TUESDAY, TUESDAY + timedelta(days=days))
