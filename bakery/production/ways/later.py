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
DAYS = range(1, 15)


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
    """The first day after it on which it fits: at the time asked for, else in the evening."""
    when, event = timezone.localtime(kitchen.data.hand_over_at), kitchen.data.event_at
    for days in DAYS:
        asked = when + timedelta(days=days)
        evening = [asked.replace(hour=hour, minute=0) for hour in (LAST_SLOT, 17)]
        slots = [moment for moment in evening if moment > asked]
        best = None
        for moment in [*slots, asked]:  # the later the easier: where the last slot is a no, so is the day
            if left() <= 0 or (event and moment > event):
                break
            fit = kitchen.fits(replace(kitchen.data, hand_over_at=moment), seconds=0.5)
            if fit is None:
                break
            best = fit
        if best:
            yield _way(kitchen, best)
            return


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
