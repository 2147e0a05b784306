"""What her hands used, mixed and threw away. Nothing she has done is refused: where the books say too little
they are put right first, and that is asked about later.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.core.exceptions import ValidationError

from ..models import Colour, Move, Packet
from .amounts import unit_cost
from .booking import (
    PENNY,
    Books,
    Thing,
    amount,
    cost_of_finding,
    cost_of_taking,
    moves_with,
    once,
    part_token,
    short_token,
)
from .dates import opened


@dataclass(frozen=True)
class Use:
    """So much of an item (or of a mixed colour), in its unit, for the order of this key or for none."""

    item: Thing
    quantity: Decimal
    order: str = ""


def use(*, item: Thing, quantity, order: str = "", at: datetime | None = None, token: str = "",
        into: Packet | None = None, reason: str = "") -> list[Move]:  # fmt: skip
    """Used: from the packets that expire first, one move each. The same token is the same use.

    What the books lack is found first: a COUNT move, flagged where amounts of it are kept.
    """
    quantity, token = amount(quantity, zero=True), short_token(token)
    return once(
        things=[item],
        at=at,
        known=lambda: moves_with([token]),
        work=lambda books: take(books, item, quantity, token=token, order=order, into=into, reason=reason),
    )


def use_many(*, uses: Sequence[Use], at: datetime | None = None, token: str = "") -> list[Move]:
    """All of a day's uses or none of them; the same token is the same day."""
    wanted = [(one, amount(one.quantity, zero=True), part_token(token, n)) for n, one in enumerate(uses)]

    def work(books: Books) -> list[Move]:
        return [
            move
            for one, quantity, part in wanted
            for move in take(books, one.item, quantity, token=part, order=one.order)
        ]

    return once(
        things=[one.item for one in uses],
        at=at,
        known=lambda: moves_with([part for *_, part in wanted]),
        work=work,
    )


def take(books: Books, thing: Thing, quantity: Decimal, *, token: str = "", kind: str = Move.Kind.USE,
         **more) -> list[Move]:  # fmt: skip
    """The moves of one use, within a call that holds the books."""
    if not quantity:
        return []
    moves = []
    short = quantity - sum(packet.left for packet in books.packets(thing))
    if short > 0:
        moves.append(find(books, thing, short, token=token))
    for packet in books.packets(thing):
        part = min(quantity, packet.left)
        if not part:
            break
        if packet.opened_on is None and packet.origin == Packet.Origin.BOUGHT:
            opened(packet, max(books.day, packet.came_on))
        moves.append(books.move(packet, kind, -part, -cost_of_taking(packet, part), token=token, **more))
        quantity -= part
    return moves


def find(books: Books, thing: Thing, quantity: Decimal, *, token: str = "", asked: bool = True) -> Move:
    """So much was there that no packet in the books holds; worth what it usually costs. With `asked` she is
    asked about it later, where amounts of the thing are kept at all.
    """
    cost = (quantity * (unit_cost(thing) or 0)).quantize(PENNY)
    packet = books.found_packet(thing)
    packet.quantity += quantity
    packet.cost += cost
    kept = isinstance(thing, Colour) or type(thing).objects.filter(pk=thing.pk, measured=True).exists()
    return books.move(packet, Move.Kind.COUNT, quantity, cost, token=token, flagged=asked and kept,
                      reason="more was used than the books knew of" if asked else "")  # fmt: skip


def make(*, colour: Colour, quantity, parts=(), at: datetime | None = None, token: str = "", note: str = "",
         best_before: date | None = None, place: str = "") -> Packet:  # fmt: skip
    """A mixed colour in its tub, a packet of its own: it costs what went into it.

    `parts` are pairs of item (or mixed colour) and quantity. Without parts it is what was left over of icing
    that is booked already, and costs nothing more.
    """
    quantity, token = amount(quantity), short_token(token)
    parts = [(thing, amount(part, zero=True)) for thing, part in parts]

    def known() -> Packet | None:
        return next((move.packet for move in moves_with([token]) if move.kind == Move.Kind.MAKE), None)

    def work(books: Books) -> Packet:
        tub = books.new_packet(
            colour, origin=Packet.Origin.MADE, quantity=quantity, cost=Decimal(0), came_on=books.day,
            best_before=best_before, use_by=best_before, note=note, place=place,
        )  # fmt: skip
        tub.save()  # what goes into it points to it
        went = [
            move
            for n, (thing, part) in enumerate(parts)
            for move in take(books, thing, part, token=part_token(token, n), into=tub)
        ]
        tub.cost = -sum((move.cost for move in went if move.kind == Move.Kind.USE), Decimal(0))
        books.move(tub, Move.Kind.MAKE, quantity, tub.cost, token=token)
        return tub

    return once(things=[colour, *(thing for thing, _ in parts)], at=at, known=known, work=work)


def waste(*, packet: Packet, quantity=None, reason: str, at: datetime | None = None, token: str = "") -> Move:
    """Thrown away, all that is left without a `quantity`; more than the books say puts them right first."""
    if not reason.strip():
        raise ValidationError({"reason": "Say why: then you see what it costs you in a year."})
    wanted, token = None if quantity is None else amount(quantity), short_token(token)

    def known() -> Move | None:
        return next((move for move in moves_with([token]) if move.kind == Move.Kind.WASTE), None)

    def work(books: Books) -> Move:
        row = books.locked(packet)
        part = row.left if wanted is None else wanted
        if part > row.left:
            more = part - row.left
            books.move(row, Move.Kind.COUNT, more, cost_of_finding(row, more), token=token)
        cost = cost_of_taking(row, part)
        return books.move(row, Move.Kind.WASTE, -part, -cost, token=token, reason=reason.strip())

    return once(things=[packet.item or packet.colour], at=at, known=known, work=work)
