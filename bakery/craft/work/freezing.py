"""Blanks baked ahead and frozen: what lies in the freezer does not age, so baking may lie weeks before."""

from dataclasses import replace

from .ahead_work import thawing_minutes
from .kinds import thawing
from .pieces import Job, Wait, Work

__all__ = ["baked_ahead"]

COLD_MINUTES, COLD_AT_MOST = 60, 600
"""From the oven to the freezer: fully cold first, and before the next morning is over (common practice, no
source)."""
FROZEN_THROUGH = 240
"""Minutes that blanks stay in the freezer at least, so that it is worth it (common practice, no source)."""
WHY = {
    "cool": "cookies fully cold before they are frozen",
    "freeze": "blanks frozen through",
    "thaw": "thawed, closed, at room temperature",
}


def baked_ahead(work: Work) -> Work:
    """The same work with every load of blanks frozen once it is cold and thawed before its first layer.

    Freshness then counts from the thawing: the loads' ids in `bakes` give way to those of the thaw jobs.
    Freezing and thawing take a few minutes at any waking hour. A work with nothing to bake stays as it is.
    """
    loads = {job.id: job for job in work.jobs if job.kind == "bake" and job.planned}
    if not loads:
        return work
    jobs, waits, cold = list(work.jobs), [], (COLD_MINUTES, COLD_MINUTES, COLD_AT_MOST)
    for load in loads.values():
        into, out = _around(load, work)
        jobs += [into, out]
        waits += [
            Wait(load.id, into.id, "cool", *cold, WHY["cool"], strict=True),
            Wait(into.id, out.id, "freeze", FROZEN_THROUGH, FROZEN_THROUGH, None, WHY["freeze"]),
        ]
    span = thawing(work.shop)
    thawed = {"kind": "thaw", "usual_minutes": span.usual, "slow_minutes": span.slow, "why": WHY["thaw"]}
    for wait in work.waits:
        waits.append(replace(wait, before=f"{wait.before}.thaw", **thawed) if wait.before in loads else wait)
    bakes = tuple(f"{name}.thaw" if name in loads else name for name in work.bakes)
    aged = max(work.aged_minutes, COLD_AT_MOST)
    return replace(work, jobs=tuple(jobs), waits=tuple(waits), bakes=bakes, aged_minutes=aged)


def _around(load: Job, work: Work) -> tuple[Job, Job]:
    """The two jobs around the freezer for one load."""
    minutes = thawing_minutes(work.shop)
    plain = {"minutes": minutes, "attended": minutes, "uses": {}, "grams": 0.0}
    into = replace(load, id=f"{load.id}.freeze", kind="freeze", title="Put blanks in the freezer", **plain)
    return into, replace(load, id=f"{load.id}.thaw", kind="thaw", title="Take blanks out to thaw", **plain)
