"""An item by its plain name, and an amount in the unit it is kept in: known or nothing, never guessed."""

from decimal import Decimal
from fractions import Fraction

from bakery.craft.ingredients import Line, weigh
from bakery.craft.units import UnitError, convert, substance

from .models import StockItem

Unit = StockItem.Unit
STEP = Decimal("0.001")


def item_named(name: str, items) -> StockItem | None:
    """The one item of that name; None where there is none, or more than one it could be."""
    low = name.lower().removesuffix("s")
    exact = [item for item in items if item.name.lower().removesuffix("s") == low]
    near = exact or [item for item in items if low in item.name.lower().split(",")[0]]
    return near[0] if len(near) == 1 else None


def in_unit_of(item: StockItem, quantity: Decimal, unit: str, name: str = "") -> Decimal | None:
    """`quantity` of a `unit` in the unit that the item is kept in; None where nobody knows how."""
    exact = _in_unit(item, Fraction(quantity), unit, name or item.name)
    if exact is None:
        return None
    return (Decimal(exact.numerator) / Decimal(exact.denominator)).quantize(STEP)


def _in_unit(item, quantity: Fraction, unit: str, name: str) -> Fraction | None:
    if unit == item.unit:
        return quantity
    per_ml = Fraction(item.drops_per_ml)
    if unit == Unit.DROP and item.unit == Unit.MILLILITRE:
        return quantity / per_ml
    if unit == Unit.MILLILITRE and item.unit == Unit.DROP:
        return quantity * per_ml
    if unit == Unit.GRAM and item.unit == Unit.PIECE:
        each = weigh(Line(Fraction(1), "", name)).grams or weigh(Line(Fraction(1), "", item.name)).grams
        return quantity / each if each else None
    if unit == Unit.GRAM and item.unit == Unit.MILLILITRE:
        density = _density(name) or _density(item.name)
        return quantity / density if density else None
    try:
        return convert(quantity, unit, item.unit)
    except UnitError:
        return None


def _density(name: str) -> Fraction | None:
    try:
        return substance(name).density
    except UnitError:
        return None
