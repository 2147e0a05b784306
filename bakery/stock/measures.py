"""An item by its plain name, and an amount in the unit it is kept in: known or nothing, never guessed."""

import re
from decimal import Decimal
from fractions import Fraction

from bakery.craft.ingredients import Line, food_of, weigh
from bakery.craft.units import UnitError, convert, substance

from .models import StockItem

Unit = StockItem.Unit
STEP = Decimal("0.001")


def item_named(name: str, items) -> StockItem | None:
    """The one item of that name; None where there is none, or more than one it could be."""
    low = name.lower().removesuffix("s")
    exact = [item for item in items if item.name.lower().removesuffix("s") == low]
    for found in (exact, _same_food(name, items), [i for i in items if low in i.name.lower().split(",")[0]]):
        if found:
            return found[0] if len(found) == 1 else None
    return None


def _same_food(name: str, items) -> list[StockItem]:
    """Items that are the same food of the table under another name: plain flour is flour."""
    food = food_of(name)
    return [item for item in items if food and food_of(item.name) == food]


def packing_named(word: str, items, holds: int = 0) -> StockItem | None:
    """The packing that a word means; of several the one whose name says how many it `holds`."""
    word = word.lower().removesuffix("s")
    found = [item for item in items if re.search(rf"\b{re.escape(word)}(s|es)?\b", item.name.lower())]
    if len(found) > 1 and holds:
        found = [item for item in found if re.search(rf"\b{holds}\b", item.name)]
    return found[0] if len(found) == 1 else None


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
