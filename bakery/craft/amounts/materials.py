"""The same amounts as things on shelves: what reserves, shopping, day close and costing share."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING

from ..work import Work
from ..work.pieces import Job
from .draws import DOUGH, ICING, SPRAY, WAFER, Draw
from .needs import Amounts, amounts

if TYPE_CHECKING:
    from ..recipes import Recipe

__all__ = ["Book", "Material", "materials_of"]

AIRBRUSH, GEL = "airbrush", "icing"
STEP = Decimal("0.001")
PACKING = {"bags": "bag", "boxes": "box", "platters": "platter", "cartons": "carton"}
PLAIN = ("white", "plain", "no colour")
"""Icing that nothing is mixed into."""


@dataclass(frozen=True)
class Book:
    """Her recipes, and the bottles of each colour: by lower-case colour and medium, (cupboard key, drops).

    Drops are those in 100 g of icing, or parts of the airbrush cup.
    """

    dough: "Recipe | None" = None
    icing: "Recipe | None" = None
    bottles: Mapping[tuple[str, str], Sequence[tuple[str, float]]] = field(default_factory=dict)


@dataclass(frozen=True)
class Material:
    """So much of one thing, and how much of it for each order.

    `what` is "item" (`key` is the cupboard's), "colour" (of a `medium`, where no bottle is named for it) or
    "name" (a staple or packing by its plain name). `unit` is g, drop, sheet or piece. `at` is when the first
    job needs it, None where nobody said. `takes` are the same amounts by order and by the day's first job
    that takes them: (order, moment, quantity); those of an order add up to its part.
    """

    what: str
    name: str
    quantity: Decimal
    unit: str
    orders: Mapping[str, Decimal]
    at: datetime | None = None
    key: str = ""
    medium: str = ""
    takes: tuple[tuple[str, datetime | None, Decimal], ...] = ()


def materials_of(
    works: Sequence[Work] | Work,
    jobs: Sequence[Job] | None = None,
    *,
    book: Book | None = None,
    starts: Mapping[str, datetime] | None = None,
    icing: str = "layers",
    tubs: Mapping[str, float] | None = None,
    offcuts: Sequence[tuple[float, float]] = (),
) -> tuple[Material, ...]:
    """Everything some work takes, in the order dough, icing, colour, wafer paper, packing.

    The parts of the orders add up to the whole of each thing to its last thousandth. Dough counts by whole
    batches, wafer paper by what is used up of the sheets, drops and icing with what is thrown away.
    """
    from ..recipes import DOUGH as PLAIN_DOUGH
    from ..recipes import ICING as PLAIN_ICING

    book, starts = book or Book(), starts or {}
    dough, base = book.dough or PLAIN_DOUGH, book.icing or PLAIN_ICING
    need = amounts(works, jobs, icing=icing, dough=book.dough, tubs=tubs, starts=starts, offcuts=offcuts)
    heap = _Heap(starts)
    _add_dough(heap, need, dough)
    _add_icing(heap, need, base, book)
    _add_sprayed(heap, need, book)
    _add_wafer(heap, need)
    packing = [job for job in _chosen(works, jobs) if job.kind == "pack"]
    for row in need.packs.orders:
        mine = [job.id for job in packing if job.order == row.order]
        key = row.pack.key if row.pack else ""
        thing = ("item", key, row.pack.name) if key else ("name", "", PACKING[row.what])
        heap.put((*thing, "", "piece"), row.order, row.count, mine)
    return heap.materials()


def _chosen(works, jobs) -> Iterable[Job]:
    if jobs is not None:
        return jobs
    works = [works] if isinstance(works, Work) else works
    return [job for work in works for job in work.jobs]


class _Heap:
    """Quantities by thing and order while they are gathered."""

    def __init__(self, starts):
        self.starts = starts
        self.by: dict[tuple, dict[str, Fraction]] = {}
        self.days: dict[tuple, dict[tuple, tuple]] = {}

    def add(self, thing: tuple, draw: Draw, quantity: float) -> None:
        self.put(thing, draw.order, quantity, (draw.job,))

    def put(self, thing, order, quantity, jobs=()) -> None:
        orders = self.by.setdefault(thing, defaultdict(Fraction))
        orders[order] += Fraction(quantity)
        at = min((self.starts[job] for job in jobs if job in self.starts), default=None)
        days = self.days.setdefault(thing, {})
        day = (order, at.date() if at else None)
        first, sum_ = days.get(day, (at, Fraction(0)))
        days[day] = (min(at, first) if at else None, sum_ + Fraction(quantity))

    def materials(self) -> tuple[Material, ...]:
        found = []
        for thing, orders in self.by.items():
            what, key, name, medium, unit = thing
            parts = {order: _number(quantity) for order, quantity in orders.items() if quantity > 0}
            if parts:
                takes = tuple(self._takes(thing, parts))
                at = min((at for _, at, _ in takes if at), default=None)
                total = sum(parts.values())
                found.append(
                    Material(what, name, total, unit, MappingProxyType(parts), at, key, medium, takes)
                )  # fmt: skip
        return tuple(found)

    def _takes(self, thing, parts):
        """By order and day, as the days come; each order's add up to its part to the last thousandth."""
        days = sorted(
            ((order, at, quantity) for (order, _), (at, quantity) in self.days[thing].items()),
            key=lambda one: (one[0], one[1] is None, one[1].toordinal() if one[1] else 0),
        )
        done: dict[str, Decimal] = defaultdict(Decimal)
        run: dict[str, Fraction] = defaultdict(Fraction)
        for order, at, quantity in days:
            if order not in parts:
                continue
            run[order] += quantity
            whole = self.by[thing][order]
            upto = _upto(parts[order], run[order], whole)
            if upto > done[order]:
                yield order, at, upto - done[order]
                done[order] = upto


def _upto(part: Decimal, run: Fraction, whole: Fraction) -> Decimal:
    """A part's share so far, in thousandths; all of it at the end."""
    if run >= whole:
        return part
    share = Fraction(part) * run / whole
    return (Decimal(share.numerator) / Decimal(share.denominator)).quantize(STEP, ROUND_HALF_UP)


def _number(quantity: Fraction) -> Decimal:
    exact = Decimal(quantity.numerator) / Decimal(quantity.denominator)
    return max(STEP, exact.quantize(STEP, ROUND_HALF_UP))


def _ingredient(item) -> tuple:
    return ("item" if item.item else "name", item.item, item.name, "", "g")


def _add_dough(heap: _Heap, need: Amounts, dough: "Recipe") -> None:
    mine = [draw for draw in need.draws if draw.what == DOUGH]
    whole = sum(draw.quantity for draw in mine)
    for draw in mine:
        batches = need.dough.batches * draw.quantity / whole
        for item in dough.ingredients:
            heap.add(_ingredient(item), draw, float(item.grams) * batches)


def _add_icing(heap: _Heap, need: Amounts, base: "Recipe", book: Book) -> None:
    """Stiff icing by its ingredients, water to loosen it with the rest of the water, and drops of colour."""
    bags = {(bag.colour, bag.consistency): bag for bag in need.icing}
    for draw in need.draws:
        bag = bags.get(draw.key) if draw.what == ICING else None
        if bag is None or not bag.orders:
            continue
        share = draw.quantity / sum(grams for _, grams in bag.orders)
        for item in base.ingredients:
            heap.add(_ingredient(item), draw, float(item.grams) / float(base.grams) * bag.stiff * share)
        for key, drops in book.bottles.get((bag.colour.lower(), GEL), ()):
            heap.add(("item", key, "", GEL, "drop"), draw, drops * bag.fresh / 100 * share)
        if not book.bottles.get((bag.colour.lower(), GEL)) and bag.colour.lower() not in PLAIN:
            heap.add(("colour", "", bag.colour, GEL, "g"), draw, bag.fresh * share)


def _add_wafer(heap: _Heap, need: Amounts) -> None:
    """Paper that is used up, offcuts kept not counted, shared by the area of the pieces."""
    mine = [draw for draw in need.draws if draw.what == WAFER]
    whole = sum(draw.quantity * draw.key[0] * draw.key[1] for draw in mine)
    for draw in mine:
        share = draw.quantity * draw.key[0] * draw.key[1] / whole
        heap.add(("name", "", "wafer paper", "", "sheet"), draw, float(need.paper.paper) * share)


def _add_sprayed(heap: _Heap, need: Amounts, book: Book) -> None:
    for draw in need.draws:
        if draw.what != SPRAY:
            continue
        parts = book.bottles.get((draw.key[0].lower(), AIRBRUSH), ())
        whole = sum(drops for _, drops in parts)
        if not whole:
            heap.add(("colour", "", draw.key[0], AIRBRUSH, "drop"), draw, draw.quantity)
        for key, drops in parts if whole else ():
            heap.add(("item", key, "", AIRBRUSH, "drop"), draw, draw.quantity * drops / whole)
