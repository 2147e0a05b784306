"""The shopping list: what to buy where, in whole packs, by when, for whom, and what it will cost about."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import ROUND_HALF_UP, Decimal

from django.utils import timezone

from bakery.craft.buying import packs_for, reaches

from .. import ledger
from ..ledger_queries import titles_of
from ..ledger_words import plain
from ..models import Level, StockItem
from ..queries import wanted_items
from ..signals import needs
from . import words
from .outlook import ZERO, Outlook, outlooks
from .picture import again_at
from .words import much

PENNY = Decimal("0.01")
SOON_DAYS = 14
MOST_PACKS = 999
LOOSE = (StockItem.Unit.GRAM, StockItem.Unit.MILLILITRE, StockItem.Unit.DROP)
NOWHERE = "Anywhere"


@dataclass(frozen=True)
class Line:
    """Buy so many packs of an item (None where nobody said what a pack holds: then so much), by a day."""

    item: StockItem
    quantity: Decimal
    packs: int | None
    why: str
    cost: Decimal | None
    by: date | None = None
    order_by: str = ""
    late: bool = False

    @property
    def amount(self) -> str:
        """2 packets of 1.5 kg; about 530 g; 28 pieces."""
        unit = self.item.unit
        if self.packs is None:
            return f"about {much(self.quantity, unit)}"
        if self.item.pack_size <= 1:
            return much(self.quantity, unit)
        return f"{self.packs} x {much(self.item.pack_size, unit)}"

    @property
    def typed(self) -> str:
        """The same as the form of a delivery reads it."""
        if self.packs is None or self.item.pack_size <= 1:
            return f"{plain(self.quantity, 3).replace(',', '')} {self.item.unit}"
        return str(self.packs)


@dataclass(frozen=True)
class Shop:
    """All that comes from one place. `unpriced` lines are not in the total."""

    name: str
    lines: tuple[Line, ...]

    @property
    def total(self) -> Decimal:
        return sum((line.cost for line in self.lines if line.cost is not None), ZERO)

    @property
    def unpriced(self) -> int:
        return sum(line.cost is None for line in self.lines)


@dataclass(frozen=True)
class ShoppingList:
    """`shops` hold what open orders ask for or her pace uses up; `also` is low or out, and no booked
    work needs more of it than there is; `quoted` says what more would be wanted if the open quotes say yes.
    """

    shops: tuple[Shop, ...]
    also: tuple[StockItem, ...]
    quoted: tuple[str, ...]
    first: Line | None

    @property
    def lines(self) -> tuple[Line, ...]:
        return tuple(line for shop in self.shops for line in shop.lines)

    @property
    def total(self) -> Decimal:
        return sum((shop.total for shop in self.shops), ZERO)

    @property
    def unpriced(self) -> int:
        return sum(shop.unpriced for shop in self.shops)


def shopping_list(now: datetime) -> ShoppingList:
    """From the books, what is reserved, and what she says of the rest; bounded queries."""
    found = outlooks(now)
    asked = wanted_items(needs(now)) if _unreserved(found) else {}
    titles = titles_of({take.order for one in found for take in one.takes})
    wanted = [
        (one, said) for one in found if (said := _wanted(one, titles, asked.get(one.item.pk, ()))) is not None
    ]
    prices = _prices([one.item for one, _ in wanted])
    lines = [_line(one, *said, prices[one.item.pk]) for one, said in wanted]
    lines.sort(key=lambda line: (line.by or date.max, line.item.name))
    shops: dict[str, list[Line]] = {}
    for line in lines:
        shops.setdefault(line.item.supplier.strip() or NOWHERE, []).append(line)
    listed = {line.item.pk for line in lines}
    also = [one.item for one in found if one.item.level != Level.HAVE and one.item.pk not in listed]
    return ShoppingList(
        tuple(Shop(name, tuple(mine)) for name, mine in shops.items()),
        tuple(item for item in also if not _plenty(item, found)),
        tuple(_quoted(found)),
        lines[0] if lines else None,
    )


def _plenty(item: StockItem, found) -> bool:
    """She said low once, and the books have counted enough since."""
    one = next(one for one in found if one.item.pk == item.pk)
    return item.level == Level.LOW and one.left is not None and one.left > ledger.foot_amount(item)


def _unreserved(found) -> bool:
    """Low or out, and no amounts are reserved: then the planned work itself says what it wants."""
    return any(one.item.level != Level.HAVE and not one.takes for one in found)


def _wanted(one: Outlook, titles, asked) -> tuple[Decimal, datetime, str] | None:
    """How much is missing, by when, and why; None where there is nothing to buy."""
    item, now = one.item, one.now
    if one.is_short:
        # With days to spare in the amount too, so that the shelf is not bare on the day after.
        return (
            one.firm.short_by + one.pace * item.margin_days,
            one.firm.short_at,
            words.short_line(one, titles),
        )
    if one.left is None and item.level == Level.LOW and one.takes:
        whom = words.names_of(one.orders or (one.takes[0].order,), titles)
        said = f"Little left; {much(one.wanted, item.unit)} wanted for {whom}." if one.wanted else ""
        return (one.wanted, one.first_at, said) if said else None
    if asked and item.level != Level.HAVE and not one.takes:
        first = min(need.at for need in asked)
        whom = words.listed(dict.fromkeys(need.what_for for need in asked))
        return item.pack_size, first, f"{'None' if item.level == Level.OUT else 'Little'} left, for {whom}."
    return _by_pace(one, now)


def _by_pace(one: Outlook, now: datetime) -> tuple[Decimal, datetime, str] | None:
    """Nothing planned takes it all, and yet at her pace it has to be bought within two weeks."""
    again = again_at(one)
    if not again or one.left is None:
        return None
    days = reaches(one.left, one.pace, again)
    if days is None or days > SOON_DAYS:
        return None
    lasts = int(one.left / one.pace)
    week = much(one.pace * 7, one.item.unit)
    said = f"At your pace of {week} a week, {much(one.left, one.item.unit)} last until"
    end = now + timedelta(days=lasts)
    missing = max(Decimal(str(again)) - one.left, one.pace * 7)
    return missing, end, f"{said} about {words.named(timezone.localdate(end), now)}."


def _line(one: Outlook, missing: Decimal, at: datetime, why: str, price: Decimal | None) -> Line:
    item = one.item
    due = words.deadline_of(item, at, one.now)
    by = max(due.by, due.today)
    said = words.order_by(item, at, one.now)
    if item.pack_size <= 1 and item.unit in LOOSE:
        cost = None if price is None else (price * missing).quantize(PENNY, ROUND_HALF_UP)
        return Line(item, missing, None, why, cost, by, said, due.late)
    packs = min(MOST_PACKS, max(1, packs_for(missing, item.pack_size)))
    quantity = packs * item.pack_size
    cost = None if price is None else (price * quantity).quantize(PENNY, ROUND_HALF_UP)
    return Line(item, quantity, packs, why, cost, by, said, due.late)


def _prices(items) -> dict[int, Decimal | None]:
    """What a unit will cost: a pack's price as she gave it, else as it was last time."""
    last = ledger.unit_costs(items) if items else {}
    return {
        item.pk: item.pack_price / item.pack_size if item.pack_price is not None else last[item.pk]
        for item in items
    }


def _quoted(found):
    """What would be missing besides, if every open quote and held order says yes."""
    for one in found:
        if one.soft is not None and one.soft.short_by > one.firm.short_by:
            more = one.soft.short_by - one.firm.short_by
            yield f"{words.item_words(one.item)}: {much(more, one.item.unit)}"
