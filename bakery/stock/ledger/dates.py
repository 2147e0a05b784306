"""When a packet should be used up, opened or not."""

from datetime import date, timedelta

from django.core.exceptions import ValidationError
from django.utils import timezone

from ..models import Packet, StockItem
from .booking import Books, once


def use_by(item: StockItem | None, best_before: date | None, opened_on: date | None) -> date | None:
    """Its best-before, or sooner once it is open."""
    days = item.keeps_open_days if item is not None else None
    soon = opened_on + timedelta(days=days) if opened_on and days is not None else None
    return min((day for day in (best_before, soon) if day), default=None)


def opened(packet: Packet, on: date | None) -> None:
    """Set, unsaved: it is open since that day."""
    packet.opened_on = on
    packet.use_by = use_by(packet.item, packet.best_before, on)


def open_packet(*, packet: Packet, on: date | None) -> Packet:
    """She opened it that day (None: it is closed after all). Its date follows; nothing moves."""
    if on is not None and on > timezone.localdate():
        raise ValidationError({"on": "That day is still to come."})
    if on is not None and on < packet.came_on:
        raise ValidationError(
            {"on": f"It came on {packet.came_on.day} {packet.came_on:%B}: opened after that."}
        )
    return _change(packet, lambda row: opened(row, on))


def date_packet(*, packet: Packet, best_before: date | None) -> Packet:
    """The best-before printed on it, entered or mended later."""

    def change(row: Packet) -> None:
        row.best_before = best_before
        row.use_by = use_by(row.item, best_before, row.opened_on)

    return _change(packet, change)


def _change(packet: Packet, change) -> Packet:
    def work(books: Books) -> Packet:
        row = books.locked(packet)
        change(row)
        row.clean_fields(exclude=["item", "colour", "delivery"])
        row.save()
        return row

    return once(things=[packet.item or packet.colour], at=None, known=lambda: None, work=work)
