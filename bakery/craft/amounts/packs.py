"""Bags, boxes, platters and cartons for what is packed."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from ..work import Work
from ..work.pieces import Job

__all__ = ["BOX_HOLDS", "PLATTER_HOLDS", "Packs", "packs_of"]

BOX_HOLDS = 12
"""Cookies in one box (common practice, no source)."""
PLATTER_HOLDS = 24
"""Cookies on one platter, overlapped on 16 inches (common practice, no source)."""


@dataclass(frozen=True)
class Packs:
    """Counts of each kind of packing, and the same by order."""

    bags: int = 0
    boxes: int = 0
    platters: int = 0
    cartons: int = 0
    orders: tuple[tuple[str, str, int], ...] = ()


def packs_of(
    works: Sequence[Work], packs: Sequence[Job], *, box: int = BOX_HOLDS, platter: int = PLATTER_HOLDS
) -> Packs:
    """Packing for the orders that these jobs pack: boxes are whole for each order, one carton a posted box.

    Bagged cookies stand in boxes too; loose ones get none. Raises ValueError for a box that holds nothing.
    """
    if box < 1 or platter < 1:
        raise ValueError("A box and a platter hold at least one cookie.")
    orders = {job.order for job in packs}
    total = {"bags": 0, "boxes": 0, "platters": 0, "cartons": 0}
    rows = []
    for work in works:
        if work.order.id in orders:
            for name, count in _of(work, box, platter):
                total[name] += count
                rows.append((name, work.order.id, count))
    return Packs(**total, orders=tuple(row for row in rows if row[2]))


def _of(work: Work, box: int, platter: int):
    lines = work.order.lines
    bagged = sum(line.quantity for line in lines if line.packaging == "bag")
    boxed = sum(line.quantity for line in lines if line.packaging in ("bag", "box"))
    plattered = sum(line.quantity for line in lines if line.packaging == "platter")
    boxes, platters = ceil(boxed / box), ceil(plattered / platter)
    yield "bags", bagged
    yield "boxes", boxes
    yield "platters", platters
    yield "cartons", boxes + platters if work.order.way == "posted" else 0
