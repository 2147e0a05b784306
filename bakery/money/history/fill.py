"""Fill an empty studio with the example, and with invented years before it."""

from __future__ import annotations

import random
import uuid
from collections.abc import Callable
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from bakery.customers.models import Customer
from bakery.designs.models import Design
from bakery.designs.queries import with_layers
from bakery.orders.models import Order, OrderLine, Payment, Quote, StateChange
from bakery.production.models import Evening, Job, JobEvent
from bakery.stock.models import Delivery, Move, Packet, StockItem
from bakery.studio.example.fill import fill_example
from bakery.studio.models import Counter

from . import rows
from .books import Books
from .invent import Book, invent

BATCH = 2000
FIRST_NUMBER = 10_001


def fill_history(
    *,
    years: int,
    orders: int,
    moves: int,
    seed: int,
    now: datetime,
    say: Callable[[str], None] = lambda _: None,
) -> dict[str, int]:
    """The example as it stands at `now`, and `orders` orders with about `moves` moves in the years before.

    One transaction; the caller sees to it that the studio is empty. Returns how many rows there are, by sort.
    """
    with transaction.atomic():
        fill_example(now)
        say("The example is in; inventing the years before it.")
        found = _orders(years, orders, seed, now)
        say(f"{len(found)} orders.")
        _jobs(found, seed)
        say(f"{Job.objects.count()} jobs.")
        _moves(found, moves, seed)
        say(f"{Move.objects.count()} moves in {Packet.objects.count()} packets.")
        Counter.objects.update_or_create(name="order", defaults={"value": FIRST_NUMBER + orders})
    return {model.__name__: model.objects.count() for model in (Order, Job, Move, Packet, Payment, Quote)}


def _orders(years, count, seed, now):
    """(order, invented, lines) of each, saved."""
    designs = {one.name: one for one in with_layers(Design.objects.select_related("kind"))}
    people = list(Customer.objects.all())
    pattern = Quote.objects.order_by("pk").values_list("snapshot", flat=True).first() or {}
    today = timezone.localdate(now)
    invented = list(invent(Book(designs), years=years, orders=count, customers=len(people), today=today,
                           seed=seed, first_number=FIRST_NUMBER))  # fmt: skip
    rng = random.Random(seed)
    orders = [rows.order_of(one, people) for one in invented]
    for order in orders:
        order.token = uuid.UUID(int=rng.getrandbits(128), version=4)
    Order.objects.bulk_create(orders, batch_size=BATCH)
    pairs = list(zip(orders, invented, strict=True))
    lines = [rows.lines_of(order, one) for order, one in pairs]
    OrderLine.objects.bulk_create([line for some in lines for line in some], batch_size=BATCH)
    StateChange.objects.bulk_create([c for order in orders for c in rows.changes(order)], batch_size=BATCH)
    Quote.objects.bulk_create([q for pair in pairs for q in rows.quotes_of(*pair, pattern)], batch_size=BATCH)
    Payment.objects.bulk_create([p for pair in pairs for p in rows.payments_of(*pair)], batch_size=BATCH)
    return [(*pair, some) for pair, some in zip(pairs, lines, strict=True)]


def _jobs(found, seed) -> None:
    """Jobs with what was said of them, and an evening for each day."""
    ends: dict = {}
    for start in range(0, len(found), BATCH):
        jobs = [
            job
            for order, one, lines in found[start : start + BATCH]
            for job in rows.jobs_of(order, one, lines)
        ]
        Job.objects.bulk_create(jobs, batch_size=BATCH)
        JobEvent.objects.bulk_create([rows.event_of(job) for job in jobs], batch_size=BATCH)
        for job in jobs:
            day = timezone.localdate(job.planned_start)
            ends[day] = max(ends.get(day, job.done_at), job.done_at)
    there = set(Evening.objects.values_list("date", flat=True))
    evenings = rows.evenings_of(
        {day: end for day, end in ends.items() if day not in there}, random.Random(seed)
    )
    Evening.objects.bulk_create(evenings, batch_size=BATCH)


def _moves(found, moves, seed) -> None:
    """Packets and moves: every order that was made takes some of many things."""
    made = [(order, one) for order, one, _ in found if one.ending == "handed_over"]
    if not made:
        return
    items = list(StockItem.objects.order_by("pk"))
    books, left = Books(items, seed), moves
    for n, (order, one) in enumerate(made):
        uses = max(0, round((left - len(books.moves)) / (len(made) - n)))
        books.order(order.key, one.hand_over, sum(one.made.quantities), min(uses, len(items)))
    Delivery.objects.bulk_create(books.deliveries, batch_size=BATCH)
    Packet.objects.bulk_create(books.packets, batch_size=BATCH)
    Move.objects.bulk_create(books.moves, batch_size=BATCH)
