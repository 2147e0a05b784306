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


def outages_between(start: datetime, end: datetime) -> list[Outage]:
    return list(Outage.objects.filter(start__lt=end, end__gt=start))


def newest_reading(now: datetime | None = None) -> Reading | None:
    """The newest reading that still says something about the room, or None."""
    now = now or timezone.now()
    return Reading.objects.filter(at__gt=now - READING_HOLDS, at__lte=now).first()
