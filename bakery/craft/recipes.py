"""Recipes: what a batch is made of, how far it goes by cutter, thickness and re-rolls."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, pi

# How much a whole order takes lives beside this; whoever asks a recipe asks for that too.
from .amounts.figures import CUP_LOSS, DROPS_PER_DOZEN, icing_on_cookie, icing_to_mix
from .amounts.needs import Amounts, IcingBag, amounts

__all__ = [
    "CUP_LOSS",
    "DOUGH",
    "DROPS_PER_DOZEN",
    "ICING",
    "Amounts",
    "IcingBag",
    "Ingredient",
    "Recipe",
    "amounts",
    "area_of_round",
    "cookies_from",
    "cut_share",
    "dough_per_cookie",
    "icing_on_cookie",
    "icing_to_mix",
    "merged",
]

DOUGH_DENSITY = 1.25
"""Raw dough [g/mL] (common practice, no source)."""
YIELD = 0.65
"""Share of the cookies that geometry promises and a batch gives, scraps re-rolled once (common practice)."""
CUT_SHARE = 0.5
"""Share of a rolled sheet that lies inside the cutters; the rest is scrap (common practice, no source)."""
KEPT = YIELD / (1 - (1 - CUT_SHARE) ** 2)
"""Share of what is cut that becomes a good cookie, so that one re-roll gives `YIELD`."""


@dataclass(frozen=True)
class Ingredient:
    """One ingredient of a batch [g] with the allergens it brings; `item` is the cupboard's key for it."""

    name: str
    grams: Fraction
    allergens: tuple[str, ...] = ()
    item: str = ""


@dataclass(frozen=True)
class Recipe:
    """A batch: its ingredients, and how many cookies (dough) or grams (icing) it makes.

    `cookies` were counted with a cutter of `area_cm2`, dough rolled to `thickness_mm` and re-rolled
    `rerolls` times. `unknown` names ingredients whose grams nobody knows: they are in no sum.
    """

    name: str
    ingredients: tuple[Ingredient, ...]
    cookies: int = 0
    thickness_mm: float = 6.0
    area_cm2: float = 46.0
    rerolls: int = 1
    unknown: tuple[str, ...] = ()

    @property
    def grams(self) -> Fraction:
        """Mass of the whole batch."""
        return sum((i.grams for i in self.ingredients), Fraction(0))

    @property
    def allergens(self) -> tuple[str, ...]:
        """Allergens of all ingredients, each once, in the order of the ingredients."""
        return tuple(dict.fromkeys(a for i in self.ingredients for a in i.allergens))

    def times(self, factor) -> "Recipe":
        """The recipe multiplied. Raises ValueError for a negative factor."""
        factor = Fraction(str(factor)) if isinstance(factor, float) else Fraction(factor)
        if factor < 0:
            raise ValueError("A recipe cannot be made less than no times.")
        scaled = tuple(replace(i, grams=i.grams * factor) for i in self.ingredients)
        return replace(self, ingredients=scaled, cookies=int(self.cookies * factor))

    def yields(self, area_cm2: float, thickness_mm: float, rerolls: int | None = None) -> int:
        """Cookies of that size and thickness from one batch: the known count, by volume and by re-rolls."""
        if area_cm2 <= 0 or thickness_mm <= 0:
            raise ValueError("A cookie has an area and a thickness.")
        volume = self.area_cm2 * self.thickness_mm / (area_cm2 * thickness_mm)
        rolled = 1.0 if rerolls is None else cut_share(rerolls) / cut_share(self.rerolls)
        return max(1, int(self.cookies * volume * rolled + 1e-9))

    def for_cookies(
        self,
        cookies: int,
        *,
        area_cm2: float = 46.0,
        thickness_mm: float = 6.0,
        rerolls: int | None = None,
    ) -> tuple[int, "Recipe"]:
        """Whole batches for so many cookies, and what goes into them."""
        batches = ceil(cookies / self.yields(area_cm2, thickness_mm, rerolls)) if cookies > 0 else 0
        return batches, self.times(batches)


def _of(name, grams, *allergens) -> Ingredient:
    return Ingredient(name, Fraction(str(grams)), allergens)


DOUGH = Recipe(
    "Vanilla dough",
    (
        _of("plain flour", 375, "wheat"),
        _of("butter", 227, "milk"),
        _of("sugar", 200),
        _of("egg", 50, "egg"),
        _of("vanilla extract", "4.2"),
        _of("salt", 3),
    ),
    cookies=20,
)
"""A plain rolled dough on one cup of butter (common practice, no source); she enters her own."""
ICING = Recipe(
    "Royal icing",
    (_of("icing sugar", 454), _of("water", 82), _of("egg white powder", 25, "egg")),
)
"""One pound of icing sugar with white powder and water (common practice, no source)."""


def area_of_round(diameter_mm: float) -> float:
    """Area [cm2] of a round cookie of that diameter [mm]."""
    return pi * (diameter_mm / 20) ** 2


def dough_per_cookie(area_cm2: float, thickness_mm: float = 6.35) -> float:
    """Raw dough in one cookie [g]: area x thickness x density."""
    return area_cm2 * thickness_mm / 10 * DOUGH_DENSITY


def cut_share(rerolls: int = 1) -> float:
    """Share of the dough that ends in good cookies: each rolling cuts `CUT_SHARE` of what is rolled, and what
    is gathered is rolled again `rerolls` times; of all that is cut `KEPT` is good.

    Raises ValueError for fewer than no re-rolls.
    """
    if rerolls < 0:
        raise ValueError("Dough is re-rolled no times or more.")
    return (1 - (1 - CUT_SHARE) ** (rerolls + 1)) * KEPT


def cookies_from(grams: float, *, area_cm2: float = 46.0, thickness_mm: float = 6.0, rerolls: int = 1) -> int:
    """Cookies that so much dough [g] gives at that size and thickness, with scraps re-rolled."""
    if grams <= 0:
        return 0
    return int(grams * cut_share(rerolls) / dough_per_cookie(area_cm2, thickness_mm) + 1e-9)


def merged(parts: Sequence[Recipe]) -> tuple[Ingredient, ...]:
    """All ingredients of several recipes, heaviest first, those of one name added up."""
    total: dict[str, Ingredient] = {}
    for recipe in parts:
        for item in recipe.ingredients:
            known = total.get(item.name)
            total[item.name] = item if known is None else replace(known, grams=known.grams + item.grams)
    return tuple(sorted(total.values(), key=lambda i: (-i.grams, i.name)))
