"""Every write and read of what is made ahead: dough, blanks, transfers, and where they lie."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Sum
from django.utils import timezone

from bakery.craft.work import Ahead, Use
from bakery.studio.queries import the_studio

from .models import AheadUse, MadeAhead
from .signals import ahead_changed

DAYS = {
    ("dough", "counter"): 1, ("dough", "tin"): 1, ("dough", "fridge"): 4, ("dough", "freezer"): 80,
    ("blank", "counter"): 2, ("blank", "tin"): 5, ("blank", "fridge"): 5, ("blank", "freezer"): 80,
    ("finished", "freezer"): 80, ("transfer", "counter"): 30, ("transfer", "tin"): 180,
}  # fmt: skip
"""Days that it keeps in its place from the day it comes there fresh: common practice, no source.

Transfers keep dry and dark, not cold: in fridge or freezer they count for a day.
"""


@dataclass(frozen=True)
class Lying:
    """One thing made ahead with what is left of it, and for whom some of it is spoken for."""

    item: MadeAhead
    left: int
    spoken: tuple[tuple[str, int], ...] = ()

    @property
    def free(self) -> int:
        return self.left - sum(count for _, count in self.spoken)


def keeps_until(what: str, place: str, since: datetime, aged_days: float = 0):
    """The last day it should be used by; days it has aged already count, except in the freezer."""
    days = DAYS.get((what, place), 1)
    if what == MadeAhead.What.FINISHED and place != MadeAhead.Place.FREEZER:
        days = the_studio().keeps_days
    if place != MadeAhead.Place.FREEZER:
        days = max(0, days - aged_days)
    return timezone.localdate(since + timedelta(days=days))


@transaction.atomic
def make_ahead(*, what: str, quantity: int, place: str, shape: str = "", for_order: str = "", note: str = "",
               made_on: datetime | None = None, until=None) -> MadeAhead:  # fmt: skip
    """Something was made ahead and lies there."""
    made = made_on or timezone.now()
    item = MadeAhead(what=what, quantity=quantity, place=place, shape=shape, for_order=for_order, note=note,
                     made_on=made, since=made)  # fmt: skip
    item.full_clean()
    item.keeps_until = until or keeps_until(what, place, made)
    item.save()
    _tell()
    return item


@transaction.atomic
def use_ahead(*, item: MadeAhead, quantity: int | None = None, order: str = "", line: str = "",
              at: datetime | None = None) -> AheadUse | None:  # fmt: skip
    """So many are gone, all that are left by default. What is left no more cannot go twice."""
    item = MadeAhead.objects.select_for_update().get(pk=item.pk)
    left = item.quantity - (item.uses.aggregate(n=Sum("quantity"))["n"] or 0)
    if quantity is not None and quantity > left:
        raise ValidationError({"quantity": f"There are only {left} left."})
    count = left if quantity is None else quantity
    if count < 1:
        return None
    when = at or timezone.now()
    use = AheadUse.objects.create(item=item, order=order, line=line, quantity=count, used=True, at=when)
    _tell()
    return use


@transaction.atomic
def gone(*, item: MadeAhead, at: datetime | None = None) -> AheadUse | None:
    """All of it is gone, whoever it was spoken for; None when it is gone already."""
    item = MadeAhead.objects.select_for_update().get(pk=item.pk)
    item.uses.filter(used=False).delete()
    return use_ahead(item=item, at=at)


@transaction.atomic
def take_back(*, use: AheadUse) -> bool:
    """It is there after all. Said twice it is said once."""
    count, _ = AheadUse.objects.filter(pk=use.pk).delete()
    if count:
        _tell()
    return bool(count)


@transaction.atomic
def move_ahead(*, item: MadeAhead, place: str, at: datetime | None = None) -> MadeAhead:
    """It lies somewhere else now; what it aged so far stays with it, frozen days do not count."""
    at = at or timezone.now()
    item = MadeAhead.objects.select_for_update().get(pk=item.pk)
    if place not in MadeAhead.Place.values:
        raise ValidationError({"place": "Counter, tin, fridge or freezer."})
    if item.place == place:
        return item
    if item.place != MadeAhead.Place.FREEZER:
        item.aged_days += max(0.0, (at - item.since) / timedelta(days=1))
    item.place, item.since = place, at
    item.keeps_until = keeps_until(item.what, place, at, item.aged_days)
    item.full_clean()
    item.save()
    _tell()
    return item


@transaction.atomic
def claim(*, uses, orders, begun=()) -> None:
    """What the plan gives to these orders is spoken for; what it no longer gives them is free again.

    Orders that are `begun` (or done) have used theirs.
    """
    wanted = {(int(use.item.id), use.order, use.line): use.quantity for use in uses}
    for row in AheadUse.objects.filter(order__in=orders):
        if wanted.get((row.item_id, row.order, row.line)) == row.quantity:
            del wanted[row.item_id, row.order, row.line]
        else:
            row.delete()
    AheadUse.objects.bulk_create(
        AheadUse(item_id=item, order=order, line=line, quantity=count)
        for (item, order, line), count in wanted.items()
    )
    AheadUse.objects.filter(order__in=begun, used=False).update(used=True)


def release(*, orders) -> int:
    """What was spoken for by orders that come to nothing is free again."""
    return AheadUse.objects.filter(order__in=orders, used=False).delete()[0]


def lying() -> tuple[Lying, ...]:
    """What is left, by the day it keeps until; two queries."""
    found = []
    for item in MadeAhead.objects.prefetch_related("uses"):
        spoken = tuple((use.order, use.quantity) for use in item.uses.all() if not use.used)
        away = sum(use.quantity for use in item.uses.all() if use.used)
        if item.quantity > away:
            found.append(Lying(item, item.quantity - away, spoken))
    return tuple(found)


def ahead_items(orders) -> tuple[tuple[Ahead, ...], tuple[Use, ...]]:
    """For the core: all there is for these orders, and what of it they have spoken for or used already.

    Cookies that stand ready for the stall are no work of any order.
    """
    items, uses = [], []
    for row in MadeAhead.objects.exclude(what=MadeAhead.What.FINISHED).prefetch_related("uses"):
        mine = [use for use in row.uses.all() if use.order and use.order in orders]
        left = row.quantity - sum(use.quantity for use in row.uses.all() if use not in mine)
        if left < 1:
            continue
        end = row.keeps_until
        item = Ahead(
            id=str(row.pk), what=row.what, quantity=left, place=row.place, made=row.made_on,
            keeps_until=_end_of(end) if end else None, shape=row.shape, order=row.for_order, since=row.since,
            aged_days=row.aged_days,
        )  # fmt: skip
        items.append(item)
        uses += [Use(item, use.order, use.line, use.quantity) for use in mine]
    return tuple(items), tuple(uses)


def spoken_orders() -> set[str]:
    """Keys of all orders that have spoken for something they have not used."""
    return set(AheadUse.objects.filter(used=False).values_list("order", flat=True))


def _end_of(day) -> datetime:
    return timezone.make_aware(datetime.combine(day, datetime.min.time())) + timedelta(days=1)


def _tell() -> None:
    transaction.on_commit(lambda: ahead_changed.send(sender=None))
