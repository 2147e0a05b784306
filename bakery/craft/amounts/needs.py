"""How much of everything some work needs, rounded as it is made: whole batches, whole sheets, whole boxes."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from fractions import Fraction
from math import ceil
from types import MappingProxyType
from typing import TYPE_CHECKING

from ..packing import SheetCount, count_sheets
from ..work import Work
from ..work.ahead import Use
from ..work.counting import spares_of
from ..work.kinds import is_dark
from ..work.pieces import Job
from .draws import DOUGH, ICING, PLAIN_AREA, SPRAY, WAFER, Draw, base_id, draws_of
from .figures import FLOOD, bags_for, icing_to_mix, water_to_loosen
from .packs import Packs, packs_of

if TYPE_CHECKING:
    from ..recipes import Recipe

__all__ = ["Amounts", "Dough", "IcingBag", "amounts"]


@dataclass(frozen=True)
class Dough:
    """Dough to mix: whole batches, the cookies cut from them, and what the plan thought of.

    `fits` is how many of these cookies one batch gives; `planned` the batches that the plan has time for.
    """

    batches: int = 0
    cookies: int = 0
    fits: int = 0
    planned: int = 0
    part: float = 0.0


NOT_BAKING = ("talk", "pack", "door", "drive")
NO_DOUGH, NO_PACKS, NO_PAPER = Dough(), Packs(), SheetCount(0, Fraction(0), Fraction(0))


@dataclass(frozen=True)
class IcingBag:
    """One colour in one consistency: grams that end on cookies, grams to mix, cookies it serves.

    `tub` is what of it a leftover tub gives [g]: used first, so only `fresh` is mixed.
    """

    colour: str
    consistency: str
    on_cookies: float
    to_mix: float
    cookies: int
    dark: bool = False
    tub: float = 0.0
    orders: tuple[tuple[str, float], ...] = ()

    @property
    def fresh(self) -> float:
        """Icing to mix new [g]."""
        return max(0.0, self.to_mix - self.tub)

    @property
    def water_ml(self) -> float:
        """Water that takes the fresh icing from stiff to this consistency [mL]; the seconds test decides."""
        return water_to_loosen(self.fresh, self.consistency)

    @property
    def stiff(self) -> float:
        """Stiff icing that goes into it [g]; a millilitre of water weighs a gram."""
        return self.fresh - self.water_ml

    @property
    def bags(self) -> int:
        """Fillings of a bag."""
        return bags_for(self.to_mix)


@dataclass(frozen=True)
class Amounts:
    """What some work needs. `drops` by airbrush colour hold what each cleaning throws away; `uses` is what
    was made ahead and goes first.
    """

    dough_batches: int
    cookies_cut: int
    icing: tuple[IcingBag, ...]
    drops: Mapping[str, int]
    transfers: int
    names: int
    packed: int
    dough: Dough = NO_DOUGH
    wafer: tuple[tuple[tuple[float, float], int], ...] = ()
    paper: SheetCount = NO_PAPER
    packs: Packs = NO_PACKS
    spares: int = 0
    uses: tuple[Use, ...] = ()
    draws: tuple[Draw, ...] = field(default=(), repr=False)

    @property
    def sheets(self) -> int:
        """Sheets of wafer paper to take out: pieces of different designs are cut from one together."""
        return self.paper.sheets

    @property
    def icing_grams(self) -> float:
        """Icing to mix altogether [g], leftover tubs included."""
        return sum(bag.to_mix for bag in self.icing)

    @property
    def stiff_grams(self) -> float:
        """Stiff icing to make new [g]."""
        return sum(bag.stiff for bag in self.icing)

    @property
    def water_ml(self) -> float:
        """Water to loosen it all [mL]."""
        return sum(bag.water_ml for bag in self.icing)


def amounts(
    works: Sequence[Work] | Work,
    jobs: Sequence[Job] | None = None,
    *,
    icing: str = "layers",
    dough: "Recipe | None" = None,
    tubs: Mapping[str, float] | None = None,
    starts: Mapping[str, datetime] | None = None,
    offcuts: Sequence[tuple[float, float]] = (),
) -> Amounts:
    """Amounts for whole orders, or for some of their jobs; one bag of a colour and consistency serves all.

    Parameters
    ----------
    works : the orders' work
    jobs : only these jobs of it (tonight's); all where None
    icing : "layers" counts icing where it is laid on cookies, "mixes" where it is mixed
    dough : the recipe whose batches are counted, with the cutter it was counted with; else the shop's count
    tubs : leftover icing by colour, in lower case [g]; flood takes it first, since a tub can be thinned
    starts : when each job begins: dough mixed on one day is one making, else all of it is
    offcuts : (width, height) of kept pieces of wafer paper [mm], which go before fresh sheets
    """
    works = [works] if isinstance(works, Work) else list(works)
    chosen = [job for work in works for job in work.jobs] if jobs is None else list(jobs)
    draws = draws_of(works, chosen, icing)
    mixed = _dough(works, chosen, draws, dough, starts or {})
    pieces = _pieces(draws)
    packs = [job for job in chosen if job.kind == "pack"]
    return Amounts(
        mixed.batches,
        mixed.cookies,
        _bags(draws, dict(tubs or {})),
        _drops(draws),
        sum(job.cookies for job in chosen if base_id(job).endswith(".make")),
        sum(job.cookies for job in chosen if job.kind == "letter"),
        sum(job.cookies for job in packs),
        dough=mixed,
        wafer=pieces,
        paper=_paper(pieces, works, offcuts),
        packs=packs_of(works, packs),
        spares=_spares(works, chosen),
        uses=_uses(works, chosen),
        draws=draws,
    )


def _dough(works, chosen, draws, recipe, starts) -> Dough:
    """Whole batches for each day that dough is mixed on, by the size of the cutters."""
    mine = [draw for draw in draws if draw.what == DOUGH]
    if not mine:
        return Dough()
    shop = works[0].shop
    known = recipe is not None and recipe.cookies
    batch = float(recipe.cookies * recipe.area_cm2) if known else shop.dough_cm2
    each = max(1, round(batch / PLAIN_AREA))
    days: dict = defaultdict(list)
    for draw in mine:
        start = starts.get(draw.job)
        days[start.date() if start else None].append(draw)
    cookies = sum(draw.cookies for draw in mine)
    part = sum(draw.quantity for draw in mine) * PLAIN_AREA / batch
    planned = sum(job.kind == "dough" for job in chosen)
    one = max(draw.quantity / draw.cookies for draw in mine if draw.cookies) * PLAIN_AREA / batch
    enough = part <= planned + one
    batches = sum(_batches(day, batch, enough) for day in days.values())
    return Dough(batches, cookies, max(1, int(cookies / part + 1e-9)) if part else each, planned, part)


def _batches(draws, batch: float, enough: bool) -> int:
    """As many as the cookies of a day take by their mean size, and no more than are planned where those are
    `enough` for all: a plan shares whole cookies out by their own sizes, one day a little more than another.
    """
    share = sum(draw.quantity for draw in draws) * PLAIN_AREA / batch
    batches = max(1, ceil(share - 1e-9))
    return min(batches, len({draw.job for draw in draws})) if enough else batches


def _bags(draws, tubs) -> tuple[IcingBag, ...]:
    rows: dict[tuple[str, str], list[Draw]] = defaultdict(list)
    for draw in draws:
        if draw.what == ICING:
            rows[draw.key].append(draw)
    found = []
    left = {name.lower(): float(grams) for name, grams in tubs.items()}
    for colour, kind in sorted(rows, key=lambda key: (key[1] != FLOOD, key[1], key[0])):
        mine = rows[colour, kind]
        on = sum(draw.quantity for draw in mine)
        mix = icing_to_mix(on)
        tub = min(mix, max(0.0, left.get(colour.lower(), 0.0)))
        if tub:
            left[colour.lower()] -= tub
        orders: dict[str, float] = defaultdict(float)
        for draw in mine:
            orders[draw.order] += draw.quantity
        cookies = sum(draw.cookies for draw in mine)
        found.append(
            IcingBag(colour, kind, round(on, 1), round(mix, 1), cookies, is_dark(colour), round(tub, 1),
                     tuple(orders.items()))
        )  # fmt: skip
    return tuple(sorted(found, key=lambda bag: (bag.consistency, bag.colour)))


def _drops(draws) -> Mapping[str, int]:
    found: dict[str, float] = defaultdict(float)
    for draw in draws:
        if draw.what == SPRAY:
            found[draw.key[0]] += draw.quantity
    return MappingProxyType({colour: ceil(count - 1e-9) for colour, count in found.items()})


def _pieces(draws) -> tuple[tuple[tuple[float, float], int], ...]:
    found: dict[tuple, int] = defaultdict(int)
    for draw in draws:
        if draw.what == WAFER:
            found[draw.key] += int(draw.quantity)
    return tuple(sorted(found.items()))


def _paper(pieces, works, offcuts) -> SheetCount:
    if not pieces:
        return NO_PAPER
    kinds = tuple((*size, count) for size, count in pieces)
    return count_sheets(kinds, tuple(works[0].shop.sheet_mm), tuple(tuple(cut) for cut in offcuts))


def _spares(works, chosen) -> int:
    """Spare cookies among those that dough is mixed for."""
    orders = {name for job in chosen if job.kind == "dough" for name in job.orders}
    return sum(
        spares_of(line, work.shop)
        for work in works
        if work.order.id in orders
        for line in work.order.lines
        if line.stage == "nothing"
    )


def _uses(works, chosen) -> tuple[Use, ...]:
    """What was made ahead for the orders that are baked, thawed or decorated in these jobs."""
    dough = {name for job in chosen if job.kind in ("dough", "bake", "thaw") for name in job.orders}
    rest = {
        name for job in chosen if job.kind not in ("talk", "pack", "door", "drive") for name in job.orders
    }
    return tuple(
        use
        for work in works
        for use in work.uses
        if use.order in (dough if use.item.what == "dough" else rest)
    )
