"""A delivery: all its lines or none."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from uuid import UUID, uuid5

from django.core.exceptions import ValidationError
from django.utils import timezone

from ..models import Delivery, Level, Move, Packet, StockItem
from ..services import mark_level
from .amounts import unit_costs
from .booking import PENNY, STEP, Books, amount, money, once
from .dates import use_by

MOST_PACKS = 100
OURS = UUID("5a0a7a0e-6a67-4f0e-9d5b-0d0c0f2b7d11")


@dataclass(frozen=True)
class ReceiveLine:
    """So much of an item, in its unit, for so much money, both for the whole line. `packs` makes it so many
    packets.

    Without a `cost` it is taken as dear as the last.
    """

    item: StockItem
    quantity: Decimal
    cost: Decimal | None = None
    best_before: date | None = None
    maker_lot: str = ""
    packs: int | None = None


def receive(
    *,
    supplier: str,
    on: date,
    lines: Sequence[ReceiveLine],
    token,
    note: str = "",
    today: date | None = None,
) -> Delivery:
    """Book a delivery: a packet, or several, for each line. The same token is the same delivery.

    `today` is the day it is told, if that is not today (the example's). Raises ValidationError for a day
    still to come, no lines, or amounts that no kitchen holds.
    """
    if on > (today or timezone.localdate()):
        raise ValidationError({"on": "That day is still to come."})
    if not lines:
        raise ValidationError({"lines": "A delivery has at least one line."})
    for line in lines:
        amount(line.quantity)
        if line.cost is not None:
            money(line.cost)
        if line.packs is not None and not 1 <= line.packs <= MOST_PACKS:
            raise ValidationError({"packs": f"From 1 to {MOST_PACKS} packets in a line."})
    token = as_uuid(token)
    noon = timezone.make_aware(datetime.combine(on, time(12)))
    at = noon if today else min(noon, timezone.now())
    return once(
        things=[line.item for line in lines],
        at=at,
        known=lambda: Delivery.objects.filter(token=token).first(),
        work=lambda books: _receive(books, supplier, on, lines, token, note),
    )


def as_uuid(token) -> UUID:
    """The token of a form as it is kept; any other text has its own, always the same."""
    try:
        return token if isinstance(token, UUID) else UUID(str(token))
    except ValueError:
        return uuid5(OURS, str(token))


def _receive(books: Books, supplier, on, lines, token, note) -> Delivery:
    delivery = Delivery(supplier=supplier.strip(), on=on, token=token, note=note.strip())
    delivery.full_clean(validate_unique=False)
    delivery.save()
    books.need_codes(sum(line.packs or 1 for line in lines))
    usual = unit_costs([line.item for line in lines])
    for line in lines:
        quantity = amount(line.quantity)
        cost = money(line.cost if line.cost is not None else quantity * (usual[line.item.pk] or 0))
        for part, price in shares(quantity, cost, line.packs or 1):
            _fill(books, delivery, line, part, price)
    came = StockItem.objects.filter(pk__in=[line.item.pk for line in lines])
    for item in came.exclude(level=Level.HAVE):
        mark_level(item=item, level=Level.HAVE, at=books.at)
    came.update(measured=True)
    return delivery


def _fill(books: Books, delivery, line: ReceiveLine, quantity, cost) -> None:
    packet = books.new_packet(
        line.item, origin=Packet.Origin.BOUGHT, quantity=quantity, cost=cost, delivery=delivery,
        maker_lot=line.maker_lot.strip(), came_on=delivery.on, best_before=line.best_before,
        use_by=use_by(line.item, line.best_before, None),
    )  # fmt: skip
    books.move(packet, Move.Kind.RECEIVE, quantity, cost, token=str(delivery.token))


def shares(quantity: Decimal, cost: Decimal, packs: int):
    """Quantity and cost of each packet of a line: as even as can be, together exactly the line's."""
    packs = min(packs, int(quantity / STEP))  # no packet without anything in it
    before = (Decimal(0), Decimal(0))
    for n in range(1, packs + 1):
        upto = ((quantity * n / packs).quantize(STEP), (cost * n / packs).quantize(PENNY))
        yield upto[0] - before[0], upto[1] - before[1]
        before = upto
