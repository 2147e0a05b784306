"""The list of orders: who waits for her, what is booked, where there is room for more."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.db.models import Q, Sum
from django.urls import reverse
from django.utils import timezone

from bakery.orders import queries as orders
from bakery.orders.adapters import order_drawing
from bakery.orders.models import Order, Payment, Quote, State
from bakery.orders.pricing import money
from bakery.orders.quotes import balance_day
from bakery.studio.queries import the_studio

from .. import words
from ..models import Job, JobShare
from .room_for_more import WeekRoom, room_for_more

BALANCE_SOON = timedelta(days=2)
HOW = {"collected": "collected", "delivered": "delivered", "posted": "posted", "stall": "the stall"}


@dataclass(frozen=True)
class OrderList:
    headline: str
    lead: str
    waiting: list[dict]
    booked: list[dict]
    room: tuple[WeekRoom, ...]
    counts: dict
    again: dict | None


@dataclass(frozen=True)
class Known:
    """What is read once for all rows: next jobs, money in, newest quotes, today."""

    now: datetime
    jobs: dict
    paid: dict
    quotes: dict
    sign: str
    balance_days: int


def order_list(now: datetime) -> OrderList:
    """Everything the page shows, in a bounded number of queries."""
    own = the_studio()
    found = list(orders.with_lines(orders.open_orders()))
    known = _known(found, now, own)
    waits = [(order, why) for order in found if (why := waits_for_her(order, known))]
    waits.sort(key=lambda pair: (pair[1]["rank"], pair[0].hand_over_at))
    booked = [order for order in found if order.is_planned and order.state != State.HELD]
    return OrderList(
        headline=_headline(len(waits)),
        lead=_lead(booked, now),
        waiting=[row_of(order, known, why, main=not at) for at, (order, why) in enumerate(waits)],
        booked=[row_of(order, known) for order in booked if order.pk not in {one.pk for one, _ in waits}],
        room=room_for_more(now, own=own),
        counts=orders.closed_counts(),
        again=_a_year_ago(now),
    )


def search_rows(text: str, now: datetime) -> list[dict]:
    """Orders of any state that the words find."""
    found = orders.search(text)
    known = _known(found, now, the_studio())
    return [row_of(order, known) for order in found]


def closed_rows(page, now: datetime) -> list[dict]:
    known = _known(list(page.object_list), now, the_studio())
    return [row_of(order, known) for order in page.object_list]


def _known(found, now, own) -> Known:
    ids = [order.pk for order in found]
    jobs: dict = {}
    mine = Q(order__in=ids) | Q(pk__in=JobShare.objects.filter(order__in=ids).values("job"))
    open_jobs = Job.objects.filter(mine).exclude(state=Job.State.DONE).filter(planned_end__gt=now)
    for job in open_jobs.prefetch_related("shares").order_by("planned_start", "key"):
        for pk in [share.order_id for share in job.shares.all()] or [job.order_id]:
            jobs.setdefault(pk, job)
    paid: dict = {}
    sums = Payment.objects.filter(order__in=ids).values_list("order", "what").annotate(sum=Sum("amount"))
    for pk, what, amount in sums.order_by("order", "what"):
        paid[pk] = paid.get(pk, Decimal(0)) + (-amount if what == Payment.What.REFUND else amount)
    quotes = {
        q.order_id: q for q in Quote.objects.filter(order__in=ids).defer("snapshot").order_by("version")
    }
    return Known(now, jobs, paid, quotes, own.currency_sign, own.balance_days)


def _headline(count: int) -> str:
    if not count:
        return "No order waits for you."
    word = words.capital(words.number_word(count))
    return f"{word} order waits for you." if count == 1 else f"{word} orders wait for you."


def _lead(booked, now) -> str:
    if not booked:
        return "Nothing is booked."
    many = words.capital(words.number_word(len(booked)))
    coming = next((order for order in booked if order.hand_over_at >= now), None)
    after = f", the next hand-over is {words.day_and_time(coming.hand_over_at, now)}" if coming else ""
    return f"{many} {'is' if len(booked) == 1 else 'are'} booked{after}."


def waits_for_her(order: Order, known: Known) -> dict | None:
    """Why this order waits for the baker: what is next and the word on its button; None when it does not."""
    now, quote = known.now, known.quotes.get(order.pk)
    here = reverse("order", args=[order.number])
    if order.state == State.ENQUIRY:
        asked = f"Asked {_ago(order.created_at, now)}."
        ask = " Allergies not asked yet." if order.allergy_state == Order.Allergy.NOT_ASKED else ""
        return {"rank": 0, "next": asked + ask, "action": "Answer", "href": here}
    if order.state in (State.QUOTED, State.HELD):
        price = f"Quoted {known.sign}{quote.total:,.2f}" if quote else "Quoted"
        late = quote is not None and order.state == State.QUOTED and quote.valid_until < now
        said = "the quote has run out." if late else "no answer yet."
        return {"rank": 1, "next": f"{price}, {said}", "action": "Remind", "href": f"{here}#send"}
    if order.hand_over_at < now:
        return {
            "rank": 0,
            "next": "The hand-over has passed. Was it handed over?",
            "action": "Open",
            "href": here,
        }
    due = balance_due(order, known)
    if due:
        amount, day = due
        when = "was due" if day < timezone.localdate(now) else "is due"
        at_the_door = day == timezone.localdate(order.hand_over_at)
        then = "at the hand-over" if at_the_door else f"on {words.day_month(day)}"
        text = f"Balance {known.sign}{amount:,.2f} {when} {then}."
        return {"rank": 2, "next": text, "action": "Ask for it", "href": f"{here}#send"}
    return None


def balance_due(order: Order, known: Known):
    """(amount, day) of a balance due soon or over; None without."""
    quote = known.quotes.get(order.pk)
    if quote is None or order.for_stock:
        return None
    left = quote.total - known.paid.get(order.pk, Decimal(0))
    day = balance_day(order, quote, known.balance_days)
    return (left, day) if left > 0 and day <= timezone.localdate(known.now + BALANCE_SOON) else None


def row_of(order: Order, known: Known, why: dict | None = None, *, main: bool = False) -> dict:
    """One order in a list, as its template wants it."""
    here = reverse("order", args=[order.number])
    when = timezone.localtime(order.hand_over_at)
    asked = "asked " if order.state == State.ENQUIRY else ""
    how = "" if asked else f", {HOW[order.way]}"
    return {
        "date": words.day_month(when),
        "how": f"{asked}{when.hour}:{when:%M}{how}",
        "design": order_drawing(order),
        "title": title_of(order),
        "href": here,
        "state": order.state,
        "word": state_word(order, known.now),
        "next": why["next"] if why else next_of(order, known),
        "action": why["action"] if why else "Open",
        "action_href": why["href"] if why else here,
        "main": main,
    }


def title_of(order: Order) -> str:
    """`Chess weekend, 32`; a title that names the number already keeps it."""
    quantity = sum(line.quantity for line in order.lines.all())
    said = any(word == str(quantity) for word in order.title.replace(",", " ").split())
    return order.title if said or not quantity else f"{order.title}, {quantity}"


def state_word(order: Order, now: datetime) -> str:
    half_made = any(line.stage != "nothing" for line in order.lines.all())
    word = order.get_state_display()
    if order.state == State.HELD and order.held_until:
        word = f"Held until {words.day_and_time(order.held_until, now)}"
    bits = [word]
    if order.for_stock and order.is_open:
        bits.append("for stock")
    if half_made and order.is_open and order.state != State.READY:
        bits.append("half made")
    return ", ".join(bits)


def next_of(order: Order, known: Known) -> str:
    """What comes next for it: its first open job, or what it stands at."""
    job = known.jobs.get(order.pk)
    if order.state == State.READY:
        return "Packed and ready."
    if job is not None and order.is_planned:
        title = words.small(words.strip_part(job.title))
        soft = " Yours to give up." if order.for_stock else ""
        return f"Next: {title}, {words.day_and_time(job.planned_start, known.now)}.{soft}"
    if order.is_planned:
        return "Waits for its place in the plan."
    if order.state == State.ENQUIRY:
        return f"Asked {_ago(order.created_at, known.now)}."
    quote = known.quotes.get(order.pk)
    return f"{money(quote.total, known.sign)}." if quote else ""


def _ago(moment: datetime, now: datetime) -> str:
    days = (timezone.localdate(now) - timezone.localdate(moment)).days
    if days < 1:
        return "today"
    return (
        "yesterday"
        if days == 1
        else f"on {words.weekday(moment)}"
        if days < 7
        else f"on {words.day_month(moment)}"
    )


def _a_year_ago(now: datetime) -> dict | None:
    order = orders.a_year_ago(now)
    if order is None:
        return None
    quantity = sum(line.quantity for line in order.lines.all())
    what = next((line.title for line in order.lines.all()), "")
    who = order.customer.name if order.customer else order.title
    return {
        "text": f"{who} ordered {quantity} a year ago this week: {order.title}, {words.small(what)}.",
        "href": f"{reverse('new_order')}?again={order.number}",
    }
