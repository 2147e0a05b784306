"""Hard or soft: one press about the trays of a run. Soft when it should be dry is a setback too."""

from datetime import datetime, timedelta

from bakery.studio import adapters as studio
from bakery.studio.models import Touch
from bakery.studio.touches import Tray, record_touch

from ..dryer import went_in
from ..models import Job, Setback
from ..setbacks import open_setbacks
from ..touching import thickness_of
from .setbacks import still_wet

AT_ONCE = timedelta(minutes=45)
"""A tray that went into the dryer within this dried there from the beginning."""


def touched(*, keys: list[str], hard: bool, now: datetime) -> tuple[list, Setback | None]:
    """(touches kept, what went wrong) of these trays. Soft after the slow figure says "not dry yet" too."""
    jobs = list(Job.objects.filter(key__in=keys, kind="flood").select_related("order").order_by("key"))
    thick, dryer = thickness_of(jobs), open_setbacks(now).dryer
    laid = [(job, end) for job in jobs if (end := job.done_at or job.planned_end) and end < now]
    trays = [_tray(job, end, thick[job.key], went_in(job.key, dryer), now) for job, end in laid]
    if not trays:
        return [], None
    slowest = max(trays, key=lambda one: (one.thickness_mm, one.wet_since))
    # What the plan reckons with now: the touch itself will change it.
    slow = studio.drying(now, air=slowest.air).wait("base_dry", slowest.thickness_mm).slow
    since = max(slowest.wet_since, went_in(slowest.job, dryer) or slowest.wet_since)
    kept = record_touch(trays=trays, hard=hard, at=now)
    if hard or not kept or now < since + timedelta(minutes=slow):
        return kept, None
    return kept, still_wet(keys=[one.job for one in trays], now=now)


def _tray(job: Job, end: datetime, thickness: float, into: datetime | None, now: datetime) -> Tray:
    """In the air where it lies: what is said of a tray in the dryer must not teach the room."""
    if into is None or into >= now:
        return Tray(job.key, end, thickness)
    return Tray(job.key, end, thickness, Touch.Air.DRYER, parted=into > end + AT_ONCE)
