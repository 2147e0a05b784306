"""Weights and measures: exact conversions, and household measures by substance.

Exact values follow NIST Handbook 44, Appendix C (US customary units; US public domain). Household weights are
those of the USDA FoodData Central, SR Legacy (2018, public domain), named by their NDB number. A drop is 0.05
mL by convention, not a standard. UK spoons are the metric ones of 5 and 15 mL.
"""

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

__all__ = [
    "DROP_ML",
    "HOUSEHOLD",
    "LENGTHS",
    "MASSES",
    "VOLUMES",
    "Household",
    "UnitError",
    "convert",
    "drops",
    "grams",
    "known_unit",
    "parse_amount",
    "substance",
]

Number = int | Fraction | Decimal | float | str


class UnitError(ValueError):
    """A unit or substance nobody knows here, or two units that do not measure the same thing."""


LENGTHS: Mapping[str, Fraction] = MappingProxyType(
    {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000), "inch": Fraction(254, 10)}
)
"""Lengths in millimetres; the inch is 25.4 mm exactly."""
MASSES: Mapping[str, Fraction] = MappingProxyType(
    {
        "mg": Fraction(1, 1000),
        "g": Fraction(1),
        "kg": Fraction(1000),
        "oz": Fraction("28.349523125"),
        "lb": Fraction("453.59237"),
    }
)
"""Masses in grams; the avoirdupois pound is 453.59237 g exactly."""
GALLON_ML = Fraction("25.4") ** 3 * 231 / 1000
"""The US gallon is 231 cubic inches exactly [mL]."""
DROP_ML = Fraction(5, 100)
"""One drop [mL]: a convention of 20 to the millilitre; thin colours run nearer 30, gels nearer 17."""
VOLUMES: Mapping[str, Fraction] = MappingProxyType(
    {
        "ml": Fraction(1),
        "l": Fraction(1000),
        "gallon": GALLON_ML,
        "quart": GALLON_ML / 4,
        "pint": GALLON_ML / 8,
        "cup": GALLON_ML / 16,
        "fl oz": GALLON_ML / 128,
        "tbsp": GALLON_ML / 256,
        "tsp": GALLON_ML / 768,
        "metric tbsp": Fraction(15),
        "metric tsp": Fraction(5),
        "drop": DROP_ML,
    }
)
"""Volumes in millilitres, US customary where not called metric."""
_KINDS = (LENGTHS, MASSES, VOLUMES)
_ALIASES = {
    "millimetre": "mm",
    "millimeter": "mm",
    "centimetre": "cm",
    "in": "inch",
    "inches": "inch",
    '"': "inch",
    "gram": "g",
    "gramme": "g",
    "gr": "g",
    "kilo": "kg",
    "kilogram": "kg",
    "ounce": "oz",
    "pound": "lb",
    "lbs": "lb",
    "millilitre": "ml",
    "milliliter": "ml",
    "litre": "l",
    "liter": "l",
    "fluid ounce": "fl oz",
    "floz": "fl oz",
    "tablespoon": "tbsp",
    "tbs": "tbsp",
    "teaspoon": "tsp",
}


class Household:
    """Grams of household measures of one food: by measure; `ndb` names the USDA row."""

    def __init__(self, name: str, ndb: int, measures: dict[str, str]):
        self.name, self.ndb = name, ndb
        self.measures = MappingProxyType({m: Fraction(g) for m, g in measures.items()})

    @property
    def density(self) -> Fraction | None:
        """Grams per millilitre from its largest volume measure; None where only pieces are listed."""
        known = [m for m in self.measures if m in VOLUMES]
        if not known:
            return None
        best = max(known, key=lambda m: VOLUMES[m])
        return self.measures[best] / VOLUMES[best]


HOUSEHOLD: Mapping[str, Household] = MappingProxyType(
    {
        h.name: h
        for h in (
            Household("almond paste", 12071, {"cup": "227"}),
            Household("ground almonds", 12061, {"cup": "95"}),
            Household("baking powder", 18369, {"tsp": "4.6"}),
            Household("baking soda", 18372, {"tsp": "4.6"}),
            Household("salted butter", 1001, {"tbsp": "14.2", "pat": "5"}),
            Household("butter", 1145, {"cup": "227", "stick": "113"}),
            Household("cinnamon", 2010, {"tbsp": "7.8", "tsp": "2.6"}),
            Household("dutch cocoa", 19166, {"tbsp": "5.4"}),
            Household("cocoa", 19165, {"tbsp": "5.4"}),
            Household("dark corn syrup", 19349, {"cup": "328"}),
            Household("corn syrup", 19350, {"cup": "341"}),
            Household("cornflour", 20027, {"cup": "128"}),
            Household("cream of tartar", 18373, {"tsp": "3"}),
            Household("cream", 1053, {"cup": "238", "fl oz": "29.8", "tbsp": "15"}),
            Household("egg white powder", 1136, {"tbsp": "7"}),
            Household("egg white", 1124, {"large": "33"}),
            Household("egg yolk", 1125, {"cup": "243"}),
            Household("egg", 1123, {"cup": "243", "jumbo": "63", "large": "50", "small": "38"}),
            Household("flour", 20581, {"cup": "125"}),
            Household("bread flour", 20083, {"cup": "137"}),
            Household("gelatine", 19177, {"envelope": "7"}),
            Household("ginger", 2021, {"tbsp": "5.2", "tsp": "1.8"}),
            Household("honey", 19296, {"packet": "14"}),
            Household("lemon juice", 9152, {"cup": "244", "fl oz": "30.5"}),
            Household("maple syrup", 19353, {"tbsp": "20"}),
            Household("skimmed milk", 1085, {"cup": "245", "fl oz": "30.6"}),
            Household("milk", 1077, {"cup": "244", "quart": "976", "tbsp": "15"}),
            Household("molasses", 19304, {"tbsp": "20"}),
            Household("oil", 4582, {"tbsp": "14", "tsp": "4.5"}),
            Household("peanut butter", 16098, {"tbsp": "16"}),
            Household("salt", 2047, {"tbsp": "18", "dash": "0.4"}),
            Household("shortening", 4615, {"cup": "205"}),
            Household("brown sugar", 19334, {"cup": "220", "loose cup": "145", "tsp": "4.6"}),
            Household("sugar", 19335, {"cup": "200", "tsp": "4.2", "cube": "2.3"}),
            Household("icing sugar", 19336, {"cup": "120", "tbsp": "8"}),
            Household("vanilla extract", 2050, {"cup": "208", "tsp": "4.2"}),
            Household("water", 14429, {"cup": "237"}),
        )
    }
)
"""Foods of this kitchen with household measures [g]; brown sugar packed, icing sugar unsifted."""
_FOODS = {
    "powdered sugar": "icing sugar",
    "confectioners sugar": "icing sugar",
    "caster sugar": "sugar",
    "granulated sugar": "sugar",
    "plain flour": "flour",
    "all-purpose flour": "flour",
    "unsalted butter": "butter",
    "corn starch": "cornflour",
    "cornstarch": "cornflour",
    "bicarbonate of soda": "baking soda",
    "vanilla": "vanilla extract",
    "eggs": "egg",
    "treacle": "molasses",
}


def _exact(value: Number) -> Fraction:
    try:
        number = Fraction(str(value)) if isinstance(value, float) else Fraction(value)
    except (ValueError, OverflowError, ZeroDivisionError, TypeError) as fault:
        raise UnitError(f"{value!r} is not a number.") from fault
    return number


def _unit(name: str) -> str:
    text = " ".join(str(name).lower().strip().rstrip(".").split())
    for form in (text, text.removesuffix("s")):
        form = _ALIASES.get(form, form)
        if any(form in kind for kind in _KINDS):
            return form
    raise UnitError(f"There is no unit called {str(name)[:40]!r} here.")


def known_unit(name: str) -> str | None:
    """The unit a word means, or None."""
    try:
        return _unit(name)
    except UnitError:
        return None


def convert(value: Number, unit: str, to: str) -> Fraction:
    """`value` in `unit`, exactly, in the unit `to`. Raises UnitError when they measure different things."""
    first, second = _unit(unit), _unit(to)
    for kind in _KINDS:
        if first in kind and second in kind:
            return _exact(value) * kind[first] / kind[second]
    raise UnitError(
        f"{first} and {second} do not measure the same thing; that needs to know what is measured."
    )


def substance(name: str) -> Household:
    """The food of that name (or a usual other name). Raises UnitError if unknown."""
    text = " ".join(str(name).lower().replace("'", "").split())
    text = _FOODS.get(text, text)
    if text not in HOUSEHOLD:
        raise UnitError(f"What a cup of {str(name)[:40]!r} weighs is not known here: weigh it once.")
    return HOUSEHOLD[text]


def grams(value: Number, unit: str, of: str = "") -> Fraction:
    """Grams of `value` `unit` of the substance `of`.

    A mass is exact. A listed measure takes the listed grams; another volume goes by the density of the
    largest listed one, right to a few percent. Raises UnitError where the substance must be known and is not.
    """
    try:
        name = _unit(unit)
    except UnitError:
        name = str(unit).lower().strip()
    if name in MASSES:
        return convert(value, name, "g")
    food = substance(of)
    if name in food.measures:
        return _exact(value) * food.measures[name]
    singular = name.removesuffix("s")
    if singular in food.measures:
        return _exact(value) * food.measures[singular]
    if name not in VOLUMES:
        raise UnitError(f"{str(unit)[:40]!r} is no measure of {food.name}.")
    if food.density is None:
        raise UnitError(f"How heavy a {name} of {food.name} is, is not known here: weigh it once.")
    return _exact(value) * VOLUMES[name] * food.density


def drops(millilitres: Number, *, per_ml: Number = 20) -> Fraction:
    """Drops in so many millilitres; `per_ml` as counted from the bottle."""
    rate = _exact(per_ml)
    if rate <= 0:
        raise UnitError("Drops per millilitre must be more than none.")
    return _exact(millilitres) * rate


_QUARTERS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8"}
_AMOUNT = re.compile(r"\s*(\d{1,9})?(?:[ -]?(\d{1,4})/(\d{1,4}))?(?:\.(\d{1,6}))?\s*(.{0,60})\Z")


def parse_amount(text: str) -> tuple[Fraction, str]:
    """An amount as a recipe writes it ("1 1/2 cups", "½ tsp", "250g"): number and unit word ("" if none).

    Raises UnitError where no number leads.
    """
    text = re.sub(r"(?<=\d),(?=\d)", ".", str(text)[:100])
    for sign, plain in _QUARTERS.items():
        text = text.replace(sign, " " + plain)
    text = re.sub(r"^\s*(\d{1,4})/(\d{1,4})", r"0 \1/\2", text)
    found = _AMOUNT.match(text)
    if not found or not (found[1] or found[2]):
        raise UnitError(f"{text[:40]!r} does not begin with an amount.")
    whole = Fraction(f"{found[1] or 0}.{found[4] or 0}")
    if found[2]:
        if int(found[3]) == 0:
            raise UnitError("A fraction of nothing is no amount.")
        whole += Fraction(int(found[2]), int(found[3]))
    return whole, found[5].strip()
