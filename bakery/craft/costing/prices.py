"""What things cost. Every figure is an example to be replaced by the baker's own: no source."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType

from ..recipes import DOUGH, ICING, Recipe

__all__ = ["PER_KG", "Prices"]

PER_KG: Mapping[str, Decimal] = MappingProxyType(
    {
        name: Decimal(price)
        for name, price in {
            "plain flour": "1.10",
            "butter": "8.80",
            "sugar": "1.30",
            "egg": "5.60",
            "vanilla extract": "95.00",
            "salt": "0.80",
            "icing sugar": "2.10",
            "egg white powder": "42.00",
            "water": "0.00",
        }.items()
    }
)
"""Example prices a kilogram; hers come from the packets she buys."""


@dataclass(frozen=True)
class Prices:
    """Wage [an hour], overhead [an hour: energy, rent, wear], margin [share], and what materials cost.

    `other_per_kg` prices an ingredient nobody priced yet. `round_to` is the coin a price is rounded to.
    """

    wage: Decimal = Decimal("16.00")
    overhead: Decimal = Decimal("1.80")
    margin: Decimal = Decimal("0.10")
    per_kg: Mapping[str, Decimal] = field(default_factory=lambda: PER_KG)
    other_per_kg: Decimal = Decimal("5.00")
    gel_per_gram: Decimal = Decimal("0.14")
    gel_share: Decimal = Decimal("0.01")
    drop: Decimal = Decimal("0.0125")
    bag: Decimal = Decimal("0.22")
    box: Decimal = Decimal("2.40")
    box_holds: int = 12
    platter: Decimal = Decimal("3.50")
    platter_holds: int = 24
    carton: Decimal = Decimal("1.60")
    round_to: Decimal = Decimal("1")
    dough: Recipe = DOUGH
    icing: Recipe = ICING

    def __post_init__(self):
        for name in ("wage", "overhead", "margin", "bag", "box", "drop", "gel_per_gram", "carton", "platter"):
            value = getattr(self, name)
            if not value.is_finite() or value < 0:
                raise ValueError(f"{name} cannot be less than nothing.")
        if self.round_to <= 0 or self.box_holds < 1 or self.platter_holds < 1:
            raise ValueError("A price is rounded to a coin, and a box holds a cookie.")
        object.__setattr__(self, "per_kg", MappingProxyType(dict(self.per_kg)))

    def cost(self, ingredient: str, grams: Decimal) -> Decimal:
        """Cost of so many grams of an ingredient, not rounded."""
        return self.per_kg.get(ingredient, self.other_per_kg) * grams / 1000
