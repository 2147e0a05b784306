"""Texts to copy: what she sends to a customer, ready to send."""

from __future__ import annotations

from datetime import date, datetime

from .data import OrderData


def clock(moment: datetime) -> str:
    return f"{moment.hour}:{moment:%M}"


def day(moment: datetime | date) -> str:
    """`Saturday 5 December`."""
    return f"{moment:%A} {moment.day} {moment:%B}"


def _about(price: str, deposit: str, until: datetime | None) -> str:
    if not price:
        return ""
    if not deposit or until is None:
        return f" About {price}."
    return f" About {price}; {deposit} holds the date until {until:%A} {clock(until)}."


def _allergies(data: OrderData) -> str:
    return " Has anyone an allergy we should know of?" if data.allergy_state == "not_asked" else ""


def _handing(data: OrderData) -> str:
    return {"delivered": "with you", "posted": "in the post"}.get(data.way, "ready")


def yes(data: OrderData, when: datetime, *, price="", deposit="", until=None) -> str:
    return (
        f"Yes, we can: {data.quantity} for {day(when)}, {_handing(data)} at {clock(when)}."
        f"{_about(price, deposit, until)}{_allergies(data)}"
    )


def later(data: OrderData, when: datetime, earliest: datetime, *, price="", deposit="", until=None) -> str:
    """Not as asked, but then: the reply that offers the earliest moment."""
    event = data.event_at.astimezone(earliest.tzinfo) if data.event_at else None
    same_day = earliest.date() == when.date()
    in_time = f", in good time for {clock(event)}" if event and event >= earliest and same_day else ""
    asked = f"{clock(when)} is too early for us that day" if same_day else f"{day(when)} is too early for us"
    return (
        f"Thank you for asking us. Your {data.quantity} can be {_handing(data)} on {day(earliest)} at "
        f"{clock(earliest)}{in_time}; {asked}.{_about(price, deposit, until)}{_allergies(data)}"
    )


def not_sure(data: OrderData, when: datetime) -> str:
    return (
        f"Thank you for asking us. We are looking whether {data.quantity} for {day(when)} can be done well, "
        f"and tell you tomorrow.{_allergies(data)}"
    )


def which_day(data: OrderData, *, price="") -> str:
    about = f" {data.quantity} would be about {price}." if price else ""
    return (
        f"Thank you for asking us.{about} Which day would you need them, and at what time?{_allergies(data)}"
    )


def declined(when: datetime) -> str:
    return (
        f"Thank you for asking us. We cannot make them well for {day(when)}, and we would rather say so now "
        "than let you down. We would be glad to make something for you another time."
    )


def ready(order, *, name: str, contains: str, handles: str) -> str:
    """What goes out before the hand-over."""
    from django.utils import timezone

    when = timezone.localtime(order.hand_over_at)
    where = {
        "delivered": f"We bring them to {order.place}" if order.place else "We bring them to you",
        "posted": "They go into the post",
    }.get(order.way, f"They will be ready at {name}" if name else "They will be ready for you")
    quantity = sum(line.quantity for line in order.lines.all())
    also = f" Our kitchen also handles {handles}." if handles else ""
    contain = f" They contain {contains}." if contains else ""
    return (
        f"Your {quantity} cookies: {where[0].lower() + where[1:]} on {day(when)} at {clock(when)}."
        f"{contain}{also} Please keep the box closed and dry."
    )


def reminder(order, quote, *, sign: str, choices=()) -> str:
    """A quote nobody has answered; `choices` are its versions, as the snapshot has them."""
    from django.utils import timezone

    when = timezone.localtime(order.hand_over_at)
    if quote is None:
        return f"Do you still want the cookies for {day(when)}? We would keep the date for you."
    until = timezone.localtime(quote.valid_until)
    if len(choices) > 1:
        each = "; ".join(f"{one['letter']}, {_small(one['title'])}, {sign}{one['total']}" for one in choices)
        return (
            f"Our quote {order.number} for {day(when)} is open until {day(until)} {clock(until)}: {each}. "
            "Which shall we make? The deposit books the date."
        )
    return (
        f"Our quote {order.number} for {day(when)}, {sign}{quote.total:,.2f}, is open until {day(until)} "
        f"{clock(until)}. A deposit of {sign}{quote.deposit:,.2f} books the date. Shall we keep it for you?"
    )


def _small(words: str) -> str:
    return words[:1].lower() + words[1:]


def balance(order, amount: str, due: date) -> str:
    """Asking for the rest."""
    from django.utils import timezone

    when = timezone.localtime(order.hand_over_at)
    then = "at the hand-over" if due == when.date() else f"on {day(due)}"
    return f"Your cookies for {day(when)} are in hand. The balance of {amount} is due {then}. Thank you."


def called_off(when: datetime) -> str:
    return (
        f"Your order for {day(when)} is cancelled, as you asked. "
        "We would be glad to bake for you another time."
    )


def thanks(order) -> str:
    who = f", {order.customer.name}" if order.customer else ""
    return f"Thank you{who}. If one was broken or misspelt, please send us a picture within two days."
