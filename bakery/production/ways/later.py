"""Another slot on the same day, or another day: it asks something of the customer, nothing of her."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from django.utils import timezone

from bakery.orders import replies
from bakery.orders.moments import short
from bakery.orders.text import plural

from ..reasons import at
from .found import Way, span, way_of
from .kitchen import Kitchen

LAST_SLOT = 19
QUARTER = timedelta(minutes=15)
STRIDES = (1, 2, 3, 5, 7, 9, 12, 14, 18, 22, 28, 35, 42)


def same_day(kitchen: Kitchen, left):
    """The earliest quarter of an hour of the same day at which it fits, found by halving."""
    when = timezone.localtime(kitchen.data.hand_over_at)
    last = _last_of(when, kitchen.data.event_at)
    if last <= when:
        return
    best = kitchen.fits(replace(kitchen.data, hand_over_at=last))
    if best is None:
        return
    low, high = 0, int((last - when) / QUARTER)
    while high - low > 1 and left() > 0:
        middle = (low + high) // 2
        fit = kitchen.fits(replace(kitchen.data, hand_over_at=when + middle * QUARTER))
        low, high, best = (low, middle, fit) if fit else (middle, high, best)
    yield _way(kitchen, best)


def another_day(kitchen: Kitchen, left):
    """A day after it on which it fits, the day before not: in strides, then by halving."""
    fit, gone, near = None, 0, 0
    for days in STRIDES:
        if left() <= 0:
            return
        fit = _on_day(kitchen, days)
        if fit:
            near = days
            break
        gone = days
    while fit and near - gone > 1 and left() > 0:
        middle = (gone + near) // 2
        found = _on_day(kitchen, middle)
        fit, near, gone = (found, middle, gone) if found else (fit, near, middle)
    if fit:
        yield _way(kitchen, fit)


def _on_day(kitchen: Kitchen, days: int):
    """The order so many days later, at the time asked for or else in the evening; None where that is a no."""
    event = kitchen.data.event_at
    asked = timezone.localtime(kitchen.data.hand_over_at) + timedelta(days=days)
    last = max((one.end for one in kitchen.scene.calendar.sessions), default=asked)
    evening = [asked.replace(hour=hour, minute=0) for hour in (LAST_SLOT, 17)]
    best = None
    for moment in [*(moment for moment in evening if moment > asked), asked]:
        if moment > last or (event and moment > event):
            continue
        fit = kitchen.fits(replace(kitchen.data, hand_over_at=moment), seconds=0.5)
        if fit is None:  # the later the easier: where the last slot is a no, so is the day
            break
        best = fit
    return best


def _last_of(when: datetime, event) -> datetime:
    """The last slot of that day: seven in the evening, or the event."""
    last = when.replace(hour=LAST_SLOT, minute=0)
    if event and timezone.localtime(event).date() == when.date():
        last = min(last, timezone.localtime(event))
    return last - timedelta(minutes=last.minute % 15)


def _way(kitchen: Kitchen, fit) -> Way:
    asked = timezone.localtime(kitchen.data.hand_over_at)
    moment = timezone.localtime(fit.data.hand_over_at)
    same = moment.date() == asked.date()
    event = timezone.localtime(fit.data.event_at) if fit.data.event_at else None
    day = "" if same else f" on {replies.day(moment)}"
    also = f"; their event is at {at(event)}" if event and event.date() == moment.date() else ""
    gap = moment - asked
    wait = span(gap.total_seconds() / 60) if same else plural(round(gap / timedelta(days=1)), "day")
    return way_of(
        fit,
        words=f"Hand over{day} at {at(moment)}{also}",
        cost=f"{wait} later for them, nothing for you",
        value=f"hand_over={short(moment)}",
    )
