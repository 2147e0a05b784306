"""Bags, boxes, platters and cartons for what is packed: by the boxes she has, else by the dozen."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from ..packing import Box, boxes_that_fit
from ..work import Work
from ..work.pieces import Job
from ..work.spec import LineSpec, Pack, Shop
from .faces import face_of

__all__ = ["BOX_HOLDS", "PLATTER_HOLDS", "Packed", "Packs", "box_for", "packs_of"]

BOX_HOLDS = 12
"""Cookies in one box (common practice, no source)."""
PLATTER_HOLDS = 24
"""Cookies on one platter, overlapped on 16 inches (common practice, no source)."""
DOZEN = Pack("box", "box", BOX_HOLDS)
TWO_DOZEN = Pack("platter", "platter", PLATTER_HOLDS)


@dataclass(frozen=True)
class Packed:
    """So many of one kind of packing for an order: "bags", "boxes", "platters" or "cartons".

    `pack` is which box or platter, and `each` how many cookies it takes.
    """

    what: str
    order: str
    count: int
    pack: Pack | None = None
    each: int = 1


@dataclass(frozen=True)
class Packs:
    """Counts of each kind of packing, and the same by order."""

    bags: int = 0
    boxes: int = 0
    platters: int = 0
    cartons: int = 0
    orders: tuple[Packed, ...] = ()


def packs_of(works: Sequence[Work], packs: Sequence[Job]) -> Packs:
    """Packing for the orders that these jobs pack: boxes are whole for each order, one carton a posted box.

    Bagged cookies stand in boxes too; loose ones get none.
    """
    orders = {job.order for job in packs}
    rows = tuple(row for work in works if work.order.id in orders for row in _of(work) if row.count)
    total = {"bags": 0, "boxes": 0, "platters": 0, "cartons": 0}
    for row in rows:
        total[row.what] += row.count
    return Packs(**total, orders=rows)


def _of(work: Work):
    order, lines, shop = work.order.id, work.order.lines, work.shop
    yield Packed("bags", order, sum(line.quantity for line in lines if line.packaging == "bag"))
    boxed = box_for([line for line in lines if line.packaging in ("bag", "box")], shop)
    plattered = [line for line in lines if line.packaging == "platter"]
    platter, each = _counted("platter", shop, _number(plattered)) or (TWO_DOZEN, PLATTER_HOLDS)
    each = work.order.platter_holds or each  # as laid on the tray she picked, before what a name says
    platters = ceil(_number(plattered) / each)
    boxes = boxed[1] if boxed else 0
    if boxed:
        yield Packed("boxes", order, boxes, boxed[0], boxed[2])
    yield Packed("platters", order, platters, platter, each)
    yield Packed("cartons", order, boxes + platters if work.order.way == "posted" else 0)


def box_for(lines: Sequence[LineSpec], shop: Shop) -> tuple[Pack, int, int] | None:
    """(box, how many, cookies in each) for lines that go in one kind of box; None for no cookies.

    Fewest boxes first, then the one with least room left; the largest cookie of a mix decides. Where none of
    hers takes it, or she has none, boxes of a dozen.
    """
    count = _number(lines)
    if not count:
        return None
    found = []
    if best := _sized(lines, shop, count):
        found.append(best)
    if best := _counted("box", shop, count):
        found.append((best[0], ceil(count / best[1]), best[1]))
    return min(found, key=lambda one: (one[1], one[2]), default=(DOZEN, ceil(count / BOX_HOLDS), BOX_HOLDS))


def _sized(lines, shop: Shop, count: int) -> tuple[Pack, int, int] | None:
    """The best of the boxes whose sides are known."""
    sized = {one.name: one for one in shop.packs if one.thing == "box" and one.size_mm}
    if not sized:
        return None
    faces = [face_of(line) for line in lines]
    wide, long = max(min(face) for face in faces), max(max(face) for face in faces)
    boxes = tuple(Box(name, *one.size_mm) for name, one in sized.items())
    best = next(iter(boxes_that_fit(count, wide, long, boxes)), None)
    return best and (sized[best.box.name], best.boxes, best.each)


def _counted(thing: str, shop: Shop, count: int) -> tuple[Pack, int] | None:
    """The best of those of which she said how many they hold."""
    known = [one for one in shop.packs if one.thing == thing and one.holds]
    best = min(known, key=lambda one: (ceil(count / one.holds), one.holds, one.name), default=None)
    return best and (best, best.holds)


def _number(lines) -> int:
    return sum(line.quantity for line in lines)
