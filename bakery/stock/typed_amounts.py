"""How much came, as she writes it: "2" packets, "3 x 400", "1.5 kg", "400 drops"."""

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from django.core.exceptions import ValidationError

from bakery.craft.units import UnitError, convert, known_unit, parse_amount

from .models import StockItem

PACK_WORDS = {"pack", "packs", "packet", "packets", "bottle", "bottles", "bag", "bags", "box", "boxes", "tub",
              "tubs", "jar", "jars", "x"}  # fmt: skip
OWN_WORDS = {
    "g": {"g"},
    "ml": {"ml"},
    "drop": {"drop", "drops"},
    "piece": {"piece", "pieces", "pc", "pcs"},
    "sheet": {"sheet", "sheets"},
}
MOST_PACKS = 100
MOST = 1_000_000
TIMES = re.compile(r"\s*(\d{1,5})\s*(?:x|×|\*|times|packs? of|packets? of|bottles? of)\s*(.+)\Z", re.I)


@dataclass(frozen=True)
class Typed:
    """The quantity in the item's unit, and in how many packets it comes."""

    quantity: Decimal
    packs: int = 1


def came(text: str, item: StockItem) -> Typed:
    """What a line of a delivery says. Raises ValidationError with the sentence that belongs beside it."""
    times = TIMES.match(text)
    if times:
        one = _measure(times[2], item)
        return _within(one * int(times[1]), int(times[1]))
    number, word = _parse(text)
    if word and word not in PACK_WORDS:
        return _within(_in_unit(number, word, item), 1)
    if not word and item.pack_size <= 1:
        if item.unit in ("piece", "sheet"):
            return _within(number, 1)
        raise ValidationError(f"{text.strip()} of what? Say {text.strip()} kg, 500 g or 2 x 400.")
    if number.denominator != 1:
        raise ValidationError("Packets come whole. For a part of one say how much: 250 g.")
    return _within(number * Fraction(item.pack_size), int(number))


def measured(text: str, item: StockItem) -> Decimal:
    """How much there is, in the item's own unit unless another is said: "71", "0.4 kg"."""
    return _within(_measure(text, item), 1, zero=True).quantity


def _measure(text: str, item: StockItem) -> Fraction:
    number, word = _parse(text)
    return _in_unit(number, word, item) if word else number


def _parse(text: str) -> tuple[Fraction, str]:
    text = text.strip()
    if text.startswith("-") or text.startswith("−"):
        raise ValidationError("Less than nothing cannot be. What went out is counted on the item's own page.")
    try:
        number, word = parse_amount(text)
    except UnitError:
        raise ValidationError("Begin with a number: 2, 3 x 400, 1.5 kg.") from None
    return number, word.lower().strip()


def _in_unit(number: Fraction, word: str, item: StockItem) -> Fraction:
    """Exactly, in the item's unit."""
    if word in OWN_WORDS[item.unit]:
        return number
    if word in PACK_WORDS:
        return number * Fraction(item.pack_size)
    unit = known_unit(word)
    try:
        if item.unit == "drop":
            return convert(number, unit or word, "ml") * Fraction(item.drops_per_ml)
        if unit and item.unit in ("g", "ml"):
            return convert(number, unit, item.unit)
    except UnitError:
        pass
    kept = item.get_unit_display()
    if unit is None:
        raise ValidationError(f"“{word[:30]}” is no measure known here. {item.name} is kept in {kept}.")
    raise ValidationError(f"{item.name} is kept in {kept}; how many that is, only you can tell.")


def _within(quantity: Fraction, packs: int, zero: bool = False) -> Typed:
    if quantity <= 0 and not zero:
        raise ValidationError("Nothing came? Then leave the line empty.")
    if quantity > MOST:
        raise ValidationError("More than any cupboard holds. Is that figure right?")
    if packs > MOST_PACKS:
        raise ValidationError(f"More than {MOST_PACKS} packets in one line: split it, or say it in all.")
    found = (Decimal(quantity.numerator) / Decimal(quantity.denominator)).quantize(Decimal("0.001"))
    if not found and not zero:
        raise ValidationError("So little cannot be kept here.")
    return Typed(found, packs)
