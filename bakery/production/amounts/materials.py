"""The same amounts as items of the cupboard in their own units: what is reserved, used, bought and priced."""

from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from django.utils import timezone

from bakery.craft.amounts import BOX_HOLDS, PLATTER_HOLDS, Material, materials_of
from bakery.stock.measures import in_unit_of, item_named, packing_named
from bakery.stock.models import StockItem

from ..adapters import scene
from ..models import Job
from .books import Cupboard, cupboard
from .chosen import core_job

HOLDS = {"bag": 1, "box": BOX_HOLDS, "platter": PLATTER_HOLDS, "carton": 0}
SHELVES = {"wafer paper": (StockItem.Group.WAFER,)} | dict.fromkeys(HOLDS, (StockItem.Group.PACKING,))
FROM_THE_TAP = ("water", "salt")
"""What is always there: nobody needs a packet of it to bake, and none is missed."""
STEP = Decimal("0.001")
FOOD = (StockItem.Group.DRY, StockItem.Group.FRESH)
BOTTLES = {"airbrush": (StockItem.Group.AIRBRUSH,), "icing": (StockItem.Group.GEL,)}


@dataclass(frozen=True)
class ItemNeed:
    """So much of an item in its own unit, for each order (by key), by the moment the first job takes it;
    `takes` by order and day: (order, moment, quantity).
    """

    item: StockItem
    quantity: Decimal
    orders: dict[str, Decimal]
    at: datetime | None = None
    takes: tuple[tuple[str, datetime | None, Decimal], ...] = ()

    def begins(self, order: str) -> datetime | None:
        """When the first job of this order takes some."""
        return min((at for key, at, _ in self.takes if key == order and at), default=None)


def materials_now(now: datetime, *, orders=None) -> tuple[tuple[Material, ...], Cupboard]:
    """All that open jobs of planned orders still take, with the cupboard it was reckoned from; of some
    `orders` (keys) only. Bounded queries.
    """
    works = scene(now=now).shared()[0]
    rows = Job.objects.exclude(state=Job.State.DONE).filter(order__number__in=[int(key[1:]) for key in works])
    jobs, starts = [], {}
    for row in rows.select_related("order"):
        job = core_job(works, row)
        if job is None:
            continue
        jobs.append(job)
        begins = row.started_at or row.planned_start
        if begins:
            starts[job.id] = timezone.localtime(begins)
    books = cupboard()
    found = materials_of(
        list(works.values()), jobs, book=books.book, starts=starts, icing="mixes", tubs=books.left,
        offcuts=books.offcuts,
    )  # fmt: skip
    return (found if orders is None else tuple(_only(found, set(orders)))), books


def _only(found, orders):
    for one in found:
        mine = {key: part for key, part in one.orders.items() if key in orders}
        if mine:
            takes = tuple(take for take in one.takes if take[0] in orders)
            yield replace(one, quantity=sum(mine.values()), orders=mine, takes=takes)


def needs_of_items(found, books: Cupboard) -> tuple[tuple[ItemNeed, ...], tuple[Material, ...]]:
    """Materials by item, and those that no item or no measure is known for: never guessed."""
    by_item: dict[int, ItemNeed] = {}
    unknown = []
    for one in found:
        item = item_of(one, books)
        if item is None and one.name in FROM_THE_TAP:
            continue
        parts = _in_its_unit(one, item)
        if not parts or None in parts.values():
            unknown.append(one)
            continue
        known = by_item.get(item.pk)
        orders = dict(known.orders) if known else {}
        for key, quantity in parts.items():
            orders[key] = orders.get(key, Decimal(0)) + quantity
        at = min((at for at in (known and known.at, one.at) if at), default=None)
        takes = (*(known.takes if known else ()), *_takes(one, parts))
        by_item[item.pk] = ItemNeed(item, sum(orders.values()), orders, at, takes)
    return tuple(by_item.values()), tuple(unknown)


def _in_its_unit(one: Material, item: StockItem | None) -> dict:
    if item is None:
        return {}
    return {key: in_unit_of(item, part, one.unit, one.name) for key, part in one.orders.items()}


def _takes(one: Material, parts: dict):
    """Each order's part of an item by days, as the material is; the last day takes what rounding leaves."""
    for order, part in parts.items():
        mine = [(at, quantity) for key, at, quantity in one.takes if key == order]
        left = part
        for number, (at, quantity) in enumerate(mine, 1):
            last = number == len(mine)
            share = left if last else min(left, (part * quantity / one.orders[order]).quantize(STEP))
            left -= share
            if share:
                yield order, at, share


def item_of(one: Material, books: Cupboard) -> StockItem | None:
    """The item a material is: by its key, or the only one of that name on the right shelf."""
    if one.key:
        return books.items.get(int(one.key))
    shelves = BOTTLES[one.medium] if one.what == "colour" else SHELVES.get(one.name, FOOD)
    items = [item for item in books.items.values() if item.group in shelves]
    if one.name in HOLDS:
        return packing_named(one.name, items, HOLDS[one.name])
    return item_named(one.name, items)
