"""One order from blank to hand-over: its states, its work with the drying between, its money, its texts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db.models import Q
from django.utils import timezone

from bakery.orders import replies
from bakery.orders.adapters import letters, line_drawing, order_drawing, order_spec
from bakery.orders.models import CLOSED_STATES, Order, Payment, State
from bakery.orders.pricing import house, money, panel
from bakery.orders.quotes import balance_day
from bakery.orders.rows import line_data
from bakery.orders.services import last_step
from bakery.orders.simpler import made_simpler_words
from bakery.orders.states import ROAD
from bakery.orders.versions import offered
from bakery.studio.queries import the_studio

from .. import words
from ..models import Job, JobShare
from .order_list import BALANCE_SOON, HOW, title_of
from .order_steps import Step, steps_of


@dataclass(frozen=True)
class OrderPage:
    title: str
    lead: str
    states: list[dict]
    steps: list[Step]
    planned: bool
    next: Job | None
    table: list[tuple[str, str, bool]]
    names: list[str]
    names_say: str
    letter_drawing: dict | None
    drawings: list[dict]
    lines: list[dict]
    text: str
    quotes: list
    payments: list
    left: Decimal
    left_text: str
    sign: str
    back: str


def order_page(order: Order, now: datetime) -> OrderPage:
    """All that the page of one order shows. `order` comes from orders.queries.order_by_number."""
    own = the_studio()
    quote = max(order.quotes.all(), key=lambda one: one.version, default=None)
    at = house(own)
    price = panel(order_spec(order), own=order.own_price, savings=False, studio=own, at=at)
    total = quote.total if quote else price.asked
    paid = sum(
        (-p.amount if p.what == Payment.What.REFUND else p.amount for p in order.payments.all()), Decimal(0)
    )
    rows = list(jobs_for(order))
    steps = steps_of(order, rows, now, money_note(total, paid, own.currency_sign), shop=at[0])
    names = [name.text for name in order.names.all()]
    sign = own.currency_sign
    return OrderPage(
        title=title_of(order),
        lead=lead_of(order, rows, now),
        states=states_of(order, now),
        steps=steps,
        planned=any(job.planned_start for job in rows),
        next=next_job(rows, now),
        table=table_of(order, price, total, paid, sign, now),
        names=names,
        names_say=_names_say(order, names),
        letter_drawing=_letter_drawing(order),
        drawings=_drawings(order, names),
        lines=[
            {
                "line": line,
                "drawing": line_drawing(line),
                "title": line.title,
                "simpler": made_simpler_words(line),
            }
            for line in order.lines.all()
        ],
        text=text_of(order, price, quote, total - paid, own, now),
        quotes=_quotes(order, now),
        payments=list(order.payments.all()),
        left=total - paid,
        left_text=f"{max(Decimal(0), total - paid):.2f}",
        sign=sign,
        back=back_word(order),
    )


def _quotes(order: Order, now: datetime) -> list:
    """The quotes, the newest first, each with a word about whether it still stands."""
    found = sorted(order.quotes.all(), key=lambda one: -one.version)
    waits = order.state in (State.ENQUIRY, State.QUOTED, State.HELD, State.LAPSED, State.DECLINED)
    for quote in found:
        until = words.day_and_time(quote.valid_until, now)
        quote.says = ""
        if quote is not found[0]:
            quote.says = "replaced"
        elif waits:
            quote.says = f"open until {until}" if quote.valid_until > now else f"ran out {until}"
    return found


def back_word(order: Order) -> str:
    """The press that takes the last step back; empty where there is none."""
    if last_step(order) is None:
        return ""
    return "Not booked after all" if order.state == State.BOOKED else "Take that back"


def jobs_for(order: Order):
    """The jobs that work for an order, alone or together with others."""
    shared = JobShare.objects.filter(order=order).values("job")  # not a join: each side has its own index
    mine = Job.objects.filter(Q(order=order) | Q(pk__in=shared))
    return mine.select_related("order").prefetch_related("shares__order").order_by("planned_start", "key")


def next_job(rows, now: datetime) -> Job | None:
    """The first of these jobs that is still ahead."""
    ahead = (job for job in rows if job.state != Job.State.DONE and job.planned_start)
    return next((job for job in ahead if job.planned_end > now), None)


def lead_of(order: Order, rows, now: datetime) -> str:
    """The state, and what comes next."""
    state = order.get_state_display()
    if order.state == State.HELD and order.held_until:
        state = f"Held until {words.day_and_time(order.held_until, now)}"
    if order.state in CLOSED_STATES or order.state == State.READY:
        return f"{state}."
    job = next_job(rows, now)
    if job is not None:
        title = words.small(words.run_title([job]).split(":")[0])
        return f"{state}. Next: {title}, {words.day_and_time(job.planned_start, now)}."
    if order.is_planned and not rows:
        return f"{state}. Its place in the plan is being worked out."
    if order.allergy_state == Order.Allergy.NOT_ASKED and not order.for_stock:
        return f"{state}. Nobody has asked about allergies yet."
    return f"{state}."


def states_of(order: Order, now: datetime) -> list[dict]:
    """The road of an order with the days it passed; a closed one ends where it closed."""
    reached: dict[str, datetime] = {}
    for change in order.changes.all():
        reached[change.state] = change.at
    road = [
        state
        for state in ROAD
        if state in reached or order.state not in CLOSED_STATES or state == order.state
    ]
    if order.state not in road:
        passed = [state for state in road if state in reached]
        at = len(passed) if order.state in CLOSED_STATES else _before_next(road, order.state)
        road = [*road[:at], State(order.state), *([] if order.state in CLOSED_STATES else road[at:])]
    here = road.index(order.state)
    return [
        {
            "state": state,
            "word": f"{State(state).label}, {_day(reached[state])}" if state in reached and at < here else
                    State(state).label,
            "current": at == here,
            "later": at > here,
        }
        for at, state in enumerate(road)
        if at >= here or state in reached
    ]  # fmt: skip


def _before_next(road, state) -> int:
    return road.index(State.BOOKED) + (1 if state == State.APPROVED else 0)


def _day(moment: datetime) -> str:
    here = timezone.localtime(moment)
    return f"{here.day} {here:%b}"


def money_note(total, paid, sign: str) -> str:
    """What stands beside the hand-over: paid in full, or what is still to come."""
    if not total:
        return ""
    return "Paid in full" if paid >= total else f"{money(total - paid, sign)} to come"


def table_of(order: Order, price, total, paid, sign, now) -> list[tuple[str, str, bool]]:
    """(label, words, stressed) rows of the order."""
    when = timezone.localtime(order.hand_over_at)
    rows = [("For", order.customer.name if order.customer else "", False)]
    if order.event_at:
        rows.append(("Event", f"{words.day_month(order.event_at)}, {words.clock(order.event_at)}", False))
    rows.append(("Hand-over", f"{words.day_month(when)}, {words.clock(when)}, {HOW[order.way]}", True))
    if order.place:
        rows.append(("Where to", order.place, False))
    allergies = (
        order.allergies if order.allergy_state == Order.Allergy.TOLD else order.get_allergy_state_display()
    )
    rows.append(("Allergies", words.capital(allergies), True))
    money_words = (
        "paid in full" if paid >= total > 0 else f"{money(paid, sign)} paid" if paid else "nothing paid"
    )
    rows.append((f"Price, {money_words}", f"{sign}{total:,.2f}", False))
    from bakery.craft.costing import wage_of

    rows.append(("Pays you", f"{money(wage_of(price.price, total), sign)} an hour", False))
    if order.budget is not None:
        rows.append(("Their budget", money(order.budget, sign), False))
    if order.customer and (order.customer.phone or order.customer.email):
        rows.append(("Reach them", order.customer.phone or order.customer.email, False))
    return [row for row in rows if row[1]]


def _names_say(order: Order, names) -> str:
    if not names:
        return ""
    lines = [line for line in order.lines.all() if letters(line_data(line), line.design)] or list(
        order.lines.all()
    )
    return f"Names, {len(names)} of {sum(line.quantity for line in lines)}"


def _letter_drawing(order: Order) -> dict | None:
    lines = list(order.lines.all())
    line = next(
        (line for line in lines if letters(line_data(line), line.design)), lines[0] if lines else None
    )
    return line_drawing(line) if line else None


def _drawings(order: Order, names) -> list[dict]:
    """Up to two cookies for the band."""
    drawn = _letter_drawing(order)
    if len(names) > 1 and drawn:
        return [{**drawn, "text": name[:14]} for name in names[:2]]
    return [line_drawing(line) for line in list(order.lines.all())[:2]] or [order_drawing(order)]


def text_of(order: Order, price, quote, left, own, now) -> str:
    """The text to send now, whatever the order stands at."""
    from bakery.orders.rows import data_of

    data, when = data_of(order), timezone.localtime(order.hand_over_at)
    sign = own.currency_sign
    if order.state in (State.ENQUIRY, State.LAPSED):
        return replies.not_sure(data, when)
    if order.state in (State.QUOTED, State.HELD):
        choices = quote.snapshot.get("options", ()) if quote and offered(order) else ()
        return replies.reminder(order, quote, sign=sign, choices=choices)
    if order.state == State.DECLINED:
        return replies.declined(when)
    if order.state in (State.CANCELLED, State.MOVED):
        return replies.called_off(when)
    if order.state == State.HANDED_OVER:
        return replies.thanks(order)
    due = balance_day(order, quote, own.balance_days)
    if left > 0 and not order.for_stock and due <= timezone.localdate(now + BALANCE_SOON):
        return replies.balance(order, money(left, sign), due)
    return replies.ready(order, name=own.name, contains=own.contains, handles=own.handles)
