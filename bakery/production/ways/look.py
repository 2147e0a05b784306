"""Looking for changes one kind after the other, so that each can be shown as soon as it is found."""

from __future__ import annotations

import time
from dataclasses import replace

from django.utils import timezone

from bakery.orders import replies
from bakery.orders.adapters import spec_of
from bakery.orders.pricing import panel
from bakery.orders.quotes import open_until

from ..also import NOTHING, Also
from .found import Ways
from .hers import baked_ahead, helping_hands, hour_more, in_the_dryer, made_apart
from .kitchen import Kitchen
from .later import another_day, same_day
from .smaller import fewer, fewer_colours, plainer

KINDS = (
    same_day,
    another_day,
    in_the_dryer,
    hour_more,
    plainer,
    fewer,
    fewer_colours,
    baked_ahead,
    helping_hands,
    made_apart,
)
"""Another time first, which costs her nothing; then what most often helps for the time it takes to try."""
LAST = len(KINDS) - 1
ONE_LOOK = 0.7
LONG_LOOK = 1.5
"""Seconds for one kind of change; more for those that nearly always give something in the end."""
LONG = (fewer, another_day)
ALL_LOOKS = 5.0
"""Seconds for all of them."""
ONE_ANSWER = 0.5
"""Seconds in which one request goes on to the next kind as long as nothing was found."""


def look(form, number: int, *, now, order=None, also: Also = NOTHING, failing=None) -> Ways:
    """Changes of the kind with that number or, where it gives none at once, of the next that does.

    `form` is a bound OrderForm, `failing` as in `Kitchen.read`; `next` of the answer is where to go on.
    """
    kitchen = _kitchen(form, now, order, also, failing)
    if kitchen is None or not 0 <= number <= LAST:
        return Ways()
    begun = time.monotonic()
    for at in range(number, LAST + 1):
        found, reply = _of_kind(kitchen, at, _seconds(at))
        if found or time.monotonic() > begun + ONE_ANSWER:
            break
    return Ways(found, reply, at + 1 if at < LAST else None, kitchen.failing)


def look_at_all(form, *, now, order=None, also: Also = NOTHING, failing=None) -> Ways:
    """Changes of every kind, for a page without live updates."""
    kitchen = _kitchen(form, now, order, also, failing)
    begun, found, reply = time.monotonic(), [], ""
    for number in range(LAST + 1) if kitchen is not None else ():
        left = begun + ALL_LOOKS - time.monotonic()
        if left <= 0:
            break
        more, text = _of_kind(kitchen, number, min(left, _seconds(number)))
        found += more
        reply = reply or text
    return Ways(tuple(found), reply)


def _seconds(number: int) -> float:
    return LONG_LOOK if KINDS[number] in LONG else ONE_LOOK


def _kitchen(form, now, order, also, failing):
    data = form.order_data()
    if data is None:
        return None
    numbers = tuple(line.number for line in form.filled_lines if line.line_data())
    kitchen = Kitchen.read(data, now=now, order=order, also=also, failing=failing)
    return replace(kitchen, numbers=numbers)


def _of_kind(kitchen: Kitchen, number: int, seconds: float):
    begun = time.monotonic()
    found = tuple(KINDS[number](kitchen, lambda: begun + seconds - time.monotonic()))
    later = next((way for way in found if way.value.startswith("use:hand_over=")), None)
    return found, "" if later is None else _reply(kitchen, later.fit.data)


def _reply(kitchen: Kitchen, data) -> str:
    """The reply that offers the other moment."""
    price = panel(spec_of(data, order=kitchen.order), own=data.own_price, savings=False)
    asked, moment = timezone.localtime(kitchen.data.hand_over_at), timezone.localtime(data.hand_over_at)
    until = open_until(kitchen.now)
    return replies.later(data, asked, moment, price=price.asked_text, deposit=price.deposit, until=until)
