"""The one question after an evening: what was planned and nothing said about, floods first."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.db.models import Q
from django.utils import timezone

from .. import words
from ..adapters import midnight, of_live_orders, on_days_off
from ..models import Evening, Job
from . import days, freshness
from .runs import Run, run_of

OPEN = (Job.State.PLANNED, Job.State.STARTED)
NEW_DAY = timedelta(hours=4)
"""Until four in the morning it is still last evening."""


@dataclass(frozen=True)
class Question:
    """What is asked: the day it is about, in words, and the runs assumed done."""

    day: date
    title: str
    floods: tuple[Run, ...]
    rest: tuple[Run, ...]
    finish: str
    tonight: bool = False

    @property
    def runs(self):
        return (*self.floods, *self.rest)


def asked_until(now: datetime) -> datetime:
    """Work planned before this moment is asked about unprompted: that of earlier days."""
    return midnight(timezone.localdate(now - NEW_DAY))


def unanswered(*, until: datetime):
    """Work whose time has passed and about which nothing was said; not that of days taken off."""
    found = of_live_orders(Job.objects.filter(state__in=OPEN, planned_start__lt=until))
    never = on_days_off(found.only("key", "state", "planned_start"), until)
    return found.exclude(key__in=never) if never else found


def question(now: datetime, *, tonight: bool = False) -> Question | None:
    """The question about earlier evenings, or (`tonight`) about what has passed of this one; None:
    nothing to ask.
    """
    until = now if tonight else asked_until(now)
    jobs = list(days.with_pictures(unanswered(until=until)).order_by("planned_start", "key"))
    if not jobs:
        return None
    dates = sorted({timezone.localdate(job.planned_start) for job in jobs})
    plan, shades = freshness.wall(), days.shades()
    dry = (plan.tonight or {}).get("dry", {}) if plan else {}
    runs = [_asked(group, now, shades, dry) for group in _gathered(jobs)]
    return Question(
        day=dates[-1],
        title=_title(dates, now, tonight),
        floods=tuple(run for run in runs if run.kind == "flood"),
        rest=tuple(run for run in runs if run.kind != "flood"),
        finish=words.clock(
            max(job.planned_end for job in jobs if timezone.localdate(job.planned_start) == dates[-1])
        ),
        tonight=tonight,
    )


def _gathered(jobs) -> list[list[Job]]:
    """All of one step and colour is asked about at once, whenever it was planned."""
    groups: dict = {}
    for job in jobs:
        by_order = job.order_id if job.kind in ("pack", "spray") else None
        sign = (job.kind, tuple(job.colours) if job.kind != "mix" else (), by_order)
        groups.setdefault(sign, []).append(job)
    return list(groups.values())


def _asked(jobs, now, shades, dry) -> Run:
    run = run_of(jobs, now, shades, dry=dry)
    parts = []
    if run.trays:
        parts.append(words.counted(run.trays, "tray"))
    if run.dry_slow:
        parts.append(f"dry by {words.day_and_time(run.dry_slow, now)}")
    if not parts:
        parts.append(words.listed(run.orders[:2]))
    keys = tuple(job.key for job in jobs)
    title = words.run_title(jobs)
    if run.kind == "flood":
        title = title.replace(" flood:", ",")
    return replace(
        run, title=title, text=", ".join(parts), keys=keys, left=run.cookies_count or None, size=40
    )


def _title(dates, now, tonight) -> str:
    if tonight:
        return "Tonight: what is done?"
    away = (timezone.localdate(now - NEW_DAY) - dates[-1]).days
    if len(dates) > 1:
        return (
            f"Since {dates[0]:%A}: all done?" if (dates[-1] - dates[0]).days < 6 else "Since then: all done?"
        )
    return "Last night: all done?" if away <= 1 else f"{words.named_date(dates[-1], now)}: all done?"


def last_answer(now: datetime) -> Evening | None:
    """The newest answer, while it can still be taken back from the page."""
    recent = Evening.objects.filter(answered_at__gt=now - timedelta(hours=18)).exclude(answer="")
    return recent.filter(Q(date__lte=timezone.localdate(now))).order_by("-answered_at", "-date").first()
