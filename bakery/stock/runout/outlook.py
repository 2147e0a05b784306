"""What is left of each item, what open orders take of it and when, how fast it goes: bounded reads."""

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import Decimal, InvalidOperation

from django.db.models import Min, Sum
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from bakery.craft.buying import pace_of
from bakery.craft.stocktaking import Projection, project

from .. import ledger
from ..models import Level, Move, Reserve, StockItem

ZERO = Decimal(0)
LOOK_BACK = timedelta(days=56)
LEAST_DAYS = 14
"""Eight weeks show her pace; a pace is no pace before two of them have passed."""


@dataclass(frozen=True)
class Take:
    """A job of an order takes so much; softly where the order is only quoted or held."""

    at: datetime
    quantity: Decimal
    order: str
    firm: bool


@dataclass(frozen=True)
class Outlook:
    """One item from now on. `left` is None where no amount is known: it is there, or low, and that is all."""

    item: StockItem
    left: Decimal | None
    takes: tuple[Take, ...]
    now: datetime
    pace: Decimal = ZERO
    _kept: dict = field(default_factory=dict, repr=False, compare=False)

    @property
    def firm(self) -> Projection | None:
        """The line that booked work draws."""
        return self._line("firm")

    @property
    def soft(self) -> Projection | None:
        """The same if every open quote and held order says yes."""
        return self._line("soft")

    @property
    def is_short(self) -> bool:
        return self.firm is not None and self.firm.short_by > 0

    @property
    def wanted(self) -> Decimal:
        """All that booked work takes."""
        return sum((take.quantity for take in self.takes if take.firm), ZERO)

    @property
    def first_at(self) -> datetime | None:
        return next((take.at for take in self.takes if take.firm), None)

    @property
    def orders(self) -> tuple[str, ...]:
        """Booked orders that take some, the first to do so first."""
        return tuple(dict.fromkeys(take.order for take in self.takes if take.firm))

    @property
    def shorted(self) -> tuple[str, ...]:
        """Booked orders that take from it when it has fallen short."""
        line = self.firm
        if line is None or line.short_at is None:
            return ()
        return tuple(dict.fromkeys(t.order for t in self.takes if t.firm and t.at >= line.short_at))

    def _line(self, which: str) -> Projection | None:
        if self.left is None:
            return None
        if which not in self._kept:
            takes = [take for take in self.takes if take.firm or which == "soft"]
            self._kept[which] = project(self.left, [(t.at, -t.quantity) for t in takes], now=self.now)
        return self._kept[which]


def outlooks(now: datetime, items=None, *, paces: bool = True) -> tuple[Outlook, ...]:
    """Of some items, or of the whole cupboard by shelf and name; four queries, one less without her paces."""
    items = list(StockItem.objects.all()) if items is None else list(items)
    left, takes = ledger.on_hand(items), _takes(now, items)
    paces = _paces(now, items) if paces else {}
    return tuple(
        Outlook(
            item,
            known_left(item, left[item.pk]),
            tuple(sorted(takes.get(item.pk, ()), key=lambda take: (take.at, take.order))),
            now,
            paces.get(item.pk, ZERO),
        )
        for item in items
    )


def known_left(item: StockItem, left: Decimal) -> Decimal | None:
    """What the books say, where amounts are kept; nothing when she says it is out; else nobody knows."""
    if item.level == Level.OUT:
        return ZERO
    return left if item.measured else None


def _takes(now: datetime, items) -> dict[int, list[Take]]:
    found: dict[int, list[Take]] = {}
    for row in Reserve.objects.filter(item__in=items):
        for at, quantity in _days(row, now):
            found.setdefault(row.item_id, []).append(Take(at, quantity, row.order, row.firm))
    return found


def _days(row: Reserve, now: datetime):
    """Moments and quantities of a reserve; all of it at its first moment where no days are kept. Work that is
    overdue takes it now.
    """
    days = []
    for one in row.days or ():
        try:
            at, quantity = parse_datetime(one[0]), Decimal(one[1])
        except (ValueError, TypeError, IndexError, InvalidOperation):
            continue
        if at and timezone.is_aware(at) and quantity.is_finite():
            days.append((max(at, now), quantity))
    if sum((quantity for _, quantity in days), ZERO) != row.quantity:
        return [(max(row.wanted_at or now, now), row.quantity)]
    return days


def _paces(now: datetime, items) -> dict[int, Decimal]:
    """Use a day over the last eight weeks, or since the first use in them; items used for less than two weeks
    have no pace.
    """
    uses = Move.objects.filter(kind=Move.Kind.USE, at__gte=now - LOOK_BACK, at__lte=now, undone_by=None)
    sums = uses.filter(packet__item__in=items).order_by().values("packet__item")
    found = {}
    for row in sums.annotate(used=Sum("quantity"), first=Min("at")):
        days = _between(row["first"], now)
        if days >= LEAST_DAYS and row["used"] < 0:
            found[row["packet__item"]] = pace_of(-row["used"], days)
    return found


def _between(first: datetime, now: datetime) -> int:
    start: date = timezone.localdate(first)
    return (timezone.localdate(now) - start).days
