"""Asking the planner about one order: can it be promised, what is the earliest. It may not know."""

from __future__ import annotations

import logging
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from django.utils import timezone

from bakery.craft.work import OrderSpec

from . import adapters
from .reasons import reasons

log = logging.getLogger(__name__)
SECONDS = 0.6
"""Limit of one answer while she types."""
LONGER = 3.0
"""Limit of an answer that the first look left open."""
MOST_FAILING = 4
BEYOND = "This one is beyond the planner: look at the week yourself."


@dataclass(frozen=True)
class Verdict:
    """What the planner found: yes, no or unknown, minutes to spare, reasons, titles of what fails already."""

    answer: str
    spare: int | None = None
    sentences: tuple[str, ...] = ()
    failing: tuple[str, ...] = ()

    @property
    def open(self) -> bool:
        """Neither yes nor no: more time may tell."""
        return self.answer not in ("yes", "no")


def ask(spec: OrderSpec, *, now: datetime, order=None, seconds: float = SECONDS) -> Verdict:
    """Whether this order can be promised beside all that is booked."""
    return ask_together((spec,), now=now, order=order, seconds=seconds)


def ask_together(specs, *, now: datetime, order=None, seconds: float = SECONDS) -> Verdict:
    """The same for several orders at once; the first is the one asked about.

    Booked orders that fail by themselves are named and no longer asked to be on time: their work stays in the
    plan, but what nobody can keep is no reason to refuse the next one.
    """
    from bakery.craft.planning import ProblemError, promise

    spec, without = specs[0], (order.key,) if order is not None else ()
    try:
        problem, works = adapters.current_problem(now=now, extra=specs, without=without)
        found = promise(problem, spec.id, seconds=seconds, earliest=False)
        failing: tuple[str, ...] = ()
        while found.answer == "no" and len(failing) < MOST_FAILING and (more := _blamed(found, specs)):
            failing += more
            problem = _softened(problem, more)
            found = promise(problem, spec.id, seconds=seconds / 2, earliest=False)
    except (ProblemError, ValueError, KeyError, MemoryError):
        log.exception("The promise could not be worked out.")
        return Verdict("unknown", sentences=(BEYOND,))
    why = reasons(problem, works, found.why, spec.id) if found.answer == "no" else ()
    titles = tuple(works[name].order.title for name in failing)
    return Verdict(found.answer, found.spare_minutes, why, titles)


def earliest_of(spec: OrderSpec, *, now: datetime, order=None, seconds: float = SECONDS) -> datetime | None:
    """The earliest moment at which it could be handed over with all others kept; None when none was found."""
    from bakery.craft.planning import ProblemError
    from bakery.craft.planning.promise import earliest_pickup

    without = (order.key,) if order is not None else ()
    try:
        problem, _ = adapters.current_problem(now=now, extra=spec, without=without)
        found = earliest_pickup(problem, spec.id, seconds=seconds)
        if found is None and (failing := _fail_without(now, without)):
            found = earliest_pickup(_softened(problem, failing), spec.id, seconds=seconds)
    except (ProblemError, ValueError, KeyError, MemoryError):
        log.exception("The earliest hand-over could not be worked out.")
        return None
    if found is None:
        return None
    moment = timezone.localtime(problem.origin + timedelta(minutes=found[0]))
    return convenient(moment, road=spec.travel_minutes if spec.way != "collected" else 0)


def convenient(moment: datetime, *, road: int = 0) -> datetime:
    """The next quarter of an hour at which somebody comes to a door: from nine until seven in the evening."""
    moment += timedelta(minutes=road)
    moment += timedelta(minutes=-moment.minute % 15)
    if moment.hour < 9:
        return moment.replace(hour=9, minute=0)
    if (moment.hour, moment.minute) > (19, 0):
        return (moment + timedelta(days=1)).replace(hour=9, minute=0)
    return moment


def _blamed(found, specs) -> tuple[str, ...]:
    """Orders that fail by themselves, whatever is said to those asked about."""
    blamed = tuple((found.why or {}).get("orders", ()))
    return () if any(spec.id in blamed for spec in specs) else blamed


def _fail_without(now, without) -> tuple[str, ...]:
    """Booked orders that cannot be kept as things stand, whatever is said to the new one."""
    from bakery.craft.planning import promise

    problem, _ = adapters.current_problem(now=now, without=without)
    failing: tuple[str, ...] = ()
    for _ in range(MOST_FAILING):
        found = promise(problem, seconds=0.3, earliest=False)
        more = _blamed(found, ()) if found.answer == "no" else ()
        if not more:
            break
        failing += more
        problem = _softened(problem, more)
    return failing


def _softened(problem, names):
    """The same problem with these orders no longer asked to be on time; their work stays."""
    orders = tuple(replace(one, soft=True) if one.id in names else one for one in problem.orders)
    return replace(problem, orders=orders)
