"""Invented orders as unsaved rows: lines, states, quotes and payments; jobs with their evenings."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from decimal import Decimal

from django.utils import timezone

from bakery.craft.work import Job as Work
from bakery.orders.models import Order, OrderLine, Payment, Quote, State, StateChange
from bakery.production.models import Evening, Job, JobEvent
from bakery.studio.example.orders import changes_of

from .invent import SAYS, Invented, took

BACK = {"talk": 4, "dough": 3, "bake": 3, "mix": 2, "flood": 2, "pack": 0}
"""Evenings before the last on which work of a sort is done; all else the evening before it."""
QUOTED_AFTER = timedelta(hours=19)
ASKED_ONLY = (State.DECLINED,)
PAID = (State.HANDED_OVER, State.CANCELLED)


def order_of(one: Invented, people) -> Order:
    return Order(
        number=one.number, customer=people[one.customer], title=one.title, hand_over_at=one.hand_over,
        event_at=one.hand_over + timedelta(hours=4), state=one.ending, allergy_state=Order.Allergy.NONE,
        deposit_paid=one.ending in PAID, created_at=one.asked, updated_at=one.hand_over,
        lines_ever=len(one.made.designs),
    )  # fmt: skip


def lines_of(order: Order, one: Invented) -> list[OrderLine]:
    done = one.ending == State.HANDED_OVER
    return [
        OrderLine(
            order=order, position=at, kind=design.kind, design=design, quantity=count,
            variation=next(iter(design.variations.all()), None),
            stage=OrderLine.Stage.PACKED if done else OrderLine.Stage.NOTHING,
            stage_at=one.hand_over - timedelta(hours=20) if done else None,
        )
        for at, (design, count) in enumerate(zip(one.made.designs, one.made.quantities, strict=True), 1)
    ]  # fmt: skip


def quotes_of(order: Order, one: Invented, pattern: dict) -> list[Quote]:
    """The quote as it was sent, after the pattern of one that the house itself wrote."""
    if one.ending in ASKED_ONLY:
        return []
    made, price = one.asked + QUOTED_AFTER, one.made.price
    deposit = (one.total / 2).quantize(Decimal("0.01"))
    until = made + timedelta(days=2)
    first = {"what": one.made.designs[0].name, "how_many": sum(one.made.quantities), "each": "",
             "amount": f"{one.total:.2f}"}  # fmt: skip
    snapshot = pattern | {
        "number": order.number, "version": 1, "made_at": made.isoformat(), "valid_until": until.isoformat(),
        "title": one.title, "lines": [first], "total": f"{one.total:.2f}", "deposit": f"{deposit:.2f}",
        "balance": f"{one.total - deposit:.2f}",
        "hand_over": pattern.get("hand_over", {}) | {"at": one.hand_over.isoformat()},
        "hers": {
            "rows": [], "minutes": price.minutes, "rough": f"{price.total:.2f}", "pays": f"{price.pays:.2f}",
            "parts": {part.key: f"{part.amount:.2f}" for part in price.parts},
            "weights": {line: round(float(share), 6) for line, share in price.weights},
        },
    }  # fmt: skip
    return [Quote(order=order, version=1, made_at=made, valid_until=until, total=one.total, deposit=deposit,
                  snapshot=snapshot)]  # fmt: skip


def payments_of(order: Order, one: Invented) -> list[Payment]:
    if one.ending not in PAID:
        return []
    deposit = (one.total / 2).quantize(Decimal("0.01"))
    day = one.hand_over.date()
    rows = [Payment(order=order, what="deposit", amount=deposit, on=one.asked.date() + timedelta(days=2))]
    if one.ending == State.HANDED_OVER:
        rows.append(
            Payment(order=order, what="balance", amount=one.total - deposit, on=day - timedelta(days=6))
        )
    elif one.number % 2:
        rows.append(Payment(order=order, what="refund", amount=deposit, on=day))
    if one.refund:
        rows.append(Payment(order=order, what="refund", amount=one.refund, on=day + timedelta(days=1)))
    return rows


def changes(order: Order) -> list[StateChange]:
    return changes_of(order)


def jobs_of(order: Order, one: Invented, lines: list[OrderLine]) -> list[Job]:
    """Its jobs, done one after the other on the evenings before it left."""
    if one.ending != State.HANDED_OVER:
        return []
    by_line = {f"l{line.position}": line for line in lines}
    at: dict[int, datetime] = {}
    found = []
    for work in one.made.work.jobs:
        if work.planned:
            back = BACK.get(work.kind, 1)
            start = at.get(back) or _evening(one.hand_over, back)
            job = _job(order, by_line.get(work.line), work, start, took(work.kind, work.minutes, one.luck))
            at[back] = job.done_at
            found.append(job)
    return found


def _evening(hand_over: datetime, back: int) -> datetime:
    day = timezone.localdate(hand_over) - timedelta(days=back + 1)
    return timezone.make_aware(datetime.combine(day, time(18, 30)))


def _job(order: Order, line: OrderLine | None, work: Work, start: datetime, minutes: float) -> Job:
    return Job(
        key=f"{order.key}{work.id.removeprefix('x')}", order=order, line=line, kind=work.kind,
        title=work.title[:160], layer=work.layer, tray=work.tray, trays=work.trays, cookies=work.cookies,
        colours=list(work.colours), grams=work.grams, minutes=work.minutes, attended=work.attended,
        uses=dict(work.uses), state=Job.State.DONE, planned_start=start,
        planned_end=start + timedelta(minutes=work.minutes * 1.15), started_at=start,
        done_at=start + timedelta(minutes=minutes), said=True,
    )  # fmt: skip


def event_of(job: Job) -> JobEvent:
    """What she said of it: the answer about its evening."""
    before = {"state": "planned", "done_count": None, "said": False, "started_at": None, "done_at": None}
    before |= {name: getattr(job, name).isoformat() for name in ("planned_start", "planned_end")}
    day = timezone.localdate(job.planned_start)
    return JobEvent(job=job, what=f"e{day:%y%m%d}", at=job.done_at + timedelta(hours=9), before=before)


def evenings_of(days: dict[date, datetime], rng) -> list[Evening]:
    """One answer an evening; of most of them she says when they ended. `days` has the last end of each."""
    return [
        Evening(date=day, answer=Evening.Answer.ALL, answered_at=end + timedelta(hours=9),
                finished_at=timezone.localtime(end).time() if rng.random() < SAYS else None)
        for day, end in sorted(days.items())
    ]  # fmt: skip
