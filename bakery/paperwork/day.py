"""The day sheet's content for one date: runs, names, amounts, the rack overnight, what to mind."""

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from django.utils import timezone

from bakery.designs.queries import stencil_names
from bakery.production import amounts, words
from bakery.production.adapters import current_problem, job_named
from bakery.production.models import Job, Plan
from bakery.production.queries.days import began, ended, jobs_of_day
from bakery.production.verdicts import drying_after
from bakery.studio.adapters import sessions_between
from bakery.studio.queries import the_studio

from . import mind, names, rack, spray
from .runs import rows_of

FOOT = "Dots thin out as icing dries; at the bar it is dry even on a slow night."


@dataclass(frozen=True)
class Day:
    """What the parts of the sheet are made from."""

    date: date
    now: datetime
    jobs: list
    works: dict
    problem: object
    sessions: list
    studio: object
    verdicts: dict = field(default_factory=dict)
    waits: dict = field(default_factory=dict)
    stencils: dict = field(default_factory=dict)

    @property
    def end(self) -> datetime:
        """The first moment of the next morning."""
        return timezone.make_aware(datetime.combine(self.date + timedelta(days=1), time(0)))

    def session_of(self, moment: datetime):
        """The baking hours a moment lies in, or None."""
        return next((session for session in self.sessions if session.start <= moment < session.end), None)

    def core_job(self, job: Job):
        """The same job as the core knows it, or None for one of an order that is closed by now."""
        try:
            return job_named(self.works, job.key)[0]
        except KeyError:
            return None

    def drying(self, key: str) -> dict | None:
        try:
            return drying_after(key, self.problem, self.works)
        except KeyError:
            return None

    def kinds(self) -> set[str]:
        return {job.kind for job in self.jobs if job.state != Job.State.DONE}


def day_of(day: date, now: datetime) -> Day:
    """Read the day; a handful of queries however much there is to do."""
    jobs = jobs_of_day(day)
    problem, works = current_problem(now=now)
    wall = Plan.objects.filter(state=Plan.State.WALL).first()
    tonight = (wall.tonight or {}) if wall else {}
    tonight = tonight if _is_tonight(tonight, day) else {}
    verdicts, waits = tonight.get("tasks", {}), (tonight.get("stop") or {}).get("waits", {})
    stencils = stencil_names()
    return Day(
        day, now, jobs, works, problem, sessions_between(day, day), the_studio(), verdicts, waits, stencils
    )


def _is_tonight(tonight: dict, day: date) -> bool:
    """Whether the verdicts kept with the plan speak about this day."""
    begins = tonight.get("from")
    return bool(begins) and timezone.localdate(datetime.fromisoformat(begins)) == day


def day_sheet(day: date, now: datetime) -> dict:
    """The paper of that day as it stands now."""
    it = day_of(day, now)
    runs = rows_of(it)
    on_rack = rack.overnight(it)
    found = {
        "date": day.isoformat(),
        "title": f"{day:%A} {day.day} {day:%B}",
        "hours": _hours(it, runs),
        "runs": runs,
        "names": names.to_letter(it),
        "spray": spray.steps(it),
        "groups": _groups(it),
        "rack": on_rack,
        "mind": mind.cautions(it) if runs else [],
        "empty": "" if runs else _nothing(it),
        "foot": f"{it.studio}, for you. {FOOT}" if on_rack else f"{it.studio}, for you.",
    }
    return found


def _groups(it: Day) -> list[dict]:
    """How much of everything this day takes, as the page of amounts says it."""
    cupboard = amounts.cupboard()
    chosen = amounts.of_rows(it.jobs, it.works, title="", when="")
    return amounts.groups_of(chosen.amounts(cupboard), cupboard)


def _nothing(it: Day) -> str:
    hours = "" if it.sessions else " There are no baking hours either."
    return f"Nothing is to be done on {it.date:%A}.{hours}"


def _hours(it: Day, runs) -> str:
    """When her hands are free, how much of it is work, when she is done."""
    if not it.sessions:
        return "No baking hours."
    spans = [f"{words.clock(session.start)} to {words.clock(session.end)}" for session in it.sessions]
    if not runs:
        return f"Baking hours {words.listed(spans)}."
    inside = [job for job in it.jobs if it.session_of(began(job))]
    minutes = sum((ended(job) - began(job)).total_seconds() / 60 for job in inside)
    wash = it.studio.wash_up_minutes if inside else 0
    last = max((ended(job) for job in inside), default=None)
    done = f", done {words.clock(last + timedelta(minutes=wash))}" if last else ""
    return f"Baking hours {words.listed(spans)}. Work {words.length(minutes + wash)}{done}."


__all__ = ["Day", "day_of", "day_sheet"]
