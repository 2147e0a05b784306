"""What an answer counts on besides the order: an hour more, a second pair of hands, work made apart.

In the form it is one hidden line of items: `more 2026-12-03 21:30 22:30; help 2026-12-05 09:00 12:00; apart
KEY`. Nothing of it is stored before the order is kept, and the page says so.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.utils import timezone

from bakery.studio.models import HoursChange
from bakery.studio.services import change_date

MOST = 6
LONGEST = timedelta(hours=6)
FAR = timedelta(days=400)
MORE, HELP, APART, DRYER = "more", "help", "apart", "dryer"
_HOURS = re.compile(r"(more|help) (\d{4}-\d\d-\d\d) (\d\d:\d\d) (\d\d:\d\d)\Z", re.ASCII)
_APART = re.compile(r"apart ([\w.\-]{1,80})\Z")


@dataclass(frozen=True)
class Item:
    """One thing the answer counts on; `key` names what is made apart."""

    kind: str
    day: date | None = None
    start: time | None = None
    end: time | None = None
    key: str = ""

    @property
    def text(self) -> str:
        """As it stands in the form."""
        if self.kind == APART:
            return f"{APART} {self.key}"
        if self.kind == DRYER:
            return DRYER
        return f"{self.kind} {self.day.isoformat()} {self.start:%H:%M} {self.end:%H:%M}"

    @property
    def words(self) -> str:
        """`Work Thursday 3 Dec 21:30 to 22:30 too`"""
        if self.kind == APART:
            return "Make apart what would be made together"
        if self.kind == DRYER:
            return "Dry its trays in the dryer"
        span = f"{self.day:%A} {self.day.day} {self.day:%b} {_clock(self.start)} to {_clock(self.end)}"
        return f"Work {span} too" if self.kind == MORE else f"A second pair of hands {span}"

    @property
    def stored(self) -> str:
        """What to say once it is stored."""
        if self.kind == APART:
            return "What was made together is made apart now."
        if self.kind == DRYER:
            return "Its trays are planned into the dryer."
        span = f"{self.day:%A} {self.day.day} {self.day:%b} {_clock(self.start)} to {_clock(self.end)}"
        what = span if self.kind == MORE else f"a second pair of hands {span}"
        return f"Your baking hours now have {what}. Set-up takes it back."

    def change(self) -> HoursChange:
        """The changed date, not saved."""
        return HoursChange(date=self.day, kind=HoursChange.Kind.EXTRA, start=self.start, end=self.end)


@dataclass(frozen=True)
class Also:
    """Everything an answer counts on."""

    items: tuple[Item, ...] = ()

    @property
    def text(self) -> str:
        return "; ".join(item.text for item in self.items)

    def plus(self, item: Item) -> Also:
        return Also((*self.items, item)) if item not in self.items else self

    def hours(self) -> list[HoursChange]:
        """Changed dates to think of: those that are not stored already."""
        wanted = [item for item in self.items if item.kind in (MORE, HELP)]
        if not wanted:
            return []
        days = {item.day for item in wanted}
        there = {
            (row.date, row.start, row.end)
            for row in HoursChange.objects.filter(date__in=days, kind=HoursChange.Kind.EXTRA)
        }
        return [item.change() for item in wanted if (item.day, item.start, item.end) not in there]

    def dried(self, works: dict, name: str, shop, facts, now: datetime) -> dict:
        """The works, with the trays of this order in the dryer where the answer counts on it."""
        if not any(item.kind == DRYER for item in self.items):
            return works
        from .dryer import works_dried

        return works_dried(works, {name: now}, shop, facts, now)

    def together(self, shares) -> tuple:
        """The shares without those made apart."""
        apart = {item.key for item in self.items if item.kind == APART}
        return tuple(one for one in shares if one.key not in apart)


NOTHING = Also()


def read_also(text: str, *, now: datetime) -> Also:
    """The items of a form's line; whatever makes no sense falls out."""
    found = [item for part in str(text)[:600].split(";") if (item := _item(part.strip(), now))]
    return Also(tuple(dict.fromkeys(found))[:MOST])


def without(text: str, item: str) -> str:
    """The line without one of its items."""
    return "; ".join(part.strip() for part in text.split(";") if part.strip() not in ("", item.strip()))


def store(also: Also, *, now: datetime, reason: str = "", order=None) -> list[str]:
    """Put it into her hours and habits; says what was done. Doing it twice changes nothing."""
    from .services import another_way, keep_apart

    said = []
    for item in also.items:
        if item.kind == APART:
            done = keep_apart(key=item.key, now=now)
        elif item.kind == DRYER:
            done = order is not None and another_way(
                title=f"{order.title} dries in the dryer"[:180], now=now, dryer=[order.key]
            )
        else:
            change_date(
                day=item.day, kind=HoursChange.Kind.EXTRA, start=item.start, end=item.end, reason=reason[:120]
            )
            done = True
        if done:
            said.append(item.stored)
    return said


def _item(text: str, now: datetime) -> Item | None:
    if match := _APART.match(text):
        return Item(APART, key=match[1])
    if text == DRYER:
        return Item(DRYER)
    match = _HOURS.match(text)
    if match is None:
        return None
    try:
        day, start, end = (
            date.fromisoformat(match[2]),
            time.fromisoformat(match[3]),
            time.fromisoformat(match[4]),
        )
    except ValueError:
        return None
    today = timezone.localdate(now)
    long = datetime.combine(day, end) - datetime.combine(day, start)
    if not (today <= day <= today + FAR and timedelta(0) < long <= LONGEST):
        return None
    return Item(match[1], day, start, end)


def _clock(moment: time) -> str:
    return f"{moment.hour}:{moment:%M}"
