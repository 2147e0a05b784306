"""Weeks that she has closed: to more orders, or to baking altogether."""

from datetime import date, timedelta

from django.db import transaction

from .models import ClosedWeek
from .services import locked_studio, tell

FARTHEST = timedelta(days=2 * 366)
"""A week further off than this is a slip of the finger."""


def monday_of(day: date) -> date:
    """The Monday of the week in which this day lies."""
    return day - timedelta(days=day.weekday())


def closed_weeks(first: date, last: date) -> dict[date, ClosedWeek]:
    """The closed weeks that touch these dates, by their Monday."""
    rows = ClosedWeek.objects.filter(monday__range=(monday_of(first), last))
    return {row.monday: row for row in rows}


def closed_week_of(day: date) -> ClosedWeek | None:
    """The closed week in which this day lies, or None."""
    return ClosedWeek.objects.filter(monday=monday_of(day)).first()


@transaction.atomic
def close_week(*, day: date, away: bool = False) -> ClosedWeek:
    """Close the week of this day: to more orders, or with `away` to baking too. Pressed twice it is closed
    once; pressed the other way it is closed the other way.
    """
    locked_studio()
    monday = monday_of(day)
    row = ClosedWeek.objects.filter(monday=monday).first() or ClosedWeek(monday=monday)
    before = row.away
    row.away = away
    row.full_clean()
    row.save()
    if row.away != before:
        tell(f"the week from {_named(monday)} is {'without baking' if away else 'for baking again'}")
    return row


@transaction.atomic
def open_week(*, day: date) -> None:
    """Open the week again; what was there stays where it is until she takes another plan."""
    locked_studio()
    row = ClosedWeek.objects.filter(monday=monday_of(day)).first()
    if row is None:
        return
    row.delete()
    if row.away:
        tell(f"the week from {_named(row.monday)} is open again")


def _named(day: date) -> str:
    return f"{day.day} {day:%B}"
