"""What stands on top of the cupboard: what falls short by the books, and what she says is low or out."""

from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone

from .. import words as shelf_words
from ..ledger_queries import titles_of
from ..models import Level, StockItem
from ..queries import Short, short_items
from . import words
from .outlook import Outlook, outlooks


@dataclass(frozen=True)
class ShortRow:
    """Words before and after its moment, and when to order. `books` when the amount is known from packets:
    then more of it comes with a delivery.
    """

    item: StockItem
    name: str
    at: datetime
    when: str
    before: str
    after: str
    lead: str
    books: bool
    level: float


@dataclass(frozen=True)
class Shorts:
    rows: tuple[ShortRow, ...]
    outlooks: tuple[Outlook, ...]
    said: tuple[Short, ...]

    @property
    def by_books(self) -> tuple[Outlook, ...]:
        return tuple(one for one in self.outlooks if one.is_short)


def shorts_of(now: datetime, needs, items) -> Shorts:
    """Of these items, soonest first; bounded queries."""
    found = outlooks(now, items, paces=False)
    known = {one.item.pk: one for one in found}
    said = tuple(short for short in short_items(needs) if not _settled(known.get(short.item.pk)))
    named = {one.item.pk for one in found if one.is_short} | {short.item.pk for short in said}
    titles = titles_of({take.order for one in found if one.item.pk in named for take in one.takes})
    rows = [_by_books(one, titles, now) for one in found if one.is_short]
    rows += [_as_said(short, known.get(short.item.pk), titles, now) for short in said]
    return Shorts(tuple(sorted(rows, key=lambda row: (row.at, row.name))), found, said)


def soon_short(now: datetime, until: datetime, needs) -> tuple[ShortRow | Short, ...]:
    """What falls short until then, soonest first: by the books, or as she said of what no amount is known;
    bounded queries.
    """
    found = outlooks(now, paces=False)
    known = {one.item.pk: one for one in found}
    booked = [one for one in found if one.is_short and one.firm.short_at <= until]
    titles = titles_of({take.order for one in booked for take in one.takes})
    rows = [_by_books(one, titles, now) for one in booked]
    rows += [short for short in short_items(needs) if not _settled(known.get(short.item.pk))]
    return tuple(sorted(rows, key=lambda row: (row.at, row.item.name)))


def headline(shorts: Shorts, items, now: datetime) -> tuple[str, str]:
    """The answer of the cupboard, and what it means for her."""
    if not shorts.rows:
        return shelf_words.headline((), items, now)
    first = shorts.rows[0]
    book = next((one for one in shorts.by_books if one.item.pk == first.item.pk), None)
    if book is None:
        short = next(short for short in shorts.said if short.item.pk == first.item.pk)
        answer = shelf_words.headline((short,), items, now)[0]
    else:
        answer = words.headline(book)
    dates = {}
    for row in shorts.rows:
        dates[row.item.pk] = max(words.deadline_of(row.item, row.at, now).by, timezone.localdate(now))
    by = words.by_day(min(dates.values()), now)
    if len(dates) == 1:
        return answer, f"Buy it {by}. Everything else that is wanted is there."
    small = shelf_words.SMALL
    things = small[len(dates)] if len(dates) < len(small) else f"{len(dates)} things"
    return answer, f"Buy {things}, the first {by}. Everything else that is wanted is there."


def _settled(one: Outlook | None) -> bool:
    """The books know: it is short and has its line, or there is enough however low it was said to be."""
    return one is not None and one.left is not None and bool(one.takes)


def _by_books(one: Outlook, titles, now: datetime) -> ShortRow:
    item, at = one.item, one.firm.short_at
    level = float(min(1, one.left / item.pack_size)) if item.pack_size > 1 else (0.2 if one.left else 0.0)
    missing, rest = words.short_words(one)
    whom = words.names_of(one.shorted, titles)
    after = f" for {whom}{rest}" if whom else rest
    lead = words.order_by(item, at, now, goal=False)
    name, when = shelf_words.item_words(item), shelf_words.moment(at, now)
    return ShortRow(item, name, at, when, f"About {missing} short by", after, lead, item.measured, level)


def _as_said(short: Short, one: Outlook | None, titles, now: datetime) -> ShortRow:
    item = short.item
    state = "None" if item.level == Level.OUT else "Little"
    # The amount as it is reserved is nearer than drops by the dozen.
    amount = words.much(one.wanted, item.unit) if one is not None and one.wanted else ""
    amount = amount or (f"{short.drops} drops" if short.drops else "")
    # Whom it is for goes with the amount: a need by name alone may be met from another box.
    whom = words.names_of(one.orders, titles) if one is not None and one.wanted else ""
    whom = whom or words.listed(dict.fromkeys(need.what_for for need in short.needs))
    at = (one.first_at if one is not None else None) or short.at
    lead = words.order_by(item, at, now, goal=False) if item.lead_days else ""
    level = 0.0 if item.level == Level.OUT else 0.2
    name, when = shelf_words.item_words(item), shelf_words.moment(at, now)
    before = f"{state} left{f', {amount}' if amount else ''} wanted by"
    return ShortRow(item, name, at, when, before, f" for {whom}.", lead, False, level)
