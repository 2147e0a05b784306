"""What things cost. Every figure is an example to be replaced by the baker's own: no source."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from ..recipes import DOUGH, ICING, Recipe

__all__ = ["PER_KG", "Bottle", "Prices", "Rate"]

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
ANY_PERCENT = {"fee_percent": 50, "tax_percent": 50, "rush_percent": 200}
NOT_LESS = (
    "wage", "target_wage", "overhead", "margin", "bag", "box", "drop", "gel_per_gram", "carton", "platter",
    "wafer_sheet", "oven_kw", "dryer_kw", "per_kwh", "fee_fixed", "delivery_base", "delivery_per_km",
    *ANY_PERCENT,
)  # fmt: skip
RULES = ("margin", "wage")


@dataclass(frozen=True)
class Rate:
    """What a packet costs: `price` for `size` of a `unit`. `name` is the packet; an `example` is not hers."""

    price: Decimal
    size: Decimal = Decimal(1)
    unit: str = "g"
    name: str = ""
    example: bool = False

    def __post_init__(self):
        if not (self.price.is_finite() and self.size.is_finite()) or self.price < 0 or self.size <= 0:
            raise ValueError("A packet has a size, and a price that is not less than nothing.")

    def cost(self, quantity) -> Fraction:
        """Exact cost of so many units. Raises ValueError for less than none."""
        quantity = Fraction(quantity)
        if quantity < 0:
            raise ValueError("Nothing costs less than none of it.")
        return Fraction(self.price) * quantity / Fraction(self.size)

    @property
    def words(self) -> str:
        """`2.10 for 250 g` or `0.22 each`."""
        penny = self.price == self.price.quantize(Decimal("0.01"))
        price = f"{self.price:.2f}" if penny or self.price >= 1 else f"{self.price.normalize():f}"
        size = self.size if self.size == self.size.to_integral_value() else round(self.size, 1)
        if self.size == 1 and self.unit in ("piece", "each"):
            return f"{price} each"
        unit = {"piece": "", "each": "", "drop": " drops", "sheet": " sheets"}.get(self.unit, f" {self.unit}")
        return f"{price} for {size.normalize():f}{unit}"


@dataclass(frozen=True)
class Bottle:
    """One bottle's share in a colour: `drops` in 100 g of icing, or in one cup; `rate` prices drops."""

    name: str
    drops: Decimal
    rate: Rate


@dataclass(frozen=True)
class Prices:
    """Wage and overhead [an hour], margin [a share], what materials cost, and what a price must bear besides.

    `rule` "margin" puts the margin on top of wage and cost; "wage" asks what lets an hour earn `target_wage`.
    `rates` are her packets by ingredient [g], and by "bag", "box", "platter", "carton", "wafer" [sheets] and
    the names of boxes;
    `gels` and `sprays` her bottles by the colour's name in small letters. What is not there is an example;
    `other_per_kg` prices an ingredient nobody priced yet. A price is rounded to `round_to`: the whole, or
    where `tax_included` is False the price before tax.
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
    platter: Decimal = Decimal("3.50")
    carton: Decimal = Decimal("1.60")
    wafer_sheet: Decimal = Decimal("0.34")
    round_to: Decimal = Decimal("1")
    dough: Recipe = DOUGH
    icing: Recipe = ICING
    rates: Mapping[str, Rate] = field(default_factory=dict)
    gels: Mapping[str, tuple[Bottle, ...]] = field(default_factory=dict)
    sprays: Mapping[str, tuple[Bottle, ...]] = field(default_factory=dict)
    rule: str = "margin"
    target_wage: Decimal = Decimal("20.00")
    per_kwh: Decimal = Decimal("0.28")
    oven_kw: Decimal = Decimal("1.20")
    dryer_kw: Decimal = Decimal("0.35")
    fee_percent: Decimal = Decimal(0)
    fee_fixed: Decimal = Decimal(0)
    delivery_base: Decimal = Decimal(0)
    delivery_per_km: Decimal = Decimal("0.45")
    tax_percent: Decimal = Decimal(0)
    tax_included: bool = True
    rush_percent: Decimal = Decimal(25)
    rush_days: int = 0

    def __post_init__(self):
        for name in NOT_LESS:
            value = getattr(self, name)
            if not value.is_finite() or value < 0:
                raise ValueError(f"{name} cannot be less than nothing.")
        for name, most in ANY_PERCENT.items():
            if getattr(self, name) > most:
                raise ValueError(f"{name} is at most {most}.")
        if self.round_to <= 0:
            raise ValueError("A price is rounded to a coin.")
        if self.rule not in RULES:
            raise ValueError(f"A price is made by {' or '.join(RULES)}.")
        for name in ("per_kg", "rates", "gels", "sprays"):
            object.__setattr__(self, name, MappingProxyType(dict(getattr(self, name))))

    def rate(self, thing: str) -> Rate:
        """Her packet of it, else an example: an ingredient by grams, packing by pieces, wafer by sheets."""
        if thing in self.rates:
            return self.rates[thing]
        thing = thing.lower()
        if thing in ("bag", "box", "platter", "carton"):
            return Rate(getattr(self, thing), unit="piece", example=True)
        if thing == "wafer":
            return Rate(self.wafer_sheet, unit="sheet", example=True)
        return Rate(self.per_kg.get(thing, self.other_per_kg), Decimal(1000), "g", example=thing != "water")

    def cost(self, ingredient: str, grams: Decimal) -> Decimal:
        """Cost of so many grams of an ingredient, not rounded."""
        rate = self.rate(ingredient)
        return rate.price * grams / rate.size

    @property
    def tax(self) -> Fraction:
        """The tax as a share of the price with tax."""
        return Fraction(self.tax_percent) / (100 + Fraction(self.tax_percent))

    @property
    def fee(self) -> Fraction:
        """The fee as a share of what is paid."""
        return Fraction(self.fee_percent) / 100

    @property
    def kept(self) -> Fraction:
        """The share of what is paid that is left after fee and tax; always more than none."""
        return 1 - self.fee - self.tax
