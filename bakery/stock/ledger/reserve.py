"""What orders will want: softly on a quote or while held, firmly once booked. No packet moves for it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal

from django.db import transaction
from django.db.models import Sum

from ..models import Reserve, StockItem
from .booking import STEP, amount


@dataclass(frozen=True)
class Want:
    """So much of an item, in its unit, by the moment the first job takes it; `takes` say when it takes how
    much of that, where it is taken on several days.
    """

    item: StockItem
    quantity: Decimal
    at: datetime | None = None
    takes: tuple[tuple[datetime | None, Decimal], ...] = ()

    @property
    def days(self) -> list[list[str]]:
        """The takes as they are kept."""
        return [[at.astimezone(UTC).isoformat(), str(quantity)] for at, quantity in self.takes if at]


def reserve(*, order: str, wants: Iterable[Want], firm: bool) -> list[Reserve]:
    """All that this order wants, in place of what it wanted before."""
    together: dict[int, Reserve] = {}
    for want in wants:
        quantity = amount(want.quantity, zero=True)
        if not quantity:
            continue
        row = together.setdefault(
            want.item.pk, Reserve(item_id=want.item.pk, order=order, quantity=Decimal(0), firm=firm)
        )
        row.quantity += quantity
        row.days += want.days
        row.wanted_at = min((at for at in (row.wanted_at, want.at) if at), default=None)
    rows = [together[pk] for pk in sorted(together)]
    for row in rows:
        row.clean_fields(exclude=["item"])
    with transaction.atomic():
        Reserve.objects.filter(order=order).exclude(item__in=together).delete()
        Reserve.objects.bulk_create(
            rows,
            update_conflicts=True,
            unique_fields=["item", "order"],
            update_fields=["quantity", "wanted_at", "firm", "days"],
        )
    return list(Reserve.objects.filter(order=order).order_by("item"))


@transaction.atomic
def release(*, order: str) -> int:
    """The order comes to nothing, or has taken what it wanted: all is free again."""
    return Reserve.objects.filter(order=order).delete()[0]


@transaction.atomic
def firm_up(*, order: str) -> int:
    """It is booked: what was held softly is reserved."""
    return Reserve.objects.filter(order=order, firm=False).update(firm=True)


def reserved(*, firm: bool | None = None) -> dict[int, Decimal]:
    """What all orders together want of each item, by its pk; one query."""
    rows = Reserve.objects.all() if firm is None else Reserve.objects.filter(firm=firm)
    sums = rows.order_by().values("item").annotate(total=Sum("quantity"))
    return {row["item"]: row["total"].quantize(STEP) for row in sums}
