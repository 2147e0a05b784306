"""What more of the same would cost each: set-up is shared, so the price of one falls with the number."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

from ..work import OrderSpec, Shop
from .parts import PENNY, apportion, pence
from .price import Price, price_of
from .prices import Prices

__all__ = ["BREAKS", "Break", "quantity_breaks", "scaled", "set_up_money"]

BREAKS = (12, 24, 48, 96)


@dataclass(frozen=True)
class Break:
    """So many cookies: what one costs, all of them, and the set-up minutes they share."""

    quantity: int
    each: Decimal
    total: Decimal
    set_up: int
    minutes: int


def quantity_breaks(
    order: OrderSpec, shop: Shop | None = None, prices: Prices | None = None, *, at: Sequence[int] = BREAKS
) -> tuple[Break, ...]:
    """The same order at other numbers of cookies, its lines in the same proportion; each a whole price.

    A number too small to hold one cookie of every line is left out.
    """
    found = []
    for quantity in at:
        other = scaled(order, quantity)
        if other is not None:
            price = price_of(other, None, shop, prices)
            found.append(Break(quantity, price.each, price.total, price.set_up, price.minutes))
    return tuple(found)


def scaled(order: OrderSpec, quantity: int) -> OrderSpec | None:
    """The order with so many cookies, names and spares in proportion; None where a line would vanish."""
    before = sum(line.quantity for line in order.lines)
    exact = [Fraction(line.quantity * quantity, before) for line in order.lines]
    counts = [int(count) for count in apportion(Decimal(quantity), exact, Decimal(1))]
    if min(counts) < 1:
        return None
    lines = []
    for line, count in zip(order.lines, counts, strict=True):
        share = Fraction(count, line.quantity)
        names = min(count, round(line.names * share))
        spares = None if line.spares is None else ceil(line.spares * share)
        designs = min(line.designs, count)
        lines.append(replace(line, quantity=count, names=names, spares=spares, designs=designs,
                             stage="nothing", stage_at=None, baked_at=None))  # fmt: skip
    return replace(order, lines=tuple(lines))


def set_up_money(price: Price) -> tuple[Decimal, Decimal]:
    """The set-up at her wage: altogether, and for each cookie that shares it."""
    kinds = price.part("time").parts
    shares = [part.amount for kind in kinds for part in kind.parts if part.key.endswith(".set-up")]
    total = sum(shares, Decimal("0.00"))
    return total, pence(Fraction(total) / price.quantity).quantize(PENNY)
