"""Trays that lie drying, how thick they are, and what a finger has found: reads in a bounded number."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from bakery.craft.work import job_of_task
from bakery.craft.work.kinds import layers_of
from bakery.orders.adapters import order_spec
from bakery.orders.models import PLANNED_STATES, Order
from bakery.orders.queries import with_lines
from bakery.studio.models import Touch

from . import words
from .models import Job, Setback

USUAL_MM = 2.5
LOOK_BACK = timedelta(days=3)
SURE = 1.25
"""Past so many times the slow figure nobody need touch it."""
NEEDS = {
    "base dry": "before it is sprayed or stencilled",
    "base dry enough for wafer paper": "before wafer paper goes on",
    "dry through before it is bagged": "before it is bagged",
}


@dataclass(frozen=True)
class Ask:
    """Trays of one colour to be touched once: what they are, when they were laid, and what waits for it."""

    keys: tuple[str, ...]
    title: str
    text: str
    soft: bool = False

    @property
    def id(self) -> str:
        return self.keys[0].replace(".", "-").replace("/", "-")


def thickness_of(jobs) -> dict[str, float]:
    """The thickest coat a job laid [mm], by its key. Two queries and those of the lines."""
    orders = {job.order_id for job in jobs}
    specs = {order.pk: order_spec(order) for order in with_lines(Order.objects.filter(pk__in=orders))}
    found = {}
    for job in jobs:
        name = job_of_task(job.key)
        line = next(
            (one for one in specs[job.order_id].lines if name.startswith(f"{job.order.key}.{one.id}.")), None
        )
        layers = layers_of(line) if line is not None else ()
        at = job.layer or 0
        found[job.key] = layers[at].thickness_mm if at < len(layers) and layers[at].wet else USUAL_MM
    return found


def lying(now: datetime) -> list[Job]:
    """Flooded trays of the last days that no finger has found hard; laid or assumed so. Two queries."""
    jobs = Job.objects.filter(
        kind="flood", planned_start__lte=now, planned_end__gt=now - LOOK_BACK, order__state__in=PLANNED_STATES
    )
    jobs = [
        job
        for job in jobs.select_related("order").order_by("planned_start", "key")
        if (job.done_at or job.planned_end) <= now
    ]
    told = Touch.objects.filter(job__in=[job.key for job in jobs], hard=True, refused=False)
    hard = set(told.values_list("job", flat=True))
    return [job for job in jobs if job.key not in hard]


def touched_of(runs, now: datetime) -> frozenset[str]:
    """Keys of these runs that were touched in the last half day. One query."""
    keys = [key for run in runs for key in run.keys]
    recent = Touch.objects.filter(job__in=keys, at__gt=now - timedelta(hours=12), at__lte=now)
    return frozenset(recent.values_list("job", flat=True)) if keys else frozenset()


def asks(jobs, now: datetime, why: str = "") -> list[Ask]:
    """One question a colour and look."""
    groups: dict[tuple, list[Job]] = {}
    for job in jobs:
        groups.setdefault((tuple(job.colours), job.title), []).append(job)
    return [_ask(group, now, why) for group in groups.values()]


def _ask(jobs, now, why) -> Ask:
    last = max(job.done_at or job.planned_end for job in jobs)
    trays = words.counted(len(jobs), "tray")
    titles = words.listed(list(dict.fromkeys(job.order.title for job in jobs))[:3])
    text = f"{titles}, {trays}; last cookie laid {words.day_and_time(last, now)}."
    return Ask(tuple(job.key for job in jobs), words.run_title(jobs), f"{text} {why}".strip())


def first_touches(plan, runs, now: datetime) -> tuple[Ask, ...]:
    """What to touch before the open runs of this list: floods that are dry by the slow figure only."""
    keys = {key: run for run in runs if run.open for key in run.keys}
    wanted: dict[str, tuple] = {}
    for lag in plan.problem["lags"]:
        if lag["why"] in NEEDS and lag["after"] in keys:
            wanted[lag["before"]] = (keys[lag["after"]], lag["min"], NEEDS[lag["why"]])
    if not wanted:
        return ()
    by_run: dict[tuple, list[Job]] = {}
    for job in lying(now):
        if job.key not in wanted:
            continue
        run, slow, why = wanted[job.key]
        laid = job.done_at or job.planned_end
        if max(now, run.start) - laid < timedelta(minutes=SURE * slow):
            by_run.setdefault((why, words.clock(run.start)), []).append(job)
    return tuple(
        replace(ask, text=f"{ask.text} {words.capital(why)}, {clock}.")
        for (why, clock), jobs in by_run.items()
        for ask in asks(jobs, now)
    )


def hard_after(now: datetime) -> dict[str, int]:
    """Minutes after which a finger found a tray hard, by the job that laid it; the last word counts, also
    that it is not dry yet. One query, two where something was hard.
    """
    rows = Touch.objects.filter(refused=False, at__gt=now - LOOK_BACK, at__lte=now).order_by("at", "pk")
    found: dict[str, tuple] = {}
    for job, at, since, hard in rows.values_list("job", "at", "wet_since", "hard"):
        if not hard:
            found.pop(job, None)
        elif job not in found:
            found[job] = (at, -int(-(at - since).total_seconds() // 60))
    if found:
        said = Setback.objects.filter(kind=Setback.Kind.WET, undone_at=None, at__gt=now - LOOK_BACK)
        wet = {key: one.at for one in said.order_by("at") for key in one.data["keys"]}
        found = {job: told for job, told in found.items() if job not in wet or wet[job] < told[0]}
    return {job: minutes for job, (_, minutes) in found.items()}


def works_hard(works: dict, hard: dict[str, int]) -> dict:
    """The works in which what a finger found hard is dry from then on, whatever the model says."""
    if not hard:
        return works
    return {key: _hardened(work, hard) for key, work in works.items()}


def _hardened(work, hard):
    own = f"{work.order.id}."
    mine = {job_of_task(name): minutes for name, minutes in hard.items() if name.startswith(own)}
    if not mine:
        return work
    return replace(work, waits=tuple(_over(wait, mine) for wait in work.waits))


DRY = ("outline_set", "crusted", "firm", "base_dry", "dry_through")


def _over(wait, mine):
    known = mine.get(wait.before) if wait.kind in DRY else None
    if known is None or known >= wait.slow_minutes:
        return wait
    return replace(wait, slow_minutes=known, usual_minutes=min(wait.usual_minutes, known), never=False)
