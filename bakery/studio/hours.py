"""Baking hours as stretches of real time: the ordinary week, changed dates, and the waking hours between."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from .models import BakingHours, HoursChange

WAKING_JOBS = 10
"""In waking hours outside the baking hours only jobs up to this many minutes are done."""


@dataclass(frozen=True)
class Stretch:
    """Hands that are free from `start` to `end` (aware, UTC)."""

    start: datetime
    end: datetime
    hands: int = 1


@dataclass(frozen=True)
class Session:
    """One unbroken stretch of baking hours; `away` are parts of it with fewer hands than `hands`."""

    start: datetime
    end: datetime
    hands: int
    away: tuple[Stretch, ...] = ()


def moment(day: date, clock: time, zone: ZoneInfo) -> datetime:
    """A clock time of a day as a moment in UTC; a clock time that a spring night skips counts as after it."""
    return datetime.combine(day, clock, tzinfo=zone).astimezone(UTC)


def stretches_of(
    day: date, week: dict[int, list[BakingHours]], changes: list[HoursChange], zone: ZoneInfo
) -> list[Stretch]:
    """The stretches of one date: other hours instead of the weekday's, more on top, or none."""
    kinds = {change.kind for change in changes}
    rows: list = []
    if not kinds & {HoursChange.Kind.OFF, HoursChange.Kind.INSTEAD}:
        rows += week.get(day.weekday(), [])
    rows += [change for change in changes if change.kind != HoursChange.Kind.OFF]
    found = [Stretch(moment(day, r.start, zone), moment(day, r.end, zone), r.hands) for r in rows]
    return [stretch for stretch in found if stretch.start < stretch.end]


def sessions_of(stretches: Iterable[Stretch]) -> list[Session]:
    """Touching and overlapping stretches joined; where two people's stretches overlap their hands add up."""
    sessions: list[Session] = []
    group: list[Stretch] = []
    for stretch in sorted(stretches, key=lambda s: s.start):
        if group and stretch.start > max(s.end for s in group):
            sessions.append(_joined(group))
            group = []
        group.append(stretch)
    return [*sessions, _joined(group)] if group else sessions


def _joined(group: list[Stretch]) -> Session:
    edges = sorted({edge for s in group for edge in (s.start, s.end)})
    parts = [
        Stretch(low, high, sum(s.hands for s in group if s.start <= low and high <= s.end))
        for low, high in pairwise(edges)
    ]
    hands = max(part.hands for part in parts)
    away = tuple(Stretch(p.start, p.end, hands - p.hands) for p in parts if p.hands < hands)
    return Session(edges[0], edges[-1], hands, away)


def waking_between(
    first: date, last: date, wakes: time, sleeps: time, sessions: list[Session], zone: ZoneInfo
) -> list[Stretch]:
    """The waking hours of the dates that are not baking hours."""
    found = []
    for number in range((last - first).days + 1):
        day = first + timedelta(days=number)
        night = day if sleeps > wakes else day + timedelta(days=1)
        at, end = moment(day, wakes, zone), moment(night, sleeps, zone)
        for session in sessions:
            if session.end <= at or session.start >= end:
                continue
            if session.start > at:
                found.append(Stretch(at, session.start))
            at = max(at, session.end)
        if at < end:
            found.append(Stretch(at, end))
    return found
