"""Trays that dry in the dryer: their shorter waits, and the places they take up in it."""

from dataclasses import replace
from datetime import datetime, timedelta

from bakery.craft.work import Place
from bakery.craft.work.kinds import layers_of
from bakery.studio import adapters as studio

from . import words

LAID = ("flood", "icing_pass", "pipe", "letter")
"""Jobs that lay icing on a tray."""
DRIES = ("outline_set", "crusted", "firm", "base_dry", "wafer_dry", "dry_through")


def works_dried(works: dict, wanted: dict[str, datetime], shop, facts, now: datetime) -> dict:
    """The works in which these trays go into the dryer. `wanted` names jobs, or orders for all their trays,
    with the moment from which that holds: what was laid before goes in then, as if it were fresh.
    """
    if not wanted or not shop.dryer:
        return works
    times = studio.drying(now, air="dryer")
    ends = {fact.job_id: fact.start + timedelta(minutes=fact.minutes) for fact in facts}
    return {key: _dried(work, wanted, times, ends) for key, work in works.items()}


def _dried(work, wanted, times, ends):
    lines = {line.id: line for line in work.order.lines}
    mine = {}
    for job in work.jobs:
        since = wanted.get(job.id) or wanted.get(work.order.id)
        if job.kind in LAID and since is not None and job.line in lines:
            layer = layers_of(lines[job.line])[job.layer or 0]
            late = (since - ends[job.id]) / timedelta(minutes=1) if job.id in ends else 0
            mine[job.id] = (times.at(layer.thickness_mm), max(0, -int(-late // 1)))
    if not mine:
        return work
    waits = tuple(_wait(wait, mine) for wait in work.waits)
    longest = {}
    for wait in waits:
        if wait.before in mine and wait.kind in DRIES:
            longest[wait.before] = max(longest.get(wait.before, 0), wait.slow_minutes)
    more = tuple(
        Place("dryer", 1, place.after, place.until, longest[place.after])
        for place in work.places
        if place.resource == "rack" and place.after in longest
    )
    # Its place on the rack is kept for it: somebody has to put it down when it comes out.
    return replace(work, waits=waits, places=(*work.places, *more))


def _wait(wait, mine):
    if wait.before not in mine or wait.kind not in DRIES:
        return wait
    times, late = mine[wait.before]
    span = times.wait(wait.kind)
    if span.never or late + span.slow >= wait.slow_minutes:
        return wait
    return replace(
        wait, usual_minutes=late + span.usual, slow_minutes=late + span.slow, never=False,
        why=wait.why if wait.why != "still wet when you looked" else "base dry",
    )  # fmt: skip


def dryer_tries(setback, plan, specs, shop, rows):
    """(sentence, keys) of trays that might go into the dryer: those still wet, then those of late orders.

    `rows` are jobs that lay icing. As many as go in at once of what lies there already; what is laid later
    takes turns, as the plan finds.
    """
    if not shop.dryer:
        return
    by_key = {row.key: row for row in rows}
    lying = [key for key in setback.data.get("keys", ()) if key in by_key] if setback.kind == "wet" else []
    if lying:
        some = tuple(lying[: shop.dryer])
        title = words.small(words.run_title([by_key[key] for key in some]))
        yield f"Into the dryer now: {title}, {words.counted(len(some), 'tray')}", some
    for spec in sorted(specs, key=lambda one: one.hand_over):
        if spec.id in plan.plan["late"] and not spec.soft:
            ours = (row for row in rows if row.key.startswith(f"{spec.id}."))
            own = tuple(row.key for row in ours if row.state == "planned")
            if own:
                yield f"{spec.title} dries in the dryer, {words.counted(len(own), 'tray')}", own


def dryer_words(runs, wanted: dict[str, datetime]) -> tuple[str, ...]:
    """Which of these runs go straight into the dryer."""
    return tuple(
        f"{run.title}: into the dryer as soon as a tray is full."
        for run in runs
        if run.open and run.kind in LAID and any(_named(key, wanted) for key in run.keys)
    )


def _named(key: str, wanted) -> bool:
    return went_in(key, wanted) is not None


def went_in(key: str, wanted: dict[str, datetime]) -> datetime | None:
    """Since when a job's trays are meant for the dryer: they, or all of their order."""
    return wanted.get(key) or wanted.get(key.split(".", 1)[0])
