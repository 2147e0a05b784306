"""All of a list or nothing of it, in one transaction."""

from collections.abc import Iterable
from uuid import UUID, uuid5

from django.db import transaction

from .. import ledger
from ..models import Delivery, StockItem
from ..services import mark_level
from .delivery_lines import Came
from .own_list import Kept


@transaction.atomic
def bring_in_deliveries(*, came: Iterable[Came], token: UUID) -> list[Delivery]:
    """A delivery for each shop and day. The same token is the same deliveries. Raises ValidationError."""
    bags: dict[tuple, list] = {}
    for one in came:
        bags.setdefault((one.supplier.casefold(), one.on), []).append(one)
    return [
        ledger.receive(
            supplier=mine[0].supplier,
            on=mine[0].on,
            lines=[one.line for one in mine],
            token=uuid5(token, f"{shop} {on}"),
            note="from a list",
        )
        for (shop, on), mine in sorted(bags.items(), key=lambda bag: (bag[0][1], bag[0][0]))
    ]


@transaction.atomic
def bring_in_list(*, kept: Iterable[Kept], token: UUID) -> tuple[int, int]:
    """New things and changes, then levels and counts; how many are new and how many there were. Said again
    with the same token it changes nothing more. ValidationError: none of it.
    """
    new = old = 0
    for number, one in enumerate(kept):
        item = StockItem.objects.filter(name__iexact=one.item.name).first() or StockItem(name=one.item.name)
        new, old = (new, old + 1) if item.pk else (new + 1, old)
        for name, value in one.fields.items():
            setattr(item, name, value)
        if one.fields or not item.pk:
            item.full_clean()
            item.save()
        if one.amount is not None:
            ledger.count_item(item=item, quantity=one.amount, token=str(uuid5(token, f"count {number}")))
        if one.level:
            mark_level(item=item, level=one.level)
    return new, old
