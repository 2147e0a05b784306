"""A studio with one design on its way through Money, and the rows it is made from."""

from datetime import datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from bakery.orders.models import Payment, Quote
from bakery.production.models import Evening, Job, JobEvent
from bakery.stock.models import Move, Packet
from tests import factories as make

LONDON = ZoneInfo("Europe/London")
PARTS = {"time": "32.00", "food": "4.00", "colour": "1.00", "packaging": "2.00", "energy": "0.50",
         "overhead": "3.00", "margin": "4.25", "rounding": "0.25"}  # fmt: skip


@pytest.fixture
def studio(db):
    return make.StudioFactory()


@pytest.fixture
def handed_over(studio):
    """`handed_over(total, days=5, minutes=120, ...)`: an order of the past, with its quote."""

    def order(total="47.00", *, days=5, minutes=120, parts=None, weights=None, lines=1, design=None, **more):
        more.setdefault("state", "handed_over")
        kinds = {"design": design, "kind": design.kind} if design else {}
        row = make.OrderFactory(hand_over_at=make.noon(-days), lines=0, **more)
        for _ in range(lines):
            make.OrderLineFactory(order=row, **kinds)
        if total is not None:
            hers = {"minutes": minutes, "parts": parts or PARTS, "weights": weights or {"l1": 1}}
            quote(row, total, hers)
        return row

    return order


def quote(order, total, hers, version=1):
    made = order.hand_over_at - timedelta(days=20)
    Quote.objects.create(
        order=order, version=version, made_at=made, valid_until=made, total=Decimal(total),
        deposit=Decimal(total) / 2, snapshot={"hers": hers},
    )  # fmt: skip


def pay(order, what, amount, days=10):
    return Payment.objects.create(order=order, what=what, amount=Decimal(amount), on=make.noon(-days).date())


def job(order, kind, minutes, took, *, ended=True, pressed=False, attended=None, **more):
    """A job done the evening before the order left; `ended`: she said when that evening ended."""
    start = (order.hand_over_at - timedelta(days=1)).replace(hour=18, minute=30)
    row = Job.objects.create(
        key=f"{order.key}.{kind}.{Job.objects.count()}", order=order, kind=kind, title=kind, minutes=minutes,
        attended=minutes if attended is None else attended, cookies=24, state="done", planned_start=start,
        planned_end=start + timedelta(minutes=minutes * 1.15), started_at=start,
        done_at=start + timedelta(minutes=took), said=True, **more,
    )  # fmt: skip
    if ended:
        Evening.objects.get_or_create(date=start.date(), defaults={"finished_at": "21:40", "answer": "all"})
    if pressed:
        JobEvent.objects.create(job=row, what="done")
    return row


def used(order, item, cost, quantity="10"):
    much, worth = Decimal(quantity), Decimal(cost)
    packet = Packet.objects.create(
        item=item, code=f"T{Packet.objects.count()}", came_on=make.noon(-40).date(), quantity=much * 5,
        cost=worth * 5, left=much * 4, cost_left=worth * 4,
    )  # fmt: skip
    return Move.objects.create(
        packet=packet, kind="use", quantity=-much, cost=-worth, order=order.key,
        at=datetime.now(LONDON),
    )  # fmt: skip
