"""How much there is, in which packets, and what it cost: reads, with a bounded number of queries."""

from collections.abc import Iterable
from decimal import Decimal

from django.db.models import OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from ..models import Colour, Packet, StockItem
from .booking import STEP, ZERO, Thing, whose


def on_hand(items: Iterable[StockItem] | None = None) -> dict[int, Decimal]:
    """What the books say of each item, by its pk; items that never had a packet count nothing. One query."""
    rows = Packet.objects.filter(item__isnull=False, left__gt=0)
    wanted = None if items is None else [item.pk for item in items]
    if wanted is not None:
        rows = rows.filter(item__in=wanted)
    found = {
        row["item"]: row["total"].quantize(STEP)
        for row in rows.order_by().values("item").annotate(total=Sum("left"))
    }
    if wanted is None:
        wanted = StockItem.objects.values_list("pk", flat=True) if found else ()
    return {pk: found.get(pk, ZERO) for pk in wanted}


def tubs_on_hand() -> dict[int, Decimal]:
    """What is left of each mixed colour, by its pk; one query."""
    rows = Packet.objects.filter(colour__isnull=False, left__gt=0).order_by()
    return {
        row["colour"]: row["total"].quantize(STEP)
        for row in rows.values("colour").annotate(total=Sum("left"))
    }


def packets_of(thing: Thing) -> QuerySet[Packet]:
    """Its packets with something left, in the order they are picked."""
    rows = Packet.objects.filter(**whose(thing), left__gt=0)
    return rows.select_related("item", "colour", "delivery")


def unit_cost(item: Thing) -> Decimal | None:
    """Cost of one unit, unrounded: of the oldest packet with some left, else of the last one that came, else
    of a pack by its price; None when nobody knows.
    """
    if isinstance(item, Colour):
        return _of_packets([item])[item.pk]
    return unit_costs([item])[item.pk]


def unit_costs(items: Iterable[StockItem]) -> dict[int, Decimal | None]:
    """`unit_cost` of many, in two queries."""
    items = list(items)
    found = _of_packets(items)
    for item in items:
        if found[item.pk] is None and item.pack_price is not None and item.pack_size:
            found[item.pk] = Decimal(item.pack_price) / Decimal(item.pack_size)
    return found


def _of_packets(things: list[Thing]) -> dict[int, Decimal | None]:
    if not things:
        return {}
    side = "colour" if isinstance(things[0], Colour) else "item"
    # what was found, and an offcut whose sheet is paid for, have no price of their own
    origin = Packet.Origin.MADE if side == "colour" else Packet.Origin.BOUGHT
    mine = Packet.objects.filter(**{side: OuterRef("pk")}, quantity__gt=0, origin=origin)
    oldest = mine.filter(left__gt=0).order_by("came_on", "pk").values("pk")[:1]
    newest = mine.order_by("-came_on", "-pk").values("pk")[:1]
    asked = type(things[0]).objects.filter(pk__in=[thing.pk for thing in things]).order_by()
    chosen = dict(
        asked.annotate(which=Coalesce(Subquery(oldest), Subquery(newest))).values_list("pk", "which")
    )
    packets = Packet.objects.in_bulk([pk for pk in chosen.values() if pk])
    found: dict[int, Decimal | None] = dict.fromkeys(thing.pk for thing in things)
    for pk, which in chosen.items():
        if which:
            found[pk] = packets[which].cost / packets[which].quantity
    return found
