"""Putting one job in the place of several: waits and places follow it, over all works."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from .icing import steps_of
from .pieces import Job, Wait, Work
from .spec import Layer, LineSpec

__all__ = ["spray_kind", "spray_layers", "together"]


def together(
    works: Sequence[Work],
    olds: Sequence[Job],
    news: Sequence[Job],
    successors: Mapping[str, tuple[str, ...]],
    ties: Sequence[Wait] = (),
) -> tuple[Work, ...]:
    """The works with `news` in the place of `olds`; `successors` says which new jobs stand for an old one.

    `ties` are waits among the new jobs themselves.
    New jobs live in the work of their first order. A wait lives with the job it begins with.
    """
    gone = {job.id for job in olds}
    host = news[0].order
    moved = [wait for work in works for wait in work.waits if wait.before in gone]
    found = []
    for work in works:
        waits = [wait for wait in work.waits if wait.before not in gone]
        waits += [*ties, *moved] if work.order.id == host else []
        jobs = [job for job in work.jobs if job.id not in gone]
        if work.order.id == host:
            at = next(i for i, job in enumerate(work.jobs) if job.id in gone)
            jobs[at:at] = news
        places = [
            replace(place, after=after, until=until)
            for place in work.places
            for after in successors.get(place.after, (place.after,))
            for until in successors.get(place.until or "", (place.until,))
        ]
        found.append(
            replace(
                work,
                jobs=tuple(jobs),
                waits=tuple(_renamed(waits, successors)),
                places=tuple(places),
            )
        )
    return tuple(found)


def _renamed(waits, successors) -> list[Wait]:
    """The waits between the new jobs; of two between the same pair both must hold."""
    found: dict[tuple[str, str], Wait] = {}
    for wait in waits:
        for before in successors.get(wait.before, (wait.before,)):
            for after in successors.get(wait.after, (wait.after,)):
                new = replace(wait, before=before, after=after)
                known = found.get((before, after))
                found[before, after] = new if known is None else _both(known, new)
    return list(found.values())


def _both(one: Wait, other: Wait) -> Wait:
    longer = one if one.slow_minutes >= other.slow_minutes else other
    limits = [wait.max_minutes for wait in (one, other) if wait.max_minutes is not None]
    most = max(longer.slow_minutes, min(limits)) if limits else None
    return replace(longer, max_minutes=most, never=one.never or other.never)


def spray_kind(work: Work, job: Job):
    """What makes two spray runs one: the stencils, colours and placings of their layers, in order.

    Without named stencils the design itself must be the same, by its title; None where neither is known.
    """
    line, found = spray_layers(work, job)
    if not found:
        return None
    layers = tuple(
        (layer.colours, layer.stencils, layer.placings, layer.minutes_per_cookie) for layer in found
    )
    if not any(layer.stencils for layer in found):
        if not line.title or not line.layers:
            return None
        return layers, line.title
    return layers, ""


def spray_layers(work: Work, job: Job) -> tuple[LineSpec | None, tuple[Layer, ...]]:
    """The line of a spray run and the layers sprayed in it; (None, ()) where they are not known."""
    line = next((line for line in work.order.lines if line.id == job.line), None)
    step = line and next((s for s in steps_of(work.order, line, work.shop) if s.index == job.layer), None)
    return (line, step.layers) if step else (None, ())
