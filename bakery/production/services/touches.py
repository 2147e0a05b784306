"""Hard or soft: one press about the trays of a run. Soft when it should be dry is a setback too."""

from datetime import datetime, timedelta

from bakery.studio import adapters as studio
from bakery.studio.touches import Tray, record_touch

from ..models import Job, Setback
from ..touching import thickness_of
from .setbacks import still_wet


def touched(*, keys: list[str], hard: bool, now: datetime) -> tuple[list, Setback | None]:
    """(touches kept, what went wrong) of these trays. Soft after the slow figure says "not dry yet" too."""
    jobs = list(Job.objects.filter(key__in=keys, kind="flood").select_related("order").order_by("key"))
    thick = thickness_of(jobs)
    trays = [
        Tray(job.key, end, thick[job.key])
        for job in jobs
        if (end := job.done_at or job.planned_end) and end < now
    ]
    if not trays:
        return [], None
    slowest = max(trays, key=lambda one: (one.thickness_mm, one.wet_since))
    # What the plan reckons with now: the touch itself will change it.
    slow = studio.drying(now).wait("base_dry", slowest.thickness_mm).slow
    kept = record_touch(trays=trays, hard=hard, at=now)
    if hard or not kept or now < slowest.wet_since + timedelta(minutes=slow):
        return kept, None
    return kept, still_wet(keys=[one.job for one in trays], now=now)
