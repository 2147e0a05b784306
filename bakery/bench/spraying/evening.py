"""The spray runs of a day in the order with the least cleaning. Reads only, bounded queries."""

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from django.utils import timezone

from bakery.production import words
from bakery.production.adapters import midnight, scene
from bakery.production.amounts.chosen import core_job
from bakery.production.models import Job
from bakery.production.queries.days import began, ended, jobs_of_day
from bakery.production.queries.tonight import session_at
from bakery.stock.airbrush import cup_colours

from .sitting import Sitting, sitting_of

TOGETHER = timedelta(minutes=30)
"""Runs that begin so soon after one another are sprayed from one order of colours."""


MOST_DAYS = 5


@dataclass(frozen=True)
class Evening:
    """What the page and the day sheet say about one day."""

    day: date
    when: str
    headline: str
    lead: str = ""
    sittings: tuple[Sitting, ...] = ()
    colours: tuple = field(default=())
    in_cup: object = None

    @property
    def shake(self) -> list[str]:
        """Bottles that hold white and settle."""
        parts = [part for one in self.sittings for step in one.fillings for part in step.parts]
        return list(dict.fromkeys(part.name for part in parts if part.shake))

    @property
    def alcohol(self) -> bool:
        parts = [part for one in self.sittings for step in one.fillings for part in step.parts]
        return any(part.alcohol for part in parts)


def evening_of(now: datetime, *, day: date | None = None, cup: str = "", jobs=None, works=None) -> Evening:
    """The day's spray runs that are not done; by default those of tonight's session, else the next ones.

    `cup` is the key of the colour in the airbrush now. `jobs` of the day and `works` by order are taken where
    they are read already.
    """
    day = day or _day(now)
    colours = cup_colours()
    to_pick = tuple(colour for colour in colours if not colour.put_away)
    in_cup = next((colour for colour in colours if str(colour.pk) == cup), None)
    when = _when(day, now)
    rows = [
        job
        for job in (jobs_of_day(day) if jobs is None else jobs)
        if job.kind == "spray" and job.state != Job.State.DONE
    ]
    if not rows:
        return Evening(day, when, f"Nothing to spray {when}.", _next(now), (), to_pick, in_cup)
    works = scene(now=now).shared()[0] if works is None else works
    sittings, paint = [], in_cup
    for group in _groups(rows):
        jobs = [(row, job) for row in group if (job := core_job(works, row)) is not None]
        found = sitting_of(jobs, works, colours, paint) if jobs else None
        if found is not None:
            sittings.append(found)
            paint = None  # every run ends with a clean airbrush
    said = _headline(sittings, when), _lead(sittings)
    return Evening(day, when, *said, tuple(sittings), to_pick, in_cup)


def _day(now: datetime) -> date:
    """The session's day while something is left to spray in it, else that of the next spray run."""
    session = session_at(now)
    day = timezone.localdate(session.start if session else now)
    open_runs = Job.objects.filter(kind="spray", planned_start__gte=midnight(day))
    first = open_runs.exclude(state=Job.State.DONE).order_by("planned_start").first()
    return timezone.localdate(first.planned_start) if first else day


def spray_days(now: datetime) -> list[tuple[str, str]]:
    """The next days with something to spray: (date, words); one query."""
    rows = Job.objects.filter(kind="spray", planned_start__gte=midnight(timezone.localdate(now)))
    rows = (
        rows.exclude(state=Job.State.DONE).order_by("planned_start").values_list("planned_start", flat=True)
    )
    days = dict.fromkeys(timezone.localdate(start) for start in rows[:200])
    return [(day.isoformat(), words.capital(words.named_date(day, now))) for day in list(days)[:MOST_DAYS]]


def _when(day: date, now: datetime) -> str:
    if day == timezone.localdate(now):
        return "tonight" if timezone.localtime(now).hour >= 12 else "today"
    return f"on {words.named_date(day, now)}"


def _next(now: datetime) -> str:
    row = Job.objects.filter(kind="spray", planned_start__gt=now).order_by("planned_start").first()
    return f"The next run is {words.day_and_time(row.planned_start, now)}." if row else ""


def _groups(rows) -> list[list[Job]]:
    groups: list[list[Job]] = []
    for row in sorted(rows, key=began):
        if groups and began(row) - max(ended(one) for one in groups[-1]) <= TOGETHER:
            groups[-1].append(row)
        else:
            groups.append([row])
    return groups


def _headline(sittings, when: str) -> str:
    colours = {step.name for one in sittings for step in one.fillings}
    cookies = sum(one.cookies for one in sittings)
    if not colours:
        return f"{words.counted(cookies, 'cookie')} to spray {when}."
    said = words.capital(words.counted(len(colours), "colour"))
    return f"{said} on {words.counted(cookies, 'cookie')} {when}."


def _lead(sittings) -> str:
    if len(sittings) > 1:
        count = words.capital(words.number_word(len(sittings)))
        return f"{count} times at the airbrush, with other work between."
    return sittings[0].sentence if sittings else ""
