"""Reads for the pages of the books, each with a bounded number of queries."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.db.models import Min, Q, Sum

from . import ledger
from .models import Level, LevelMark, Move, Packet, StockItem
from .queries import wanted_items
from .signals import Need, names_of, needs

LINES = 30
ASKED_AGAIN = timedelta(days=2)


@dataclass(frozen=True)
class Wanted:
    """What booked orders will take of an item, in its unit, and `quoted` what open quotes would besides;
    `what_for` names them.
    """

    quantity: Decimal
    at: datetime | None
    what_for: str = ""
    quoted: Decimal = Decimal(0)


def wanted(item: StockItem, said: list[Need]) -> Wanted:
    """Reserved where amounts are reserved, else what the planned work says it needs (`said`); one query."""
    firm, soft = Q(firm=True), Q(firm=False)
    held = item.reserves.aggregate(
        total=Sum("quantity", filter=firm),
        at=Min("wanted_at", filter=firm),
        quoted=Sum("quantity", filter=soft),
    )
    names = ", ".join(dict.fromkeys(need.what_for for need in said))
    at = held["at"] or min((need.at for need in said), default=None)
    if held["total"] or held["quoted"]:
        return Wanted(held["total"] or Decimal(0), at, names, held["quoted"] or Decimal(0))
    units = {"drop": "drops", "g": "g", "sheet": "sheets", "piece": "pieces", "ml": "ml"}
    total = sum(need.amount for need in said if need.unit == units[item.unit])
    return Wanted(Decimal(str(round(total, 1))), at, names)


def needs_of(item: StockItem, now: datetime) -> list[Need]:
    return wanted_items(needs(now)).get(item.pk, [])


def foot_decides(item: StockItem, want: Wanted, left: Decimal, now: datetime) -> bool:
    """Whether one look at the label's foot tells if there is enough: an amount is wanted, the foot covers it,
    and neither the books nor a look of the last days has told already.
    """
    if item.unit != StockItem.Unit.DROP or not 0 < want.quantity <= ledger.foot_amount(item):
        return False
    if item.level == Level.OUT or item.pack_size <= 1:
        return False
    if item.measured:
        if not want.quantity / 2 <= left <= want.quantity * 2:
            return False
        seen = Move.objects.filter(packet__item=item, kind=Move.Kind.COUNT, at__gte=now - ASKED_AGAIN)
        return not seen.filter(flagged=False).exists()
    return item.level == Level.LOW and not _looked(item, now)


def _looked(item: StockItem, now: datetime) -> bool:
    return LevelMark.objects.filter(item=item, at__gte=now - ASKED_AGAIN).exists()


def moves_of(packets) -> list[Move]:
    """The newest lines of these packets, with what undid them."""
    rows = Move.objects.filter(packet__in=packets)
    rows = rows.select_related("packet__item", "packet__colour", "into", "undone_by")
    return list(rows.order_by("-at", "-pk")[:LINES])


def used_up(item: StockItem, most: int = 12) -> list[Packet]:
    """Its packets with nothing left, newest first."""
    rows = Packet.objects.filter(item=item, left=0).select_related("item", "delivery")
    return list(rows.order_by("-came_on", "-pk")[:most])


def titles_of(orders) -> dict[str, tuple[str, str]]:
    """Name and address of the orders with these keys, as far as the rooms above know them."""
    return names_of({order for order in orders if order})
