"""Cookies that stand ready: put down from an order made for stock, taken to the stall, sold, brought back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Count, DecimalField, F, Sum
from django.utils import timezone

from .models import AheadUse, MadeAhead, StallDay, StallLine

READY = MadeAhead.What.FINISHED
NOTHING = Decimal("0")


@dataclass(frozen=True)
class Ready:
    """Cookies of one line that are done. `key` names the line, so that it is put down once."""

    key: str
    title: str
    quantity: int
    drawing: dict
    price_each: Decimal | None = None


@dataclass(frozen=True)
class Take:
    """So many of a packet to take along, at a price each."""

    item: int
    quantity: int
    price_each: Decimal = NOTHING


@dataclass(frozen=True)
class Counted:
    """What was counted at the end, for one line."""

    line: int
    sold: int
    back: int


@transaction.atomic
def put_down(*, ready, keeps_days: int, at: datetime | None = None, place: str = "tin") -> list[MadeAhead]:
    """What an order made for stock gave now stands ready, with its last day. Said twice, put down once."""
    at = at or timezone.now()
    there = {
        row.from_order: row for row in MadeAhead.objects.filter(from_order__in=[one.key for one in ready])
    }
    found = []
    for one in ready:
        row = there.get(one.key) or MadeAhead(
            what=READY, shape=one.title[:180], quantity=one.quantity, place=place, made_on=at, since=at,
            keeps_until=timezone.localdate(at + timedelta(days=keeps_days)), from_order=one.key,
            price_each=one.price_each, drawing=one.drawing,
        )  # fmt: skip
        if row.pk is None:
            row.full_clean()
            row.save()
        found.append(row)
    return found


@transaction.atomic
def take_along(*, token: UUID, takes, on: date | None = None, place: str = "") -> StallDay:
    """So many of each go out with her. The same form again is the same day out; never more than there are."""
    StallDay(token=token, on=on or timezone.localdate(), place=place).full_clean(validate_unique=False)
    fresh = {"on": on or timezone.localdate(), "place": place}
    day, made = StallDay.objects.get_or_create(token=token, defaults=fresh)
    if not made:
        return day
    takes = sorted((take for take in takes if take.quantity), key=lambda take: take.item)
    rows = {row.pk: row for row in MadeAhead.objects.select_for_update().filter(
        pk__in=[take.item for take in takes], what=READY).order_by("pk")}  # fmt: skip
    if not takes:
        raise ValidationError("Nothing is taken along yet.")
    for take in takes:
        row = rows.get(take.item)
        if row is None:
            raise ValidationError("One of these is not there any more. Look again.")
        left = row.quantity - (row.uses.aggregate(n=Sum("quantity"))["n"] or 0)
        if take.quantity > left:
            raise ValidationError({f"take-{row.pk}": f"There are only {left} left."})
        _line(day, row, take)
    return day


def _line(day: StallDay, row: MadeAhead, take: Take) -> None:
    use = AheadUse(item=row, reason=AheadUse.Reason.TAKEN, quantity=take.quantity, used=True)
    use.full_clean()
    use.save()
    line = StallLine(day=day, item=row, use=use, taken=take.quantity, price_each=take.price_each)
    line.full_clean()
    line.save()
    if row.price_each != take.price_each:
        row.price_each = take.price_each
        row.save(update_fields=["price_each"])


@transaction.atomic
def count_at_the_end(*, day: StallDay, counts, at: datetime | None = None) -> StallDay:
    """Sold and brought back, for each line; what came back lies there again. Said anew it counts anew.

    Raises ValidationError by field (`back-LINE`) where more was sold and brought back than taken.
    """
    day = StallDay.objects.select_for_update().get(pk=day.pk)
    said = {one.line: one for one in counts}
    wrong = {}
    for line in day.lines.select_related("use", "item"):
        one = said.get(line.pk)
        if one is None:
            continue
        if one.sold + one.back > line.taken:
            wrong[f"back-{line.pk}"] = f"You took {line.taken}: {one.sold} and {one.back} are more."
            continue
        line.sold, line.back = one.sold, one.back
        line.full_clean(exclude=["use"])
        line.save()
        _settle(line)
    if wrong:
        raise ValidationError(wrong)
    day.came_back_at = day.came_back_at or at or timezone.now()
    day.save()
    return day


def _settle(line: StallLine) -> None:
    """The use says what is gone for good: what was taken less what came back."""
    away, use = line.taken - line.back, line.use
    if not away:
        if use is not None:
            line.use = None
            line.save(update_fields=["use"])
            use.delete()
        return
    use = use or AheadUse(item=line.item, used=True)
    use.quantity = away
    use.reason = AheadUse.Reason.SOLD if line.sold else AheadUse.Reason.GIVEN
    use.full_clean()
    use.save()
    if line.use_id != use.pk:
        line.use = use
        line.save(update_fields=["use"])


@transaction.atomic
def not_taken(*, day: StallDay) -> bool:
    """She stays at home after all: everything lies there again. Once counted, a day stays."""
    day = StallDay.objects.select_for_update().filter(pk=day.pk).first()
    if day is None or day.came_back_at is not None:
        return False
    uses = [line.use_id for line in day.lines.all() if line.use_id]
    day.delete()
    AheadUse.objects.filter(pk__in=uses).delete()
    return True


# Reads.


@dataclass(frozen=True)
class Standing:
    """Cookies ready, with how many are left at home."""

    item: MadeAhead
    left: int


@dataclass(frozen=True)
class Takings:
    """One day out, added up."""

    day: StallDay
    taken: int
    sold: int
    back: int
    money: Decimal

    @property
    def missing(self) -> int:
        return self.taken - self.sold - self.back


def standing() -> tuple[Standing, ...]:
    """What is ready and left at home, first to be eaten first; one query."""
    rows = MadeAhead.objects.filter(what=READY).annotate(away=Sum("uses__quantity"))
    return tuple(
        Standing(row, left)
        for row in rows.order_by("keeps_until", "pk")
        if (left := row.quantity - (row.away or 0)) > 0
    )


def days_out() -> list[StallDay]:
    """Days that are not counted yet, with their lines; two queries."""
    return list(
        StallDay.objects.filter(came_back_at=None).prefetch_related("lines__item").order_by("on", "pk")
    )


def stall_takings(first: date, last: date) -> tuple[Takings, ...]:
    """What the stall brought in, day by day, both days included; one query."""
    money = Sum(
        F("lines__sold") * F("lines__price_each"), output_field=DecimalField(max_digits=12, decimal_places=2)
    )
    days = (
        StallDay.objects.filter(on__range=(first, last), came_back_at__isnull=False)
        .annotate(
            n=Count("lines"),
            taken=Sum("lines__taken"),
            sold=Sum("lines__sold"),
            back=Sum("lines__back"),
            money=money,
        )
        .order_by("on", "pk")
    )
    return tuple(
        Takings(day, day.taken or 0, day.sold or 0, day.back or 0, _pennies(day.money)) for day in days
    )


def _pennies(amount) -> Decimal:
    """SQLite multiplies money as floating point: back to whole pennies."""
    return (amount or NOTHING).quantize(Decimal("0.01"))


def put_down_already(keys) -> set[str]:
    """Which lines of orders stand ready already."""
    return set(MadeAhead.objects.filter(from_order__in=list(keys)).values_list("from_order", flat=True))
