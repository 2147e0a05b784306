"""Reads of Money: what hours paid, by design, kind and month; what is owed; her minutes and the clock."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from django.core.paginator import Page, Paginator
from django.db.models import Case, Count, ExpressionWrapper, F, FloatField, Q, Sum, When

from bakery.craft.earning import Pay, factor, whole_pence
from bakery.designs.models import Design, Kind
from bakery.orders.models import Order, Payment
from bakery.stock.models import StallLine

from .models import FIGURES, LineSum, OrderSum, Pace, WorkSum
from .pace import OPERATIONS, used_since

PAGE = 40
YEAR = timedelta(days=365)
KNOWN = Q(brought__isnull=False) | Q(for_stock=True)


@dataclass(frozen=True)
class Span:
    """The days that are looked at, both included. `key` stands in addresses."""

    key: str
    first: date
    last: date
    words: str


@dataclass(frozen=True)
class Stall:
    """One packet's part of a day at the stall, in pence."""

    on: date
    key: str
    money: int


@dataclass(frozen=True)
class WorkPace:
    """A sort of work: seconds thought and taken over `orders`, since it was last put right."""

    work: str
    orders: int
    thought: int
    took: int

    @property
    def factor(self) -> Fraction:
        return factor(self.thought, self.took) or Fraction(1)


def years_of(today: date) -> list[int]:
    """Years in which something was made, the newest first."""
    first = OrderSum.objects.filter(made=True).order_by("on").values_list("on", flat=True).first()
    return [] if first is None else list(range(today.year, min(first, today).year - 1, -1))


def stall_lines(span: Span) -> list[Stall]:
    """What the stall brought, a packet and day at a time; one query."""
    rows = StallLine.objects.filter(day__on__range=(span.first, span.last), day__came_back_at__isnull=False)
    found = rows.filter(sold__gt=0).values_list("day__on", "item__from_order", "sold", "price_each")
    return [
        Stall(on, key, sold * whole_pence(each)) for on, key, sold, each in found.order_by("day__on", "pk")
    ]


def pay_of_all(months: dict[date, Pay]) -> Pay:
    """Everything of these months in one row."""
    return sum(months.values(), Pay())


def pay_by_month(span: Span, stall: list[Stall]) -> dict[date, Pay]:
    """Months by their first day; a stall's takings in the month of the stall."""
    rows = OrderSum.objects.filter(KNOWN, made=True, on__range=(span.first, span.last))
    grouped = rows.values("month").annotate(orders=Count("pk"), **SUMS).order_by("month")
    found = {row["month"]: _sums(row) for row in grouped}
    for one in stall:
        month = one.on.replace(day=1)
        found[month] = found.get(month, Pay()) + Pay(brought=one.money)
    return dict(sorted(found.items()))


def pay_by(what: str, span: Span, stall: list[Stall]) -> dict[int | None, Pay]:
    """By `design` or `kind` (ids; None is no design yet, or a stall packet of no order)."""
    rows = LineSum.objects.filter(known=True, made=True, on__range=(span.first, span.last))
    grouped = rows.values(what).annotate(orders=Count("order", distinct=True), **SUMS).order_by()
    found = {row[what]: _sums(row) for row in grouped}
    keys = {one.key for one in stall if one.key}
    of_key = dict(LineSum.objects.filter(key__in=keys).values_list("key", what)) if keys else {}
    for one in stall:
        name = of_key.get(one.key)
        found[name] = found.get(name, Pay()) + Pay(brought=one.money)
    return found


SUMS = {name: Sum(name) for name in FIGURES}


def _sums(row: dict) -> Pay:
    return Pay("", row["orders"] or 0, *(row[name] or 0 for name in FIGURES))


def names_of(what: str, pks) -> dict[int, Design | Kind]:
    """The designs or kinds of these rows, with what their cookies need to be drawn."""
    if what == "kind":
        return {kind.pk: kind for kind in Kind.objects.all()}
    rows = Design.objects.filter(pk__in=[pk for pk in pks if pk]).select_related("kind")
    colours = [f"variations__{name}" for name in ("base", "motif", "detail")]
    return {one.pk: one for one in rows.prefetch_related(*colours, "layers__layer_colours__colour")}


def totals(span: Span) -> dict[str, int]:
    """As thought against as it was, over all that was made; and how many brought nobody knows what."""
    made = OrderSum.objects.filter(made=True, on__range=(span.first, span.last))
    names = (
        "thought",
        "took",
        "timed",
        "material_thought",
        "material",
        "asked",
        "brought",
        "cost_thought",
        "cost",
    )
    sums = made.aggregate(
        **{f"sum_{name}": Sum(name) for name in names}, n=Count("pk"), unknown=Count("pk", filter=~KNOWN)
    )
    return {name.removeprefix("sum_"): value or 0 for name, value in sums.items()}


def furthest_off(span: Span, *, most: int = 5) -> list[OrderSum]:
    """Orders that took longer than thought, the furthest off first."""
    made = OrderSum.objects.filter(made=True, timed__gt=0, on__range=(span.first, span.last))
    rows = made.annotate(off=F("took") - F("thought")).filter(off__gt=0).order_by("-off", "-pk")
    return list(rows.select_related("order")[:most])


def what_is_owed(*, most: int = 12) -> tuple[list[OrderSum], int, int]:
    """Orders with a balance due, the first due first; how many there are, and pence of all."""
    rows = OrderSum.objects.filter(owed__gt=0)
    sums = rows.aggregate(n=Count("pk"), all=Sum("owed"))
    found = rows.select_related("order__customer").order_by("due_on", "pk")[:most]
    return list(found), sums["n"], sums["all"] or 0


def last_payments(*, most: int = 6) -> list[Payment]:
    return list(Payment.objects.select_related("order").order_by("-on", "-pk")[:most])


def money_in(span: Span) -> dict[str, int]:
    """Pence that came in and went back in these days, by what they were."""
    rows = Payment.objects.filter(on__range=(span.first, span.last)).values_list("what")
    return {what: whole_pence(money) for what, money in rows.annotate(sum=Sum("amount")).order_by()}


def paces(today: date) -> list[WorkPace]:
    """Each sort of work that was timed in the last year, since its minutes were last put right."""
    since, first = used_since(), today - YEAR
    rows = WorkSum.objects.filter(on__range=(first, today), work__in=OPERATIONS)
    old = Q()
    for work, at in since.items():
        old |= Q(work=work, on__lte=at.date())
    grouped = rows.exclude(old) if since else rows
    sums = grouped.values("work").annotate(n=Count("pk"), thought=Sum("thought"), took=Sum("took")).order_by()
    found = [WorkPace(row["work"], row["n"], row["thought"], row["took"]) for row in sums]
    return sorted(found, key=lambda one: (-one.factor, one.work))


def taken_over() -> list[Pace]:
    """What she took over and has not undone, the newest of each sort of work."""
    found: dict[str, Pace] = {}
    for pace in Pace.objects.filter(undone_at=None).order_by("-at", "-pk"):
        found.setdefault(pace.work, pace)
    return list(found.values())


def order_rows(span: Span):
    """Every order of these days, for a table; read a few hundred at a time."""
    rows = OrderSum.objects.filter(made=True, on__range=(span.first, span.last))
    return rows.select_related("order__customer").order_by("on", "pk").iterator(chunk_size=500)


def orders_page(span: Span, *, least_first: bool, page) -> Page:
    """Orders of these days with what they paid, the newest or the least paid first; those of which it is not
    known come last.
    """
    rows = OrderSum.objects.filter(made=True, on__range=(span.first, span.last))
    if least_first:
        hour = (F("brought") - F("cost")) * 1.0 / F("took")
        rows = rows.annotate(hour=Case(When(took__gt=0, then=ExpressionWrapper(hour, FloatField()))))
        rows = rows.order_by(F("hour").asc(nulls_last=True), "-on", "-pk")
    else:
        rows = rows.order_by("-on", "-pk")
    return Paginator(rows.select_related("order__customer"), PAGE).get_page(page)


def payments_between(span: Span):
    rows = Payment.objects.filter(on__range=(span.first, span.last)).select_related("order__customer")
    return rows.order_by("on", "pk").iterator(chunk_size=500)


def sum_of(order: Order) -> OrderSum | None:
    return OrderSum.objects.filter(order=order).first()


def by_year(months: dict[date, Pay]) -> dict[date, Pay]:
    """Months added up to years, by their first day."""
    found: dict[date, Pay] = defaultdict(Pay)
    for month, pay in months.items():
        found[month.replace(month=1)] += pay
    return dict(found)
