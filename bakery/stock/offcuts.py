"""Offcuts of wafer sheets: kept as packets of their own size, found again when the next sheets are cut."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from .ledger.booking import STEP, amount, moves_with, once, part_token
from .ledger.use import take
from .models import Move, Packet, StockItem

ZERO = Decimal("0")


@dataclass(frozen=True)
class Kept:
    """One offcut that lies there, mm."""

    packet: int
    code: str
    width: float
    height: float


def kept_offcuts() -> tuple[Kept, ...]:
    """Offcuts of wafer paper with something left, the smallest first; one query."""
    rows = Packet.objects.filter(
        item__group=StockItem.Group.WAFER, left__gt=0, width_mm__isnull=False, height_mm__isnull=False
    ).order_by("pk")
    found = [Kept(row.pk, row.code, float(row.width_mm), float(row.height_mm)) for row in rows]
    return tuple(sorted(found, key=lambda one: (one.width * one.height, one.packet)))


def wafer_item() -> StockItem | None:
    """The wafer paper in the cupboard: the first there is."""
    return StockItem.objects.filter(group=StockItem.Group.WAFER).order_by("name").first()


def keep_offcuts(*, item: StockItem, sheet, cuts, token: str, at=None) -> list[Packet]:
    """Each (width, height) in `cuts`, mm, of a `sheet` of that size becomes a packet of its own.

    Its share of a sheet, and what that cost, moves from the packet it was cut from: what is on hand, counted
    in sheets, stays the same. The same token keeps them once.
    """
    area = Decimal(str(sheet[0])) * Decimal(str(sheet[1]))
    wanted = []
    for number, (width, height) in enumerate(cuts):
        share = (Decimal(str(width)) * Decimal(str(height)) / area).quantize(STEP)
        wanted.append((int(width), int(height), amount(min(share, Decimal(1))), part_token(token, number)))

    def known() -> list[Packet]:
        moves = moves_with([part for *_, part in wanted])
        return [move.packet for move in moves if move.kind == Move.Kind.MAKE and move.quantity > 0]

    def work(books) -> list[Packet]:
        return [_keep(books, item, *one) for one in wanted]

    return once(things=[item], at=at, known=known, work=work)


@transaction.atomic
def cut_up(*, packets) -> int:
    """These offcuts lie there whole no more. Their paper is still in the books until the day closes."""
    return Packet.objects.filter(pk__in=list(packets)).update(width_mm=None, height_mm=None)


def _keep(books, item, width: int, height: int, share: Decimal, token: str) -> Packet:
    packet = books.new_packet(
        item, origin=Packet.Origin.MADE, quantity=share, cost=ZERO, came_on=books.day, width_mm=width,
        height_mm=height, note="offcut",
    )  # fmt: skip
    packet.save()  # the moves that fill it point to it
    taken = [
        move
        for move in take(
            books, item, share, token=token, kind=Move.Kind.MAKE, into=packet, reason="offcut kept"
        )
        if move.quantity < 0
    ]
    packet.cost = -sum((move.cost for move in taken), ZERO)
    ends = [move.packet.use_by for move in taken if move.packet.use_by]
    packet.best_before = packet.use_by = min(ends, default=None)
    books.move(packet, Move.Kind.MAKE, share, packet.cost, token=token, reason="offcut kept")
    return packet
