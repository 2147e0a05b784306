"""Reads about the business."""

from collections import defaultdict
from datetime import date, datetime, timedelta

from django.utils import timezone

from .models import BakingHours, ClosedWeek, HoursChange, Outage, Reading, Studio

READING_HOLDS = timedelta(hours=36)
"""A reading says nothing about the room after this."""


def the_studio() -> Studio:
    """The one studio; unsaved with its usual values before she has started."""
    return Studio.objects.filter(pk=1).first() or Studio(pk=1)


def ordinary_week() -> dict[int, list[BakingHours]]:
    """Baking hours by weekday, Monday is 0."""
    week: dict[int, list[BakingHours]] = defaultdict(list)
    for row in BakingHours.objects.all():
        week[row.weekday].append(row)
    return week


def changed_dates(first: date, last: date) -> dict[date, list[HoursChange]]:
    """What is different on single dates, both ends included."""
    changes: dict[date, list[HoursChange]] = defaultdict(list)
    for row in HoursChange.objects.filter(date__range=(first, last)):
        changes[row.date].append(row)
    return changes


def mondays_away(first: date, last: date) -> set[date]:
    """The Mondays of the weeks without baking that touch these dates."""
    span = (first - timedelta(days=first.weekday()), last)
    return set(ClosedWeek.objects.filter(away=True, monday__range=span).values_list("monday", flat=True))


def taken_off(first: date, last: date) -> dict[date, datetime]:
    """The dates without any baking hours because she said so, with the moment from which that is known."""
    changes = changed_dates(first, last)
    span = (first - timedelta(days=first.weekday()), last)
    weeks = dict(ClosedWeek.objects.filter(away=True, monday__range=span).values_list("monday", "closed_at"))
    found = {}
    for number in range((last - first).days + 1):
        day = first + timedelta(days=number)
        said = changes.get(day, [])
        away = weeks.get(day - timedelta(days=day.weekday()))
        if said and all(change.kind == HoursChange.Kind.OFF for change in said):
            found[day] = min(change.said_at for change in said)
        elif away and not said:
            found[day] = away
    return found


def outages_between(start: datetime, end: datetime) -> list[Outage]:
    return list(Outage.objects.filter(start__lt=end, end__gt=start))


def newest_reading(now: datetime | None = None) -> Reading | None:
    """The newest reading that still says something about the room, or None."""
    now = now or timezone.now()
    return Reading.objects.filter(at__gt=now - READING_HOLDS, at__lte=now).first()


def month_humidities() -> list[float]:
    """Her own twelve percentages of a usual year, January first; none where she never gave them."""
    own = Studio.objects.filter(pk=1).values_list("month_humidity", flat=True).first() or []
    known = len(own) == 12 and all(isinstance(one, (int, float)) and 1 <= one <= 100 for one in own)
    return own if known else []
