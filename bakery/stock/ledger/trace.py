"""Which packet went where, and what an order was made from, through every colour mixed on the way."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db.models import Max, Min, Q, Sum

from ..models import Move, Packet
from .booking import STEP

DEEPEST = 12  # a tub mixed from a tub mixed from a tub ...


@dataclass(frozen=True)
class Went:
    """So much of `packet` (the one asked about, or a tub it is in) went into the order of this key."""

    order: str
    packet: Packet
    quantity: Decimal
    first: datetime
    last: datetime


@dataclass(frozen=True)
class From:
    """So much of `packet` went into the order, or into the tub `into` that did."""

    packet: Packet
    quantity: Decimal
    at: datetime
    into: Packet | None = None


def trace_packet(packet: Packet) -> tuple[Went, ...]:
    """The orders it went into, newest first; what was put back is not in them."""
    seen, reached, found = {packet.pk}, {packet.pk}, []
    for _ in range(DEEPEST):
        rows = _sums(Move.objects.filter(packet__in=reached).filter(~Q(order="") | Q(into__isnull=False)))
        found += [row for row in rows if row["order"]]
        reached = {row["into"] for row in rows if row["into"]} - seen
        seen |= reached
        if not reached:
            break
    packets = Packet.objects.select_related("item", "colour", "delivery").in_bulk(
        {r["packet"] for r in found}
    )
    went = [
        Went(row["order"], packets[row["packet"]], -row["total"], row["first"], row["last"]) for row in found
    ]
    return tuple(sorted(went, key=lambda one: (one.last, one.order), reverse=True))


def trace_order(order: str) -> tuple[From, ...]:
    """All packets that went into it, the tubs' own packets after each tub's."""
    rows = _sums(Move.objects.filter(order=order).exclude(order=""))  # as its index does
    found, seen = list(rows), {row["packet"] for row in rows}
    reached = set(seen)
    for _ in range(DEEPEST):
        if not reached:
            break
        rows = _sums(Move.objects.filter(into__in=reached))
        found += rows
        reached = {row["packet"] for row in rows} - seen
        seen |= reached
    packets = Packet.objects.select_related("item", "colour", "delivery").in_bulk(seen)
    return tuple(
        From(packets[row["packet"]], -row["total"], row["first"], packets.get(row["into"])) for row in found
    )


def _sums(moves) -> list[dict]:
    """Moves by packet, order and tub, as far as they were not put back."""
    rows = moves.filter(kind__in=[Move.Kind.USE, Move.Kind.BACK]).order_by()
    rows = rows.values("packet", "order", "into")
    rows = rows.annotate(total=Sum("quantity"), first=Min("at"), last=Max("at")).order_by("first", "packet")
    sums = [row | {"total": row["total"].quantize(STEP)} for row in rows]
    return [row for row in sums if row["total"] < 0]
