"""Versions of one order side by side: as asked, and the options that stand beside it. Nothing is written."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from bakery.craft.costing import Price, price_of
from bakery.craft.work import OrderSpec, Shop

from .adapters import order_spec, spec_of
from .data import OrderData
from .models import Option, Order
from .pricing import house
from .rows import data_of
from .simpler import as_offered, titles_of
from .ways import known_ways

LETTERS = "ABC"
MOST_OPTIONS = 2
"""Beside the order as asked: three on a page can be told apart at a glance, more cannot."""
AS_ASKED = "As asked"


@dataclass(frozen=True)
class Version:
    """One of them. `asked` is what it would cost the customer: computed, or her own price less the saving."""

    letter: str
    title: str
    data: OrderData
    spec: OrderSpec
    price: Price
    asked: Decimal
    own: Decimal | None
    saves: Decimal
    shop: Shop
    option: Option | None = None


def offered(order: Order) -> list[Option]:
    """The options that stand beside the order, the oldest first."""
    found = [option for option in order.options.all() if option.offered]
    return sorted(found, key=lambda option: option.pk)[:MOST_OPTIONS]


def versions_of(order: Order, studio=None) -> list[Version]:
    """The order as asked, then its options; `order` comes with lines, names and options."""
    data, spec, own = data_of(order), order_spec(order), order.own_price
    shop, prices = house(studio)
    price = price_of(spec, None, shop, prices)
    asked = price.total if own is None else own
    found = [Version(LETTERS[0], AS_ASKED, data, spec, price, asked, own, Decimal("0.00"), shop)]
    for letter, option in zip(LETTERS[1:], offered(order), strict=False):
        other = with_changes(order, data, option.changes)
        other_spec = spec_of(other, order=order)
        other_price = price_of(other_spec, None, shop, prices)
        saves = price.total - other_price.total
        mine = None if own is None else max(Decimal("0.00"), own - saves)
        total = other_price.total if mine is None else mine
        found.append(
            Version(
                letter, option.title, other, other_spec, other_price, total, mine, asked - total, shop, option
            )
        )
    return found


def with_changes(order: Order, data: OrderData, changes: dict) -> OrderData:
    """The order's data with an option's changes; lines that are gone by now change nothing."""
    places = {row.pk: str(row.position) for row in order.lines.all()}
    lines = []
    for line in data.lines:
        change = changes.get(places.get(line.line), {})
        ways = known_ways(change["ways"]) if "ways" in change else line.ways
        lines.append(replace(line, quantity=change.get("quantity", line.quantity), ways=ways))
    return replace(data, lines=tuple(lines))


def changes_between(order: Order, before: OrderData, after: OrderData) -> dict:
    """What an option that leads from one to the other has to say; {} where they are alike."""
    places = {row.pk: str(row.position) for row in order.lines.all()}
    was, found = {line.line: line for line in before.lines}, {}
    for line in after.lines:
        old = was.get(line.line)
        if old is None or line.line not in places:
            continue
        change = {"quantity": line.quantity} if line.quantity != old.quantity else {}
        change |= {"ways": list(line.ways)} if line.ways != old.ways else {}
        if change:
            found[places[line.line]] = change
    return found


def says_of(order: Order, version: Version, first: Version) -> list[str]:
    """What is other than asked, a sentence each: `12 fern plaques for 24`, `Leave off the dots`."""
    rows = {row.pk: row for row in order.lines.all()}
    several = len(rows) > 1
    said = []
    for old, line in zip(first.data.lines, version.data.lines, strict=True):
        row = rows[line.line]
        name = f" {row.title}" if several else ""
        if line.quantity != old.quantity:
            said.append(f"{line.quantity}{name} instead of {old.quantity}")
        if line.ways != old.ways:
            titles = as_offered(titles_of(line, row.design))
            said += titles if titles else [f"Made in full{':' if name else ''}{name}"]
    return list(dict.fromkeys(said))
