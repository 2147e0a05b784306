"""The lines of a quote: what the customer reads, from the same price, adding up to the penny."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from ..work import OrderSpec
from .closing import percent, tax_of
from .price import Price, each_price

__all__ = ["Quoted", "QuotedRow", "quote_lines"]

NOTHING = Decimal("0.00")


@dataclass(frozen=True)
class QuotedRow:
    """One row: `amount` is `count` x `each` exactly where both are given. `key` says what it is for."""

    key: str
    what: str
    amount: Decimal
    count: int | None = None
    each: Decimal | None = None


@dataclass(frozen=True)
class Quoted:
    """Rows that add up to `total`. `tax` is what is in it: a row of its own on top, else said below."""

    rows: tuple[QuotedRow, ...]
    total: Decimal
    tax: Decimal
    tax_words: str = ""


def quote_lines(
    price: Price,
    order: OrderSpec,
    groups: Sequence[tuple[str, Sequence[str]]],
    *,
    total: Decimal | None = None,
    bags: tuple[int, Decimal] = (0, NOTHING),
) -> Quoted:
    """The rows of a quote.

    Parameters
    ----------
    price, order : the price, and the order it is of
    groups : what each row of cookies is called, with the ids of its lines; a line in none is left out
    total : what is asked, tax and all, where it is not the computed price; then no rush is charged apart
    bags : how many sealed bags are a row of their own, and what one costs

    Bags, delivery and rush stand apart only as far as the total holds them; the cookies share the rest, in
    coins of 5, and what is over or under that is a row "rounding". Tax on top is the last row.
    """
    own = total is not None
    total = price.total if total is None else Decimal(total)
    tax, on_top = tax_of(total, price.prices), not price.prices.tax_included
    rest = total - tax if on_top else total
    apart = []
    for row in _apart(price, bags, own):
        if row.amount <= rest:
            apart.append(row)
            rest -= row.amount
    priced, summed = each_price(price, order, total=rest)
    by_line = {line.line: line for line in priced}
    rows = [_cookies(what, [by_line[name] for name in lines]) for what, lines in groups]
    rows += apart
    if rest != summed:
        rows.append(QuotedRow("rounding", "To a round figure", rest - summed))
    rate = percent(price.prices.tax_percent)
    if tax and on_top:
        rows.append(QuotedRow("tax", f"Tax, {rate} %", tax))
    return Quoted(tuple(rows), total, tax, f"of which tax, {rate} %" if tax and not on_top else "")


def _apart(price: Price, bags, own: bool) -> list[QuotedRow]:
    count, each = bags
    found = [QuotedRow("bags", "Each in a sealed bag", each * count, count, each)] if count and each else []
    found.append(QuotedRow("delivery", "Delivery", price.amount("delivery")))
    if not own:
        found.append(QuotedRow("rush", "At short notice", price.amount("rush")))
    return [row for row in found if row.amount > 0]


def _cookies(what: str, found) -> QuotedRow:
    count, amount = sum(line.quantity for line in found), sum((line.amount for line in found), NOTHING)
    same = len({line.each for line in found}) == 1
    return QuotedRow("cookies", what, amount, count, found[0].each if same else None)
