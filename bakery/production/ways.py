"""Changes that would make an order fit: later, fewer, simpler; each is tried before it is shown."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from django.utils import timezone

from bakery.craft.work import KIND_TITLES
from bakery.orders import replies
from bakery.orders.adapters import spec_of
from bakery.orders.data import OrderData
from bakery.orders.forms import USUAL_COLOURS
from bakery.orders.moments import short
from bakery.orders.pricing import panel, span
from bakery.orders.quotes import open_until

from .asking import ask, earliest_of
from .reasons import at

LONGEST_LOOK = 5.0
"""Seconds spent on looking for changes."""
SIMPLER = {"very_detailed": ("stencil_detail", "two_colour"), "stencil_detail": ("stencil", "plain"),
           "stencil": ("plain",), "two_colour": ("plain",)}  # fmt: skip


@dataclass(frozen=True)
class Ways:
    """The changes that fit, and the reply that offers the earliest moment among them."""

    found: tuple[dict, ...] = ()
    reply: str = ""


def ways(form, *, now: datetime, order=None) -> Ways:
    """What would make it fit, the gentlest first. `form` is a bound OrderForm."""
    data = form.order_data()
    if data is None:
        return Ways()
    begun, found, reply = time.monotonic(), [], ""
    for moment in _later(data, now, order):
        gain = _gain(replace(data, hand_over_at=moment), now, order)
        if gain:
            found.append({"words": _later_words(data, moment), "gain": gain,
                          "value": f"use:hand_over={short(moment)}"})  # fmt: skip
            reply = _reply(data, moment, now, order)
            break
        if time.monotonic() > begun + LONGEST_LOOK / 2:
            break
    for words, value, changed in _smaller(data, form):
        if time.monotonic() < begun + LONGEST_LOOK and (gain := _gain(changed, now, order)):
            found.append({"words": words, "gain": gain, "value": f"use:{value}"})
    return Ways(tuple(found), reply)


def _gain(data: OrderData, now, order) -> str:
    """What is then to spare; "" when it does not fit or nobody knows."""
    tried = ask(spec_of(data, order=order), now=now, order=order, seconds=0.4)
    if tried.answer != "yes":
        return ""
    return f"{span(tried.spare)} to spare" if tried.spare else "just fits"


def _later(data: OrderData, now, order):
    """Later moments to try: the earliest that was found, then the same evening, then the days after."""
    when = timezone.localtime(data.hand_over_at)
    first = earliest_of(spec_of(data, order=order), now=now, order=order, seconds=LONGEST_LOOK / 3)
    tries = [when.replace(hour=hour, minute=0) for hour in (17, 19) if hour > when.hour]
    tries += [when + timedelta(days=days) for days in range(1, 8)]
    if first and first > when:
        yield first
    yield from (moment for moment in tries if first is None or moment > first)


def _later_words(data: OrderData, moment) -> str:
    """`Hand over at 17:00; their event is at 18:30`"""
    event = timezone.localtime(data.event_at) if data.event_at else None
    same_day = moment.date() == timezone.localdate(data.hand_over_at)
    day = "" if same_day else f" on {replies.day(moment)}"
    if event and moment > event:
        return f"Hand over{day} at {at(moment)}, though that is after their event"
    also = f"; their event is at {at(event)}" if event and event.date() == moment.date() else ""
    return f"Hand over{day} at {at(moment)}{also}"


def _reply(data: OrderData, moment, now, order) -> str:
    price = panel(spec_of(data, order=order), own=data.own_price, savings=False)
    when = timezone.localtime(data.hand_over_at)
    return replies.later(
        data, when, moment, price=price.asked_text, deposit=price.deposit, until=open_until(now)
    )


def _smaller(data: OrderData, form):
    """(words, form change, changed order): fewer cookies on the longest line, or a simpler kind."""
    numbers = [line.number for line in form.filled_lines if line.line_data()]
    index = max(range(len(data.lines)), key=lambda i: data.lines[i].quantity)
    line, number = data.lines[index], numbers[index]
    for quantity in _fewer(line.quantity):
        yield (f"Make {quantity}, not {line.quantity}", f"quantity:{number}={quantity}",
               _with_line(data, index, quantity=quantity))  # fmt: skip
    for kind in SIMPLER.get(line.kind, ()) if line.stage == "nothing" else ():
        colours = min(line.colours, USUAL_COLOURS[kind])
        changed = _with_line(data, index, kind=kind, design=None, variation=None, colours=colours)
        yield f"{KIND_TITLES[kind]} instead", f"kind:{number}={kind}", changed


def _fewer(quantity: int) -> list[int]:
    """Three quarters and half, in halves of a dozen."""
    found = {max(6, int(quantity * share) // 6 * 6) for share in (0.75, 0.5)}
    return sorted((count for count in found if count < quantity), reverse=True)


def _with_line(data: OrderData, index: int, **changes) -> OrderData:
    lines = list(data.lines)
    lines[index] = replace(lines[index], **changes)
    return replace(data, lines=tuple(lines))
