"""What is left of a sheet of wafer paper, by its size."""

from datetime import datetime
from decimal import Decimal

from django.core.exceptions import ValidationError

from ..models import Move, Packet, StockItem
from .booking import STEP, ZERO, Books, moves_with, once, short_token

SHEET_MM = (210, 297)
"""A4, the usual sheet."""
LEAST_MM = 10


def keep_offcut(
    *,
    item: StockItem,
    width_mm: int,
    height_mm: int,
    at: datetime | None = None,
    token: str = "",
    place: str = "",
    sheet_mm: tuple[int, int] = SHEET_MM,
) -> Packet:
    """A piece kept, a packet of its own that counts as its share of a sheet. The order that took the sheet
    has paid for it, so it is worth nothing more. Whole sheets are picked before it: a hand decides what fits.
    """
    long, short = max(width_mm, height_mm), min(width_mm, height_mm)
    if short < LEAST_MM:
        raise ValidationError({"width": f"From {LEAST_MM} mm on it is worth keeping."})
    if long > max(sheet_mm) or short > min(sheet_mm):
        raise ValidationError({"width": f"Larger than a sheet, which is {sheet_mm[0]} x {sheet_mm[1]} mm."})
    token = short_token(token)
    share = (Decimal(width_mm * height_mm) / Decimal(sheet_mm[0] * sheet_mm[1])).quantize(STEP)

    def known() -> Packet | None:
        return next((move.packet for move in moves_with([token]) if move.kind == Move.Kind.MAKE), None)

    def work(books: Books) -> Packet:
        piece = books.new_packet(
            item, origin=Packet.Origin.MADE, quantity=share, cost=ZERO, came_on=books.day,
            width_mm=width_mm, height_mm=height_mm, place=place,
        )  # fmt: skip
        books.move(piece, Move.Kind.MAKE, share, ZERO, token=token)
        return piece

    return once(things=[item], at=at, known=known, work=work)
