"""What was thought when the price was made: minutes, costs by group, and each line's share of the work."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from bakery.craft.costing import Prices, price_of
from bakery.craft.earning import whole_pence
from bakery.craft.work import Shop
from bakery.orders.adapters import order_spec
from bakery.orders.models import Order, Quote

MATERIALS = ("food", "colour", "wafer", "packaging")
BY_THE_HOUR = ("overhead",)
AS_THOUGHT = ("energy", "delivery")


@dataclass(frozen=True)
class Thought:
    """Pence by the price's own keys, seconds of work, weights by line ("l1")."""

    parts: dict[str, int]
    seconds: int
    weights: dict[str, float]

    @property
    def materials(self) -> dict[str, int]:
        return {key: self.parts.get(key, 0) for key in MATERIALS}

    @property
    def cost(self) -> int:
        """All that leaves her purse, fee and tax apart."""
        return sum(self.parts.get(key, 0) for key in (*MATERIALS, *BY_THE_HOUR, *AS_THOUGHT))


def last_quote(order: Order) -> Quote | None:
    return max(order.quotes.all(), key=lambda quote: quote.version, default=None)


def thought_of(order: Order, quote: Quote | None, shop: Shop, prices: Prices) -> Thought:
    """From the quote as it was sent; an older quote, or none, is priced with today's figures."""
    hers = quote.snapshot.get("hers", {}) if quote else {}
    lines = {f"l{line.position}" for line in order.lines.all()}
    if hers.get("parts") and lines <= set(hers.get("weights", {})):
        parts = {key: whole_pence(Decimal(amount)) for key, amount in hers["parts"].items()}
        return Thought(parts, round(float(hers["minutes"]) * 60), hers["weights"])
    price = price_of(order_spec(order), None, shop, prices)
    parts = {part.key: whole_pence(part.amount) for part in price.parts}
    return Thought(parts, price.minutes * 60, {line: float(share) for line, share in price.weights})
