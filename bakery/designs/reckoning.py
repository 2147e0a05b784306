"""What some dozens of a design take: time, days, icing, price; from the jobs that plan and price use."""

import hashlib
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.core.cache import cache
from django.utils import timezone

from .adapters import layers_over_bases
from .models import Design
from .words import duration

AHEAD_DAYS = 28
SECONDS = 0.5


@dataclass(frozen=True)
class Many:
    quantity: int
    time: str
    days: str
    icing: str
    bags: str
    price_each: Decimal | None
    harder: str


def reckon(design: Design, *, quantity: int, now: datetime) -> Many:
    """One order of that many over all its base colours, each in a sealed bag, four weeks ahead."""
    from bakery.craft.costing import complexity
    from bakery.craft.work import OrderSpec, work_of
    from bakery.studio import adapters as studio

    line = line_of(design, quantity)
    hand_over = timezone.localtime(now + timedelta(days=AHEAD_DAYS)).replace(
        hour=15, minute=0, second=0, microsecond=0
    )
    order = OrderSpec("design", design.name, (line,), hand_over)
    shop = studio.shop()
    work = work_of(order, shop, studio.drying())
    grams, bags = icing_of(work)
    return Many(
        quantity=quantity,
        time=duration(work.minutes),
        days=days_of(work, order, now),
        icing=f"{grams} g",
        bags="one bag" if bags == 1 else f"{_count(bags)} bags",
        price_each=_price_each(order, work, shop, quantity),
        harder=complexity(line, shop).words,
    )


def line_of(design: Design, quantity: int):
    """So many of a design over all its base colours, as the core wants a line."""
    from bakery.craft.work import LineSpec

    layers = layers_over_bases(design)
    bases = max((len(layer.colours) for layer in layers if layer.kind == "flood"), default=1)
    usual = 1 if design.kind.key == "plain" else 2 if design.kind.key in ("two_colour", "lettered") else 3
    colours = max(1, bases) if layers else usual
    return LineSpec(
        "l1",
        design.name,
        design.kind.key,
        quantity,
        colours=colours,
        layers=layers,
        area_cm2=float(design.area_cm2),
    )


def icing_of(work) -> tuple[int, int]:
    """Grams to mix, what stays in the bags included, and the number of bags."""
    from bakery.craft.recipes import amounts

    found = amounts(work)
    return round(found.icing_grams / 10) * 10, len(found.icing)


def days_of(work, order, now: datetime) -> str:
    """From the first dough to the bag, in a plan of her own baking hours; worked out once a day."""
    from bakery.studio import adapters as studio

    last = timezone.localdate(order.hand_over) + timedelta(days=1)
    calendar = studio.calendar(timezone.localdate(now), last)
    if not calendar.sessions:
        return ""
    facts = repr((work, calendar, timezone.localdate(now)))
    key = "days-" + hashlib.sha256(facts.encode()).hexdigest()
    return cache.get_or_set(key, lambda: _days(work, calendar, now), 24 * 3600)


def _days(work, calendar, now: datetime) -> str:
    from bakery.craft.planning import ProblemError, backward_pass, solve
    from bakery.craft.work import build_problem
    from bakery.studio.queries import the_studio

    try:
        problem = build_problem([work], calendar, now=now, padding=float(the_studio().padding))
    except (ProblemError, ValueError):
        return ""
    plan = backward_pass(problem) or solve(problem, seconds=SECONDS)
    if not plan or not plan.starts or plan.late:
        return ""
    edges = (min(plan.starts.values()), max(plan.starts.values()))
    first, end = (timezone.localdate(problem.origin + timedelta(minutes=at)) for at in edges)
    days = (end - first).days
    return "1 day" if days <= 1 else f"{days} days"


def _price_each(order, work, shop, quantity: int) -> Decimal | None:
    """The price of one that pays her wage; the cent nearest."""
    from bakery.craft.costing import price_of
    from bakery.studio import adapters as studio

    price = price_of(order, work, shop, studio.prices())
    return (price.total / quantity).quantize(Decimal("0.01"))


def _count(number: int) -> str:
    words = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
    return words[number] if number < len(words) else str(number)
