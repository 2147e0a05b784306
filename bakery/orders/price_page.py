"""The page where the price of one order opens down: every figure, how hard it is, more of it, less of it."""

from __future__ import annotations

from dataclasses import dataclass

from bakery.craft.costing import (
    Price,
    asked_instead,
    complexity,
    floor_price,
    price_of,
    quantity_breaks,
    set_up_money,
    wage_of,
)
from bakery.studio.queries import the_studio

from .adapters import line_drawing, order_spec
from .models import Order
from .pricing import Saving, house, money, savings_of, span, tax_words

MOST_WAYS = 8


@dataclass(frozen=True)
class Against:
    """A price she might ask, and the hour that it pays."""

    label: str
    amount: str
    pays: str
    note: str = ""


@dataclass(frozen=True)
class More:
    """So many of the same: what one costs, and what all do."""

    quantity: int
    each: str
    total: str
    this: bool


@dataclass(frozen=True)
class PricePage:
    price: Price
    opened: Price
    sign: str
    total: str
    each: str
    tax: str
    asked: list[Against]
    floors: list[Against]
    hard: list[tuple[str, str]]
    set_up: str
    breaks: list[More]
    savings: tuple[Saving, ...]
    examples: bool
    drawings: list[dict]


def price_page(order: Order) -> PricePage:
    """All that the page shows; a bounded number of queries. `order` comes from queries.order_by_number."""
    studio, spec = the_studio(), order_spec(order)
    sign, (shop, prices) = studio.currency_sign, house(studio)
    price = price_of(spec, None, shop, prices)
    lines = list(order.lines.all())
    each = [(_what(row), complexity(line, shop).words) for row, line in zip(lines, spec.lines, strict=True)]
    return PricePage(
        price=price,
        opened=_as_asked(order, price),
        sign=sign,
        total=money(price.total, sign),
        each=money(price.each, sign),
        tax=tax_words(price.total, prices, sign),
        asked=_asked(order, price, sign),
        floors=_floors(price, sign),
        hard=list(dict.fromkeys(each)),
        set_up=_set_up(price, sign),
        breaks=_breaks(spec, price, shop, prices, sign),
        savings=savings_of(spec, shop, prices, sign, most=MOST_WAYS),
        examples=any(part.example for part in price.parts),
        drawings=[line_drawing(line) for line in lines[:2]],
    )


def _what(line) -> str:
    """`Fern plaque`: the same on another base colour is as much work."""
    return line.design.name if line.design else line.kind.name


def _asked(order: Order, price: Price, sign: str) -> list[Against]:
    rows = [Against("By this sum", money(price.total, sign), _hour(price.pays, sign))]
    if order.own_price is not None:
        pays = _hour(wage_of(price, order.own_price), sign)
        rows.append(Against("Your own price", money(order.own_price, sign), pays))
    quote = _last_quote(order)
    if quote is not None:
        rows.append(Against("As quoted", money(quote.total, sign), _hour(wage_of(price, quote.total), sign)))
    return rows


def _as_asked(order: Order, price: Price) -> Price:
    """The price as the customer has it: the last quote's, else her own, else the sum."""
    quote = _last_quote(order)
    total = quote.total if quote else order.own_price
    return price if total is None else asked_instead(price, total)


def _last_quote(order: Order):
    return max(order.quotes.all(), key=lambda one: one.version, default=None)


def _floors(price: Price, sign: str) -> list[Against]:
    floor = floor_price(price)
    return [
        Against("At your wage", money(floor.wage, sign), _hour(price.wage, sign), "nothing on top"),
        Against("At no pay", money(floor.nothing, sign), _hour(0, sign), "below this you pay to bake"),
    ]


def _hour(amount, sign: str) -> str:
    return f"{money(amount, sign)} an hour"


def _set_up(price: Price, sign: str) -> str:
    total, each = set_up_money(price)
    return (
        f"Set-up {span(price.set_up)}, {money(total, sign)} of your time, shared by {price.quantity}: "
        f"{money(each, sign)} each."
    )


def _breaks(spec, price: Price, shop, prices, sign: str) -> list[More]:
    found = {one.quantity: one for one in quantity_breaks(spec, shop, prices)}
    rows = [
        More(n, money(one.each, sign), money(one.total, sign), n == price.quantity)
        for n, one in found.items()
    ]
    if price.quantity not in found:
        rows.append(More(price.quantity, money(price.each, sign), money(price.total, sign), True))
    return sorted(rows, key=lambda row: row.quantity)
