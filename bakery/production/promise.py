"""The answer beside New order: yes, no or not sure, with its arithmetic, the price, and a reply to copy."""

from __future__ import annotations

import logging
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from django.utils import timezone

from bakery.craft.costing import price_of
from bakery.craft.work import KIND_TITLES, LineSpec, OrderSpec, cut_of
from bakery.designs.adapters import drawing_of, drawing_of_kind
from bakery.orders import replies
from bakery.orders.adapters import order_spec, spec_of
from bakery.orders.data import OrderData
from bakery.orders.forms import USUAL_COLOURS
from bakery.orders.moments import short
from bakery.orders.pricing import PricePanel, panel, span
from bakery.orders.queries import open_quotes
from bakery.orders.quotes import open_until
from bakery.orders.rows import data_of
from bakery.orders.text import plural
from bakery.studio.adapters import prices, shop
from bakery.studio.queries import the_studio

from . import adapters
from .reasons import at, reasons

log = logging.getLogger(__name__)
SECONDS = 1.0
FAR = timedelta(days=90)
MOST_FAILING = 4


@dataclass(frozen=True)
class Answer:
    """What the plaque, the price and the reply say. `tone` is yes, no, ask or nothing."""

    tone: str = ""
    title: str = ""
    sentences: tuple[str, ...] = ()
    price: PricePanel | None = None
    reply: str = ""
    when: str = ""
    earliest: datetime | None = None
    can_ask_all: bool = False
    can_ask_ways: bool = False


@dataclass(frozen=True)
class Verdict:
    """What the planner found for one order: answer, minutes to spare, reasons, the earliest moment."""

    answer: str
    spare: int | None = None
    sentences: tuple[str, ...] = ()
    earliest: datetime | None = None
    failing: tuple[str, ...] = ()


def answer(form, *, now: datetime, order=None) -> Answer:
    """The answer to the form as it stands, however little it says."""
    far = now + FAR
    data = form.order_data(hand_over=far)
    if data is None:
        return Answer(title="How many, and when?", sentences=(
            "Paste what they wrote, or fill in a number and a day; the answer comes at once.",))  # fmt: skip
    spec = spec_of(data, order=order)
    price = panel(spec, own=data.own_price)
    if data.hand_over_at == far:
        return _no_day(form, data, spec, price, now, order)
    when = timezone.localtime(data.hand_over_at)
    verdict = ask(spec, now=now, order=order)
    return _spoken(verdict, data, when, price, now)


def answer_to(order, *, now: datetime) -> Answer:
    """The answer to an order that is kept but not booked yet."""
    data = data_of(order)
    spec = order_spec(order)
    price = panel(spec, own=order.own_price, savings=False)
    return _spoken(ask(spec, now=now, order=order), data, timezone.localtime(order.hand_over_at), price, now)


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
    failing = _failing(verdict.failing)
    if verdict.answer == "yes" and failing:
        return Answer("ask", f"{said} would fit", (failing, "This one and all the others keep their hand-overs."),
                      price, replies.yes(data, when, **money), replies.day(when))  # fmt: skip
    if verdict.answer == "yes":
        spare = f", with {span(verdict.spare)} to spare" if verdict.spare else ""
        return Answer("yes", f"Yes, {said}", (f"Every booked order keeps its hand-over{spare}.",), price,
                      replies.yes(data, when, **money), replies.day(when), can_ask_all=True)  # fmt: skip
    if verdict.answer == "no":
        reply = (
            replies.later(data, when, verdict.earliest, **money)
            if verdict.earliest
            else replies.declined(when)
        )
        return Answer("no", f"No, not by {said}", verdict.sentences, price, reply, replies.day(when),
                      verdict.earliest, can_ask_ways=True)  # fmt: skip
    sentences = ("Do not promise yet: no plan was found in time, and none was ruled out.", *verdict.sentences)
    return Answer("ask", f"Not sure about {said}", sentences, price, replies.not_sure(data, when),
                  replies.day(when), verdict.earliest, can_ask_ways=True)  # fmt: skip


def _failing(titles: tuple[str, ...]) -> str:
    """A word about what does not work already."""
    if not titles:
        return ""
    names = titles[0] if len(titles) == 1 else f"{', '.join(titles[:-1])} and {titles[-1]}"
    return f"But {names} cannot be kept as booked, with or without this one: sort that out first."


def ask(
    spec: OrderSpec, *, now: datetime, order=None, seconds: float = SECONDS, earliest: bool = True
) -> Verdict:
    """Whether this order can be promised beside all that is booked. Never raises: what breaks is "not sure"."""
    from bakery.craft.planning import ProblemError, promise

    without = (order.key,) if order is not None else ()
    try:
        problem, works = adapters.current_problem(now=now, extra=spec, without=without)
        found = promise(problem, spec.id, seconds=seconds, earliest=earliest)
        failing: tuple[str, ...] = ()
        while found.answer == "no" and len(failing) < MOST_FAILING and (more := _fails_already(found, spec)):
            failing += more
            problem = _softened(problem, more)
            found = promise(problem, spec.id, seconds=seconds, earliest=earliest)
    except (ProblemError, ValueError, KeyError, MemoryError):
        log.exception("The promise could not be worked out.")
        return Verdict("unknown", sentences=("This one is beyond the planner: look at the week yourself.",))
    first = None if found.earliest is None else convenient(moment_of(problem, found.earliest), spec)
    why = reasons(problem, works, found.why, spec.id) if found.answer == "no" else ()
    titles = tuple(works[name].order.title for name in failing)
    return Verdict(found.answer, found.spare_minutes, why, first, titles)


def _fails_already(found, spec) -> tuple[str, ...]:
    """Orders that fail by themselves, whatever is said to this one."""
    blamed = tuple((found.why or {}).get("orders", ()))
    return () if spec.id in blamed else blamed


def _softened(problem, names):
    """The same problem with these orders no longer asked to be on time: their work stays, their lateness is known."""
    orders = tuple(replace(one, soft=True) if one.id in names else one for one in problem.orders)
    return replace(problem, orders=orders)


def moment_of(problem, minutes: int) -> datetime:
    """A planner's minute as a local moment."""
    return timezone.localtime(problem.origin + timedelta(minutes=minutes))


def convenient(moment: datetime, spec: OrderSpec) -> datetime:
    """The next quarter of an hour at which somebody comes to a door: from nine until seven in the evening."""
    moment += timedelta(minutes=spec.travel_minutes if spec.way != "collected" else 0)
    rounded = moment + timedelta(minutes=-moment.minute % 15)
    if rounded.hour < 9:
        return rounded.replace(hour=9, minute=0)
    if rounded.hour >= 19 and (rounded.hour, rounded.minute) != (19, 0):
        return (rounded + timedelta(days=1)).replace(hour=9, minute=0)
    return rounded


def if_all_say_yes(form, *, now: datetime, order=None) -> str:
    """One sentence: whether this order and every open quote together would fit."""
    data = form.order_data()
    if data is None:
        return ""
    others = [one for one in open_quotes(without=order.pk if order else None) if one.hand_over_at > now]
    if not others:
        return "No other quote is open."
    specs = (spec_of(data, order=order), *(order_spec(one) for one in others))
    verdict = ask_all(specs, now=now, order=order)
    what = plural(len(others), "open quote")
    if verdict.answer == "yes":
        return f"Yes: with {what} too, every hand-over is kept."
    if verdict.answer == "no":
        return f"No: if {what} {'says' if len(others) == 1 else 'say'} yes as well, something is late."
    return "Not sure: it could not be worked out in time."


def ask_all(specs, *, now: datetime, order=None) -> Verdict:
    """The promise for several orders at once."""
    from bakery.craft.planning import ProblemError, promise

    without = (order.key,) if order is not None else ()
    try:
        problem, _ = adapters.current_problem(now=now, extra=specs, without=without)
        found = promise(problem, specs[0].id, seconds=SECONDS, earliest=False)
    except (ProblemError, ValueError, KeyError, TypeError):
        log.exception("The promise could not be worked out.")
        return Verdict("unknown")
    return Verdict(found.answer, found.spare_minutes)


# Changes that would make it fit


def ways(form, *, now: datetime, order=None) -> list[dict]:
    """Changes to this order that make it fit, each tried against the plan; the gentlest first."""
    data = form.order_data()
    if data is None:
        return []
    verdict = ask(spec_of(data, order=order), now=now, order=order)
    if verdict.answer == "yes":
        return []
    found = []
    for words, value, changed in _candidates(data, verdict, form, now):
        tried = ask(spec_of(changed, order=order), now=now, order=order, seconds=0.5, earliest=False)
        if tried.answer == "yes":
            gain = f"{span(tried.spare)} to spare" if tried.spare else "just fits"
            found.append({"words": words, "gain": gain, "value": f"use:{value}"})
    return found


def _candidates(data: OrderData, verdict: Verdict, form, now):
    """(words, form change, changed order): later, then fewer, then simpler."""
    when = timezone.localtime(data.hand_over_at)
    first = verdict.earliest
    if first and first > when:
        event = timezone.localtime(data.event_at) if data.event_at else None
        too_late = f"; their event is at {at(event)}" if event and event.date() == first.date() else ""
        missed = "; after their event" if event and first > event else too_late
        day = "" if first.date() == when.date() else f" on {replies.day(first)}"
        yield (f"Hand over{day} at {at(first)}{missed}", f"hand_over={short(first)}",
               replace(data, hand_over_at=first))  # fmt: skip
    numbers = [line.number for line in form.filled_lines if line.line_data()]
    biggest = max(range(len(data.lines)), key=lambda i: data.lines[i].quantity)
    line = data.lines[biggest]
    for quantity in _fewer(line.quantity):
        yield (f"Make {quantity}, not {line.quantity}", f"quantity:{numbers[biggest]}={quantity}",
               _with_line(data, biggest, quantity=quantity))  # fmt: skip
    for kind in _simpler(line.kind):
        if line.stage == "nothing":
            colours = min(line.colours, USUAL_COLOURS[kind])
            yield (f"{KIND_TITLES[kind]} instead", f"kind:{numbers[biggest]}={kind}",
                   _with_line(data, biggest, kind=kind, design=None, variation=None, colours=colours))  # fmt: skip


def _fewer(quantity: int) -> list[int]:
    """Three quarters and half, in dozens or halves of one."""
    found = {max(6, int(quantity * share) // 6 * 6) for share in (0.75, 0.5)}
    return sorted((count for count in found if count < quantity), reverse=True)


def _simpler(kind: str) -> list[str]:
    """The next simpler kinds that still say something like it."""
    return {"very_detailed": ["stencil_detail", "two_colour"], "stencil_detail": ["stencil", "plain"],
            "stencil": ["plain"], "two_colour": ["plain"], "lettered": []}.get(kind, [])  # fmt: skip


def _with_line(data: OrderData, index: int, **changes) -> OrderData:
    lines = list(data.lines)
    lines[index] = replace(lines[index], **changes)
    return replace(data, lines=tuple(lines))


# Small things that the page shows beside the form


def together(form) -> str:
    """`48 together, 56 to cut with spares`."""
    data = form.order_data(hand_over=timezone.now())
    if data is None:
        return ""
    own = shop()
    cut = sum(cut_of(line, own) for line in spec_of(data).lines)
    return f"{data.quantity:,} together, {cut:,} to cut with spares"


def tiles(form) -> list[dict]:
    """The six kinds: picture, name, minutes of work a cookie, and whether a line is of it."""
    said = {line.said_kind for line in form.lines}
    minutes = minutes_per_cookie()
    return [
        {"key": key, "name": kind.name, "minutes": minutes.get(key), "drawing": drawing_of_kind(key),
         "picked": key in said}
        for key, kind in form.picks.kinds.items()
    ]  # fmt: skip


_minutes: dict = {}


def minutes_per_cookie(quantity: int = 24) -> dict[str, int]:
    """Minutes of work a cookie, from dough to bag, for two dozen of each kind in this kitchen."""
    own, costs = shop(), prices()
    key = repr((own, quantity))
    if key not in _minutes:
        _minutes.clear()
        _minutes[key] = {kind: _all_in(kind, quantity, own, costs) for kind in KIND_TITLES}
    return _minutes[key]


def _all_in(kind, quantity, own, costs) -> int:
    line = LineSpec("l1", kind, kind, quantity, colours=USUAL_COLOURS[kind])
    order = OrderSpec("tile", kind, (line,), timezone.now())
    price = price_of(order, None, own, costs)
    talk_and_door = sum(
        part.minutes for part in price.part("time").parts if part.key in ("talk", "door", "drive")
    )
    return max(1, round((price.minutes - talk_and_door) / quantity))


def deposit_words() -> str:
    """`Half holds the date`."""
    percent = the_studio().deposit_percent
    return {0: "No deposit asked", 50: "Half holds the date", 100: "All of it holds the date"}.get(
        percent, f"{percent} % holds the date"
    )


def drawings_of(form) -> list[dict]:
    """Up to two cookies for the band: what is being asked for."""
    found = []
    for line in form.filled_lines:
        design = line.design_row
        names = form.cleaned_data.get("names") if hasattr(form, "cleaned_data") else ()
        text = names[0][:12] if names and line.kind_key == "lettered" else ""
        found.append(drawing_of(design, text=text) if design else drawing_of_kind(line.kind_key, text=text))
    return found[:2]


__all__ = ["Answer", "answer", "ask", "drawings_of", "if_all_say_yes", "tiles", "together", "ways"]
