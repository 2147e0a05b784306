"""Counted with her own eyes: that is what there is, whatever the books said."""

from datetime import datetime

from django.db.models import QuerySet

from ..models import Colour, Level, Move, Packet, StockItem
from ..services import mark_level
from .booking import (
    ZERO,
    Books,
    Thing,
    amount,
    cost_of_finding,
    cost_of_taking,
    moves_with,
    once,
    short_token,
    whose,
)
from .use import find

LOOKED_AT = 5  # newest packets that a surplus may still lie in


def count(*, packet: Packet, quantity, at: datetime | None = None, token: str = "") -> Move:
    """So much is left in this packet. Also a count that finds it right is kept, so that a replay changes
    nothing.
    """
    quantity, token = amount(quantity, zero=True), short_token(token)
    thing = packet.item or packet.colour

    def work(books: Books) -> Move:
        row = books.locked(packet)
        move = set_left(books, row, quantity, token)
        _keep_amounts(books, thing)
        return move

    return once(things=[thing], at=at, known=lambda: next(iter(moves_with([token])), None), work=work)


def count_item(*, item: Thing, quantity, at: datetime | None = None, token: str = "") -> list[Move]:
    """So much of it there is in all: what is missing went from the packets that expire first, what is more
    lies in the newest, as far as they can hold it, or in one never entered.
    """
    quantity, token = amount(quantity, zero=True), short_token(token)

    def work(books: Books) -> list[Move]:
        packets = books.packets(item)
        rest = quantity - sum(packet.left for packet in packets)
        moves = []
        if rest < 0:
            for packet in packets:
                part = min(packet.left, -rest)
                rest += part
                moves.append(set_left(books, packet, packet.left - part, token))
                if not rest:
                    break
        elif rest > 0:
            moves = _spread(books, item, rest, token)
        else:  # right as it was: kept too, so that a replay changes nothing
            packet = packets[0] if packets else books.found_packet(item)
            moves = [set_left(books, packet, packet.left, token)]
        _keep_amounts(books, item)
        return moves

    return once(things=[item], at=at, known=lambda: moves_with([token]), work=work)


def _spread(books: Books, item: Thing, rest, token) -> list[Move]:
    moves = []
    newest = Packet.objects.filter(**whose(item)).exclude(origin=Packet.Origin.FOUND)
    for packet in newest.order_by("-came_on", "-pk")[:LOOKED_AT]:
        packet = books.locked(packet)
        part = min(rest, packet.quantity - packet.left)
        if part > 0:
            moves.append(set_left(books, packet, packet.left + part, token))
            rest -= part
        if not rest:
            return moves
    return [*moves, find(books, item, rest, token=token, asked=False)]


def set_left(books: Books, packet: Packet, quantity, token: str) -> Move:
    more = quantity - packet.left
    cost = cost_of_finding(packet, more) if more > 0 else -cost_of_taking(packet, -more)
    return books.move(packet, Move.Kind.COUNT, more, cost if more else ZERO, token=token)


def _keep_amounts(books: Books, thing: Thing) -> None:
    """What she counts she wants kept; nothing left is "out", and more than that is no longer out."""
    if isinstance(thing, Colour):
        return
    some = Packet.objects.filter(item=thing, left__gt=0).exists()
    if not some:
        mark_level(item=thing, level=Level.OUT, at=books.at)
    elif thing.level == Level.OUT:
        mark_level(item=thing, level=Level.HAVE, at=books.at)
    StockItem.objects.filter(pk=thing.pk).update(measured=True)


def flagged_moves() -> QuerySet[Move]:
    """Where the books said too little, newest first."""
    few = Move.objects.filter(flagged=True).order_by().values("pk")  # by their own small index, not by time
    rows = Move.objects.filter(pk__in=few).select_related("packet__item", "packet__colour")
    return rows.order_by("-at", "-pk")


def answer_flag(*, move: Move) -> int:
    """She has seen it: nothing more is asked about this thing so far. The moves stay as they are; the flags
    answered (none, said twice).
    """
    thing = move.packet.item or move.packet.colour
    side = "packet__colour" if isinstance(thing, Colour) else "packet__item"
    seen = Move.objects.filter(flagged=True, at__lte=move.at, **{side: thing}).values_list("pk", flat=True)
    return Move.objects.filter(pk__in=list(seen)).update(flagged=False)
