"""Recipes and amounts: dough by the batch, icing by colour and consistency, airbrush colour by the drop."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, pi

from .work import Work, layers_of
from .work.kinds import COVER, ICING_DENSITY, is_dark
from .work.pieces import Job

__all__ = [
    "CONSISTENCY",
    "DOUGH",
    "ICING",
    "Amounts",
    "IcingBag",
    "Ingredient",
    "Recipe",
    "amounts",
    "area_of_round",
    "dough_per_cookie",
    "icing_on_cookie",
    "icing_to_mix",
    "merged",
]

DOUGH_DENSITY = 1.25
"""Raw dough [g/mL] (common practice, no source)."""
YIELD = 0.65
"""Share of the cookies that geometry promises and a batch gives: edges, scraps, rejects (common practice)."""
BAG_SHARE, BAG_FIXED = 0.15, 20.0
"""Icing left in bags and bowls: a share, and grams a bag (common practice, no source)."""
DROPS_PER_DOZEN = 8.0
"""Airbrush colour [drops a colour a dozen cookies of 46 cm2 and a placing] (common practice, no source)."""
CUP_LOSS = 6.0
"""Drops that stay in the cup and are sprayed out at each cleaning (common practice, no source)."""
CONSISTENCY = {
    "flood": "flood, heals in 10 s",
    "icing_pass": "spread, keeps a knife's track",
    "pipe": "detail, heals in 20 s",
    "letter": "detail, heals in 20 s",
    "transfer": "detail, heals in 20 s",
}


@dataclass(frozen=True)
class Ingredient:
    """One ingredient of a batch [g] with the allergens it brings."""

    name: str
    grams: Fraction
    allergens: tuple[str, ...] = ()


@dataclass(frozen=True)
class Recipe:
    """A batch: its ingredients, and how many cookies (dough) or grams (icing) it makes."""

    name: str
    ingredients: tuple[Ingredient, ...]
    cookies: int = 0
    thickness_mm: float = 6.0
    area_cm2: float = 46.0

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

    def yields(self, area_cm2: float, thickness_mm: float) -> int:
        """Cookies of that size and thickness from one batch: the known count, by volume."""
        if area_cm2 <= 0 or thickness_mm <= 0:
            raise ValueError("A cookie has an area and a thickness.")
        return max(1, int(self.cookies * self.area_cm2 * self.thickness_mm / (area_cm2 * thickness_mm)))

    def for_cookies(
        self, cookies: int, *, area_cm2: float = 46.0, thickness_mm: float = 6.0
    ) -> tuple[int, "Recipe"]:
        """Whole batches for so many cookies, and what goes into them."""
        batches = ceil(cookies / self.yields(area_cm2, thickness_mm)) if cookies > 0 else 0
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


def icing_on_cookie(area_cm2: float, thickness_mm: float = 2.0, cover: float = COVER) -> float:
    """Icing of a flood coat on one cookie [g]: area x cover x thickness x density."""
    return area_cm2 * cover * thickness_mm / 10 * ICING_DENSITY


def icing_to_mix(grams_on_cookies: float, bags: int = 1) -> float:
    """Icing to mix [g] so that `grams_on_cookies` end on cookies, with what stays in bags and bowls."""
    return 0.0 if grams_on_cookies <= 0 else grams_on_cookies * (1 + BAG_SHARE) + BAG_FIXED * max(1, bags)


@dataclass(frozen=True)
class IcingBag:
    """One colour in one consistency: grams that end on cookies, grams to mix, cookies it serves."""

    colour: str
    consistency: str
    on_cookies: float
    to_mix: float
    cookies: int
    dark: bool = False


@dataclass(frozen=True)
class Amounts:
    """What some work needs: whole dough batches, icing, airbrush drops by colour, names to letter."""

    dough_batches: int
    cookies_cut: int
    icing: tuple[IcingBag, ...]
    drops: Mapping[str, int]
    transfers: int
    names: int
    packed: int

    @property
    def icing_grams(self) -> float:
        """Icing to mix altogether [g]."""
        return sum(bag.to_mix for bag in self.icing)


def amounts(works: Sequence[Work] | Work, jobs: Sequence[Job] | None = None) -> Amounts:
    """Amounts for whole orders, or for some of their jobs (tonight's); one bag of a colour serves all."""
    works = [works] if isinstance(works, Work) else list(works)
    chosen = [job for work in works for job in work.jobs] if jobs is None else list(jobs)
    lines = {(work.order.id, line.id): line for work in works for line in work.order.lines}
    grams: dict[tuple[str, str], float] = defaultdict(float)
    cookies: dict[tuple[str, str], int] = defaultdict(int)
    drops: dict[str, float] = defaultdict(float)
    for job in chosen:
        if job.kind in CONSISTENCY and job.grams:
            for colour in job.colours or ("white",):
                key = (colour, CONSISTENCY[job.kind])
                grams[key] += job.grams / max(1, len(job.colours))
                cookies[key] += job.cookies
        elif job.kind == "spray":
            for colour, count in _drops(job, lines.get((job.order, job.line))).items():
                drops[colour] += count
    bags = tuple(
        IcingBag(
            colour, kind, round(on, 1), round(icing_to_mix(on), 1), cookies[colour, kind], is_dark(colour)
        )
        for (colour, kind), on in sorted(grams.items(), key=lambda item: (item[0][1], item[0][0]))
    )
    return Amounts(
        sum(job.kind == "dough" for job in chosen),
        sum(job.cookies for job in chosen if job.kind == "dough"),
        bags,
        {colour: ceil(count - 1e-9) for colour, count in drops.items()},
        sum(job.cookies for job in chosen if job.id.endswith(".make")),
        sum(job.cookies for job in chosen if job.kind == "letter"),
        sum(job.cookies for job in chosen if job.kind == "pack"),
    )


def _drops(job: Job, line) -> dict[str, float]:
    """Drops by colour of one spray run: by cookie, size and placing, and what each cleaning throws away."""
    size = (line.area_cm2 / 46) if line else 1.0
    found: dict[str, float] = dict.fromkeys(job.colours, CUP_LOSS)
    layers = [la for la in layers_of(line) if la.kind == "spray"] if line else []
    for colour in job.colours:
        placings = (
            sum(layer.placings / len(layer.colours) for layer in layers if colour in layer.colours) or 1.0
        )
        found[colour] += DROPS_PER_DOZEN * job.cookies / 12 * size * placings
    return found


def merged(parts: Sequence[Recipe]) -> tuple[Ingredient, ...]:
    """All ingredients of several recipes, heaviest first, those of one name added up."""
    total: dict[str, Ingredient] = {}
    for recipe in parts:
        for item in recipe.ingredients:
            known = total.get(item.name)
            total[item.name] = item if known is None else replace(known, grams=known.grams + item.grams)
    return tuple(sorted(total.values(), key=lambda i: (-i.grams, i.name)))
