"""How well a kind of cookie stands for the designs of that kind, and the minutes with which it does best."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from fractions import Fraction

from ..work import LineSpec, OrderSpec, Shop, default_layers
from ..work.kinds import minutes_of
from .price import price_of, rough_price
from .prices import Prices

__all__ = ["AT", "GOOD", "Fit", "decorating_minutes", "fit_of", "fitting_minutes"]

AT = (12, 24, 36, 60)
"""Numbers of cookies at which the rough price is held against the detailed one."""
GOOD = Fraction(15, 100)
"""So far off is near enough."""
LEAST, MOST, STEP = 0, 240, Fraction(1, 4)
WHEN = datetime(2000, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class Fit:
    """Decorating minutes a cookie of a kind, and how far off its rough price then is at worst (a share)."""

    minutes: float
    off: float
    low: float
    high: float

    @property
    def good(self) -> bool:
        """True where every design is near enough."""
        return self.off <= GOOD


def decorating_minutes(line: LineSpec, shop: Shop) -> float:
    """Minutes a cookie from the flood to the last detail, without set-ups: all layers, every placing."""
    layers = line.layers or default_layers(line)
    return sum(
        minutes_of(layer, line, shop) * (layer.placings if layer.kind in ("spray", "icing_pass") else 1)
        for layer in layers
    )


def fit_of(
    kind: str, lines: Sequence[LineSpec], shop: Shop, prices: Prices, *, colours: int, at: Sequence[int] = AT
) -> Fit:
    """How far the rough price of the kind is from each design's, with the shop's minutes as they are.

    `low` and `high` are the least and the greatest share that it is over (below nothing: under). Raises
    ValueError where there is no design.
    """
    if not lines:
        raise ValueError("Without a design there is nothing to hold the kind against.")
    over = []
    for quantity in at:
        rough = rough_price(kind, quantity, colours=colours, shop=shop, prices=prices).total
        for line in lines:
            order = OrderSpec("design", "", (replace(line, quantity=quantity),), WHEN)
            full = price_of(order, None, shop, prices).total
            over.append(float(rough / full - 1) if full else 0.0)
    plain = LineSpec("l1", "", kind, 24, colours=colours)
    return Fit(decorating_minutes(plain, shop), max(map(abs, over)), min(over), max(over))


def fitting_minutes(
    kind: str, lines: Sequence[LineSpec], shop: Shop, prices: Prices, *, colours: int, at: Sequence[int] = AT
) -> Fit:
    """The minutes, in quarters, at which the rough price is as much over one design as under another.

    The rough price grows with the minutes, so halving the span finds them.
    """
    low, high = LEAST, MOST
    while high - low > 1:
        middle = (low + high) // 2
        fit = fit_of(kind, lines, _with(shop, kind, middle * STEP), prices, colours=colours, at=at)
        low, high = (low, middle) if fit.low + fit.high > 0 else (middle, high)
    found = [
        fit_of(kind, lines, _with(shop, kind, n * STEP), prices, colours=colours, at=at) for n in (low, high)
    ]
    return min(found, key=lambda fit: fit.off)


def _with(shop: Shop, kind: str, minutes: Fraction) -> Shop:
    own: Mapping[str, float] = {**shop.kind_minutes, kind: float(minutes)}
    return replace(shop, kind_minutes=own)
