"""One change in her words: what it is, what it costs whom, what is then to spare, and the button's value."""

from __future__ import annotations

from dataclasses import dataclass

from bakery.orders.adapters import spec_of
from bakery.orders.data import OrderData
from bakery.orders.pricing import money, priced, span
from bakery.studio.queries import the_studio

from .kitchen import Fit, Kitchen


@dataclass(frozen=True)
class Way:
    """A change that fits. `value` is what its button sends; `fit` holds the plan that shows it."""

    words: str
    cost: str
    gain: str
    value: str
    fit: Fit | None = None


@dataclass(frozen=True)
class Ways:
    """Changes that fit, the reply that offers one, the number of the next kind, and what fails already."""

    found: tuple[Way, ...] = ()
    reply: str = ""
    next: int | None = None
    failing: tuple[str, ...] = ()


def way_of(fit: Fit, *, words: str, cost: str, value: str) -> Way:
    gain = f"{span(fit.spare)} to spare" if fit.spare else "just fits"
    return Way(words, cost, gain, f"use:{value}", fit)


def price_gap(kitchen: Kitchen, data: OrderData, *, look: str = "") -> str:
    """`£18 less, 40 min less work`: what the change does to the price and to her work."""
    before = priced(spec_of(kitchen.data, order=kitchen.order))
    after = priced(spec_of(data, order=kitchen.order))
    sign, parts = the_studio().currency_sign, [look] if look else []
    gap = after.total - before.total
    if gap:
        parts.append(f"{money(abs(gap), sign)} {'less' if gap < 0 else 'more'}")
    minutes = round(after.minutes - before.minutes)
    if minutes:
        parts.append(f"{span(abs(minutes))} {'less' if minutes < 0 else 'more'} work")
    return ", ".join(parts) or "the price stays"
