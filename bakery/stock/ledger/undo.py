"""An undo is a move of its own: the line stays in the books, and another takes it back."""

from datetime import datetime
from decimal import Decimal

from django.core.exceptions import ValidationError

from ..models import Move, Packet
from .booking import Books, cost_of_taking, once


def put_back(*, move: Move, at: datetime | None = None, reason: str = "") -> Move:
    """Take one move back. Said twice it is said once.

    What went comes back at the cost it went for; of what came, only what is still there goes again. A mixed
    colour goes back into its bottles while none of it is used; ValidationError after that.
    """
    move = Move.objects.select_related("packet__item", "packet__colour").get(pk=move.pk)
    parts = _parts_of(move)
    packets = [move.packet, *(part.packet for part in parts)]

    def work(books: Books) -> Move:
        row = books.locked(move.packet)
        if move.kind == Move.Kind.MAKE and row.left != move.quantity:
            raise ValidationError("Some of it is used already: count the tub, or throw the rest away.")
        for part in parts:
            _back(books, part, books.locked(part.packet), reason)
        return _back(books, move, row, reason)

    return once(
        things=[packet.item or packet.colour for packet in packets],
        at=at,
        known=lambda: Move.objects.filter(undoes=move).first(),
        work=work,
    )


def _parts_of(move: Move) -> list[Move]:
    """What went into the tub that this move made, unless it was taken back already."""
    if move.kind != Move.Kind.MAKE:
        return []
    went = Move.objects.filter(into=move.packet, kind=Move.Kind.USE, undone_by=None)
    return list(went.select_related("packet__item", "packet__colour").order_by("packet", "pk"))


def _back(books: Books, move: Move, packet: Packet, reason: str) -> Move:
    if move.quantity > 0:
        part = min(move.quantity, packet.left)
        quantity, cost = -part, -cost_of_taking(packet, part)
    else:
        quantity, cost = -move.quantity, -move.cost
    back = books.move(packet, Move.Kind.BACK, quantity, cost, order=move.order, into=move.into, undoes=move,
                      reason=reason)  # fmt: skip
    if move.flagged:
        Move.objects.filter(pk=move.pk).update(flagged=False)
    if move.kind == Move.Kind.USE and packet.origin == Packet.Origin.FOUND:
        _unfind(books, move, packet)
    return back


def _unfind(books: Books, move: Move, packet: Packet) -> None:
    """What was only found because this use wanted it is not there once the use is taken back."""
    rows = Move.objects.filter(
        packet=packet, kind=Move.Kind.COUNT, undone_by=None, at=move.at, pk__lt=move.pk
    )
    found = rows.filter(token=move.token).order_by("-pk").first()
    if found is not None and found.quantity > Decimal(0):
        _back(books, found, packet, "")
