"""Writes of Money: adding up what was said since, and taking back a payment."""

from __future__ import annotations

from django.db import transaction
from django.db.models import Max, Q

from bakery.orders.models import Order, Payment, Quote, StateChange
from bakery.production.models import JobEvent, JobShare
from bakery.stock.models import Move

from .models import LineSum, Mark, OrderSum, WorkSum
from .sums import sums_of

AT_ONCE = 100
"""Orders that a page adds up by itself; more than these are the worker's."""
CHUNK = 400
AGAIN = 500
"""Rows the worker reads once more: on a busy database a lower number may be committed after a higher one."""


def _sources() -> dict:
    """Tables that only grow, and a query for the orders that their rows are about."""
    history = Order.history.model
    return {
        "orders": (Order.objects, "pk", lambda rows: rows.values_list("pk", flat=True)),
        "changes": (history.objects, "history_id", lambda rows: rows.values_list("id", flat=True)),
        "states": (StateChange.objects, "pk", lambda rows: rows.values_list("order", flat=True)),
        "quotes": (Quote.objects, "pk", lambda rows: rows.values_list("order", flat=True)),
        "payments": (Payment.objects, "pk", lambda rows: rows.values_list("order", flat=True)),
        "jobs": (JobEvent.objects, "pk", _of_events),
        "moves": (Move.objects.exclude(order=""), "pk", _of_moves),
    }


def _of_events(rows):
    jobs = rows.values("job")
    own = rows.values_list("job__order", flat=True)
    return [
        *own.distinct(),
        *JobShare.objects.filter(job__in=jobs).values_list("order", flat=True).distinct(),
    ]


def _of_moves(rows):
    keys = rows.values_list("order", flat=True).distinct()
    numbers = {int(key[1:]) for key in keys if key[1:].isdigit() and len(key) < 11}
    return Order.objects.filter(number__in=numbers).values_list("pk", flat=True)


def behind(*, again: int = 0) -> tuple[set[int], dict[str, int]]:
    """Orders about which something was said since they were added up, and how far the tables now reach where
    they have grown.
    """
    marks = dict(Mark.objects.values_list("name", "upto"))
    orders, tops = set(), {}
    for name, (rows, field, orders_of) in _sources().items():
        top = rows.aggregate(top=Max(field))["top"] or 0
        since = marks.get(name, 0)
        if top > since:
            tops[name] = top
        if top > since or again:
            orders.update(orders_of(rows.order_by().filter(Q(**{f"{field}__gt": max(0, since - again)}))))
    return {pk for pk in orders if pk}, tops


def catch_up(*, most: int | None = AT_ONCE, again: int = 0) -> int:
    """Add up every order about which something was said; how many are left (all, where they are more than
    `most`). Done twice, it is done once.
    """
    orders, tops = behind(again=again)
    if most is not None and len(orders) > most:
        return len(orders)
    orders = sorted(orders)
    for start in range(0, len(orders), CHUNK):
        add_up(orders=orders[start : start + CHUNK])
    if tops:
        reached(upto=tops)
    return 0


def add_up(*, orders) -> None:
    """These orders anew: read outside the transaction, written in one. Of two at once the second waits."""
    orders = list(orders)
    sums = sums_of(orders)
    with transaction.atomic():
        list(Order.objects.select_for_update().filter(pk__in=orders).order_by("pk").values_list("pk"))
        for model in (WorkSum, LineSum, OrderSum):
            model.objects.filter(order__in=orders).delete()
        OrderSum.objects.bulk_create([one.order for one in sums])
        LineSum.objects.bulk_create([line for one in sums for line in one.lines])
        WorkSum.objects.bulk_create([work for one in sums for work in one.work])


@transaction.atomic
def reached(*, upto: dict[str, int]) -> None:
    """Everything up to here is added up; a mark never goes back."""
    marks = {mark.name: mark for mark in Mark.objects.select_for_update().order_by("name")}
    for name, top in sorted(upto.items()):
        if name in marks:
            Mark.objects.filter(name=name, upto__lt=top).update(upto=top)
        elif top:
            Mark.objects.create(name=name, upto=top)


@transaction.atomic
def take_payment_back(*, pk: int) -> Order | None:
    """It was recorded by mistake: gone again. Twice pressed, it is gone once."""
    payment = Payment.objects.filter(pk=pk).select_related("order").first()
    if payment is None:
        return None
    order = Order.objects.select_for_update().get(pk=payment.order_id)
    payment.delete()
    order.revision += 1
    order.save()  # its history says so: the order is added up anew
    return order
