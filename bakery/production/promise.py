"""The answer beside New order in her words: yes, no or not sure, the price, and a reply to copy."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from django.utils import timezone

from bakery.drawing.shortfall import Shortfall
from bakery.orders import replies
from bakery.orders.adapters import order_spec, spec_of
from bakery.orders.data import OrderData
from bakery.orders.pricing import PricePanel, panel, span
from bakery.orders.queries import open_quotes
from bakery.orders.quotes import open_until
from bakery.orders.rows import data_of
from bakery.orders.text import plural
from bakery.studio.weeks import closed_week_of

from .also import NOTHING, Also, read_also
from .asking import LONGER, SECONDS, Verdict, ask, ask_together
from .reasons import at, listed

FAR = timedelta(days=90)
ALL_QUOTES = 4.0
"""Seconds for asking which of the open quotes still fit."""


@dataclass(frozen=True)
class Answer:
    """What the plaque, the price and the reply say. `tone` is yes, no, ask or nothing.

    `also` is what it counts on besides the order, `failing` names orders that fail by themselves.
    """

    tone: str = ""
    title: str = ""
    sentences: tuple[str, ...] = ()
    price: PricePanel | None = None
    reply: str = ""
    when: str = ""
    picture: Shortfall | None = None
    also: Also = NOTHING
    failing: str = ""
    can_ask_all: bool = False
    can_ask_ways: bool = False
    can_look_longer: bool = False


def answer(form, *, now: datetime, order=None, longer: bool = False) -> Answer:
    """The answer to the form as it stands, however little; `longer` takes the time a hard one needs."""
    far = now + FAR
    data = form.order_data(hand_over=far)
    if data is None:
        return Answer(title="How many, and when?", sentences=(
            "Paste what they wrote, or fill in a number and a day; the answer comes at once.",))  # fmt: skip
    spec = spec_of(data, order=order)
    price = panel(spec, own=data.own_price, numbers=_numbers(form, spec))
    if data.hand_over_at == far:
        return _no_day(form, data, spec, price, now, order)
    when = timezone.localtime(data.hand_over_at)
    also = also_of(form, now)
    verdict = ask(spec, now=now, order=order, seconds=LONGER if longer else SECONDS, also=also)
    said = _closed_week(_spoken(verdict, data, when, price, now), when)
    said = replace(said, also=also, picture=verdict.picture, failing=",".join(verdict.failing))
    return replace(said, can_ask_ways=False, can_look_longer=True) if verdict.open and not longer else said


def _numbers(form, spec) -> dict[str, str]:
    """The number of each line in the form, by its name in the spec."""
    filled = [line.number for line in form.filled_lines if line.line_data()]
    return {line.id: number for line, number in zip(spec.lines, filled, strict=True)}


def also_of(form, now: datetime) -> Also:
    """What the form counts on besides the order."""
    return read_also(form.cleaned_data.get("also") or "", now=now)


def answer_to(order, *, now: datetime) -> Answer:
    """The answer to an order that is kept but not booked yet."""
    data = data_of(order)
    spec = order_spec(order)
    price = panel(spec, own=order.own_price, savings=False)
    when = timezone.localtime(order.hand_over_at)
    return _closed_week(_spoken(ask(spec, now=now, order=order), data, when, price, now), when)


def answer_to_version(order, data, spec, *, now: datetime) -> Answer:
    """The answer to a version of a kept order."""
    price = panel(spec, own=data.own_price, savings=False)
    when = timezone.localtime(order.hand_over_at)
    return _closed_week(_spoken(ask(spec, now=now, order=order), data, when, price, now), when)


def _closed_week(said: Answer, when) -> Answer:
    """The same answer with a word about a week that she has closed: a warning, never a refusal."""
    week = closed_week_of(when.date())
    if week is None:
        return said
    what = "for baking" if week.away else "to more orders"
    sentence = f"You closed the week from {week.monday.day} {week.monday:%B} {what}."
    if said.tone == "yes":
        title = f"{said.title.removeprefix('Yes, ')} would fit"
        mine = f"{sentence} It is yours to take all the same."
        return replace(said, tone="ask", title=title, sentences=(mine, *said.sentences))
    return replace(said, sentences=(sentence, *said.sentences))


def _no_day(form, data, spec, price, now, order) -> Answer:
    """How many is known but not when: the earliest day is already an answer."""
    wrong = form.errors.get("hand_over") or form.errors.get("hand_over_day")
    typed = any(form.data.get(name) for name in ("hand_over", "hand_over_day"))
    sentence = wrong[0] if wrong and typed else "With a day the answer comes at once."
    return Answer("", "Which day?", (sentence,), price, replies.which_day(data, price=price.asked_text))


def _spoken(verdict: Verdict, data: OrderData, when, price, now) -> Answer:
    """The verdict in her words, with the reply to copy."""
    until = open_until(now)
    money = {"price": price.asked_text, "deposit": price.deposit, "until": until}
    said = replies.day(when).split()[0] + f" {at(when)}"
    failing = _failing(verdict.titles)
    if verdict.answer == "yes" and failing:
        return Answer("ask", f"{said} would fit",
                      (failing, "This one and all the others keep their hand-overs."), price,
                      replies.yes(data, when, **money), replies.day(when))  # fmt: skip
    if verdict.answer == "yes":
        spare = f", with {span(verdict.spare)} to spare" if verdict.spare else ""
        return Answer("yes", f"Yes, {said}", (f"Every booked order keeps its hand-over{spare}.",), price,
                      replies.yes(data, when, **money), replies.day(when), can_ask_all=True)  # fmt: skip
    if verdict.answer == "no":
        return Answer("no", f"No, not by {said}", verdict.sentences, price, replies.declined(when),
                      replies.day(when), can_ask_ways=True)  # fmt: skip
    sentences = ("Do not promise yet: no plan was found in time, and none was ruled out.", *verdict.sentences)
    return Answer("ask", f"Not sure about {said}", sentences, price, replies.not_sure(data, when),
                  replies.day(when), can_ask_ways=True)  # fmt: skip


def _failing(titles: tuple[str, ...]) -> str:
    """A word about what does not work already."""
    if not titles:
        return ""
    names = titles[0] if len(titles) == 1 else f"{', '.join(titles[:-1])} and {titles[-1]}"
    return f"But {names} cannot be kept as booked, with or without this one: sort that out first."


def if_all_say_yes(form, *, now: datetime, order=None) -> str:
    """Whether this order and every open quote together would fit, beside all that is booked and held."""
    data = form.order_data()
    if data is None:
        return ""
    others = [one for one in open_quotes(without=order.pk if order else None) if one.hand_over_at > now]
    if not others:
        return "No other quote is open."
    this, also = spec_of(data, order=order), also_of(form, now)
    what = plural(len(others), "open quote")
    verdict = ask_together((this, *map(order_spec, others)), now=now, order=order, also=also)
    if verdict.answer == "yes":
        return f"Yes: with {what} too, every hand-over is kept."
    if verdict.open:
        return f"Not sure: with {what} too, no plan was found in time, and none was ruled out."
    says, still = "says" if len(others) == 1 else "say", _still_fits(this, others, now, order, also)
    return f"No: if {what} {says} yes as well, something is late. {still}"


def _still_fits(this, others, now, order, also) -> str:
    """Which of the quotes may still say yes: taken one after the other, the nearest hand-over first."""
    begun, kept, titles = time.monotonic(), [this], []
    for one in others:
        if time.monotonic() > begun + ALL_QUOTES:
            break
        if ask_together((*kept, order_spec(one)), now=now, order=order, also=also).answer == "yes":
            kept.append(order_spec(one))
            titles.append(one.title)
    if not titles:
        return "Beside this one none of them fits for certain."
    return f"Beside this one {listed(titles)} still {'fits' if len(titles) == 1 else 'fit'}."
