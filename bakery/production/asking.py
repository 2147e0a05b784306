"""Asking the planner whether an order can be promised. It may not know."""

from __future__ import annotations

import logging
from dataclasses import dataclass, replace
from datetime import datetime

from bakery.craft.work import OrderSpec
from bakery.drawing.shortfall import Shortfall, Slice

from . import adapters
from .also import NOTHING, Also
from .reasons import hours, name_of, reasons
from .sharing import joined
from .shortage import shortage_of

log = logging.getLogger(__name__)
SECONDS = 0.6
"""Limit of one answer while she types."""
LONGER = 3.0
"""Limit of an answer that the first look left open."""
MOST_FAILING = 4
BEYOND = "This one is beyond the planner: look at the week yourself."


@dataclass(frozen=True)
class Verdict:
    """What the planner found: yes, no or unknown, minutes to spare, reasons with their picture, and what
    fails already, by title and by name.
    """

    answer: str
    spare: int | None = None
    sentences: tuple[str, ...] = ()
    titles: tuple[str, ...] = ()
    picture: Shortfall | None = None
    failing: tuple[str, ...] = ()

    @property
    def open(self) -> bool:
        """Neither yes nor no: more time may tell."""
        return self.answer not in ("yes", "no")


def ask(spec: OrderSpec, *, now: datetime, order=None, seconds: float = SECONDS, also: Also = NOTHING):
    """Whether this order can be promised beside all that is booked; a Verdict."""
    return ask_together((spec,), now=now, order=order, seconds=seconds, also=also)


def ask_together(specs, *, now: datetime, order=None, seconds: float = SECONDS, also: Also = NOTHING):
    """The same for several orders at once; the first is the one asked about. `also` is what it counts on.

    Booked orders that fail by themselves are named and no longer asked to be on time: their work stays in the
    plan, but what nobody can keep is no reason to refuse the next one.
    """
    from bakery.craft.planning import ProblemError, promise

    spec, without = specs[0], (order.key,) if order is not None else ()
    try:
        kitchen = adapters.scene(now=now, extra=specs, without=without, hours=also.hours())
        dried = also.dried(kitchen.works, spec.id, kitchen.shop, kitchen.facts, now)
        kitchen = replace(kitchen, works=dried)
        problem, works, _ = kitchen.problem(also.together(kitchen.shares))
        found = promise(problem, spec.id, seconds=seconds, earliest=False)
        failing: tuple[str, ...] = ()
        while found.answer == "no" and len(failing) < MOST_FAILING and (more := _blamed(found, specs)):
            failing += more
            problem = softened(problem, more)
            found = promise(problem, spec.id, seconds=seconds / 2, earliest=False)
        if found.answer != "yes" and (shares := joined(kitchen, also.together(kitchen.shares), spec.id)):
            # Together with what is made for others it may fit where it does not alone.
            shared, _, _ = kitchen.problem(shares)
            again = promise(softened(shared, failing), spec.id, seconds=seconds / 2, earliest=False)
            found = again if again.answer == "yes" else found
    except (ProblemError, ValueError, KeyError, MemoryError):
        log.exception("The promise could not be worked out.")
        return Verdict("unknown", sentences=(BEYOND,))
    titles = tuple(works[name].order.title for name in failing)
    if found.answer != "no":
        return Verdict(found.answer, found.spare_minutes, (), titles, failing=failing)
    why = reasons(problem, works, found.why, spec.id)
    return Verdict("no", None, why, titles, picture_of(problem, works, found.why, spec.id), failing)


def picture_of(problem, works, why, asked: str) -> Shortfall | None:
    """The facts of a shortage for its picture, or None where there is none to draw."""
    short = shortage_of(problem, why, asked)
    if short is None or short.over <= 0 or not short.parts:
        return None
    named = [(part, "this one" if part.order == asked else works[part.order].order.title)
             for part in short.parts if part.order == asked or part.order in works]  # fmt: skip
    slices = tuple(Slice(part.minutes, f"{title}, {hours(part.minutes)}", part.order == asked)
                   for part, title in named)  # fmt: skip
    there, over = hours(short.there), hours(short.over)
    said = "; ".join(one.label for one in slices)
    title = f"{there} of {name_of(short.resource)}. Needed: {said}. {over} too many."
    return Shortfall(short.there, slices, title, f"{there} there", f"{over} too many")


def fail_without(*, now: datetime, order=None, seconds: float = 0.3) -> tuple[str, ...]:
    """Booked orders that cannot be kept as things stand, whatever is said to the one asked about."""
    from bakery.craft.planning import ProblemError, promise

    failing: tuple[str, ...] = ()
    try:
        problem, _ = adapters.current_problem(now=now, without=(order.key,) if order is not None else ())
        for _ in range(MOST_FAILING):
            found = promise(problem, seconds=seconds, earliest=False)
            more = _blamed(found, ()) if found.answer == "no" else ()
            if not more:
                break
            failing += more
            problem = softened(problem, more)
    except (ProblemError, ValueError, KeyError, MemoryError):
        log.exception("What fails already could not be worked out.")
    return failing


def _blamed(found, specs) -> tuple[str, ...]:
    """Orders that fail by themselves, whatever is said to those asked about."""
    blamed = tuple((found.why or {}).get("orders", ()))
    return () if any(spec.id in blamed for spec in specs) else blamed


def softened(problem, names):
    """The same problem with these orders no longer asked to be on time; their work stays."""
    orders = tuple(replace(one, soft=True) if one.id in names else one for one in problem.orders)
    return replace(problem, orders=orders)
