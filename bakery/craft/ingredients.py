"""A recipe's lines as she writes them ("1 1/2 cups sugar", "2 eggs"), and their grams where known."""

import re
from dataclasses import dataclass
from fractions import Fraction

from .units import HOUSEHOLD, MASSES, VOLUMES, UnitError, grams, known_unit, parse_amount, substance

__all__ = ["ALLERGENS", "Line", "Weighed", "allergens_of", "food_of", "parse_line", "weigh", "written"]

MEASURES = frozenset(m for food in HOUSEHOLD.values() for m in food.measures if m not in VOLUMES)
"""Words that count a food in pieces or packs: large, stick, envelope."""
PINCHES = ("pinch", "handful", "splash", "knob", "packet", "bag", "sachet", "tin")
"""Words that measure something, though nobody knows how much."""
ALLERGENS = {
    "wheat": ("flour", "bread flour"),
    "milk": ("butter", "salted butter", "cream", "milk", "skimmed milk"),
    "egg": ("egg", "egg white", "egg yolk", "egg white powder"),
    "almond": ("almond paste", "ground almonds"),
    "peanut": ("peanut butter",),
}
"""What a plain food is made of; the label of her own packet counts before this."""
MOST = 100_000
"""More than this of anything is no batch of a home kitchen."""
_THOUSAND = re.compile(r"^\d{1,3},\d{3}(?!\d)")
_ONE = re.compile(r"^\s*(a|an|one|half a|half an)\s+", re.IGNORECASE)


@dataclass(frozen=True)
class Line:
    """An amount, the unit as written ("" for pieces) and the name of what it is."""

    amount: Fraction
    unit: str
    name: str


@dataclass(frozen=True)
class Weighed:
    """Grams of a line, None where nobody knows, then `why` asks; `about` for anything but a mass."""

    grams: Fraction | None
    about: bool = False
    why: str = ""


def parse_line(text: str) -> Line:
    """One line of a recipe. Raises UnitError with a sentence where no amount leads or no name follows."""
    text = " ".join(str(text).split())[:160]
    short = text if len(text) <= 40 else text[:39] + "…"
    if _THOUSAND.match(text):
        raise UnitError(f"“{short}”: a thousand, or not much more than one? Write it without the comma.")
    one = _ONE.match(text)
    if one:
        text = ("1/2 " if "half" in one[1].lower() else "1 ") + text[one.end() :]
    try:
        amount, rest = parse_amount(text)
    except UnitError:
        raise UnitError(f"“{short}” needs an amount in front, like 3 g.") from None
    if amount > MOST:
        raise UnitError(f"“{short}” is more than any batch takes.")
    if amount <= 0:
        raise UnitError(f"“{short}” is an amount of nothing.")
    unit, name = _split(rest)
    if not name:
        raise UnitError(f"“{short}” does not say of what.")
    return Line(amount, unit, name[:60])


def _split(rest: str) -> tuple[str, str]:
    """The unit that a text begins with, and the name after it."""
    words = rest.split()
    for count in (2, 1):
        unit = " ".join(words[:count])
        if len(words) > count and _measures(unit):
            name = words[count:]
            return unit, " ".join(name[1:] if name[0].lower() == "of" and len(name) > 1 else name)
    return ("", rest) if not _measures(rest) else (rest, "")


def _measures(word: str) -> bool:
    low = word.lower().rstrip(".")
    return known_unit(low) is not None or any(form in MEASURES or form in PINCHES for form in _singular(low))


def _singular(word: str) -> tuple[str, ...]:
    return word, word.removesuffix("s"), word.removesuffix("es")


def weigh(line: Line) -> Weighed:
    """Grams of a line: masses exactly, measures by the cited table, anything else is asked for."""
    unit = known_unit(line.unit)
    if unit in MASSES:
        return Weighed(grams(line.amount, unit))
    food = food_of(line.name)
    try:
        if food is not None:
            return Weighed(grams(line.amount, line.unit or "large", food), True)
    except UnitError:
        pass
    each = f"1 {line.unit.removesuffix('s')} of {line.name}" if line.unit else f"one of “{line.name}”"
    return Weighed(None, True, f"How many grams is {each}? Weigh it once.")


def food_of(name: str) -> str | None:
    """The food of the table that a name means; None for one it does not have, and never a likely other."""
    low = re.sub(r"\(.*?\)|,.*", "", name.lower()).strip()
    for prefix in ("", "softened ", "soft ", "cold ", "sifted ", "fine ", "large ", "medium "):
        for form in _singular(low.removeprefix(prefix)):
            try:
                return substance(form).name
            except UnitError:
                continue
    return None


def allergens_of(name: str) -> tuple[str, ...]:
    """Allergens a plain food is made of; none for what is not known here, which says nothing."""
    food = food_of(name)
    return tuple(allergen for allergen, foods in ALLERGENS.items() if food in foods)


def written(amount, unit: str, name: str) -> str:
    """A line as it would be written by hand: fractions of cups and spoons, decimals of grams."""
    exact = Fraction(str(amount))
    near = exact.limit_denominator(8)
    if known_unit(unit) in MASSES or abs(near - exact) > Fraction(1, 900):
        number = f"{float(exact):.3f}".rstrip("0").rstrip(".")
    else:
        whole, rest = divmod(near, 1)
        number = " ".join(
            part for part in (str(whole) if whole or not rest else "", str(rest) if rest else "") if part
        )
    return " ".join(part for part in (number, unit, name) if part)
