"""The day sheet's content for one date: runs, names, amounts, the rack overnight, what to mind."""

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from django.utils import timezone

from bakery.production import words
from bakery.production.adapters import current_problem, job_named
from bakery.production.models import Job, Plan
from bakery.production.queries.days import began, ended, jobs_of_day, shades
from bakery.production.queries.runs import merged, run_of
from bakery.production.verdicts import drying_after
from bakery.studio.adapters import sessions_between
from bakery.studio.queries import the_studio

from . import amounts, mind, names, rack

FOOT = "Dots thin out as icing dries; at the bar it is dry even on a slow night."
TAGS = {"must": ("must", "moon"), "safe": ("safe", "moon-dashed"), "to_be_safe": ("safe", "moon-dashed"),
        "good": ("good", "moon-hollow")}  # fmt: skip
ON_STENCIL = ("spray", "icing_pass")


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

    @property
    def end(self) -> datetime:
        """The first moment of the next morning."""
        return timezone.make_aware(datetime.combine(self.date + timedelta(days=1), time(0)))

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
    verdicts = (wall.tonight or {}).get("tasks", {}) if wall else {}
    return Day(day, now, jobs, works, problem, sessions_between(day, day), the_studio(), verdicts)


def day_sheet(day: date, now: datetime) -> dict:
    """The paper of that day as it stands now."""
    it = day_of(day, now)
    runs = _runs(it)
    on_rack = rack.overnight(it)
    found = {
        "date": day.isoformat(),
        "title": f"{day:%A} {day.day} {day:%B}",
        "hours": _hours(it, runs),
        "runs": runs,
        "names": names.to_letter(it),
        **amounts.of_day(it),
        "rack": on_rack,
        "mind": mind.cautions(it) if runs else [],
        "empty": "" if runs else _nothing(it),
        "foot": f"{it.studio}, for you. {FOOT}" if on_rack else f"{it.studio}, for you.",
    }
    return found


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
    inside = [job for job in it.jobs if _session_of(it, began(job))]
    minutes = sum((ended(job) - began(job)).total_seconds() / 60 for job in inside)
    wash = it.studio.wash_up_minutes if inside else 0
    last = max((ended(job) for job in inside), default=None)
    done = f", done {words.clock(last + timedelta(minutes=wash))}" if last else ""
    return f"Baking hours {words.listed(spans)}. Work {words.length(minutes + wash)}{done}."


def _session_of(it: Day, moment: datetime):
    return next((session for session in it.sessions if session.start <= moment < session.end), None)


def _runs(it: Day) -> list[dict]:
    groups = merged(it.jobs, it.now, lambda job: it.verdicts.get(job.key, {}).get("verdict", ""))
    dry = {job.key: span for job in it.jobs if (span := it.drying(job.key))}
    colours = shades()
    rows = [_row(it, run_of(group, it.now, colours, dry=dry), dry) for group in groups]
    return rows + _wash_up(it) if rows else []


def _row(it: Day, run, dry) -> dict:
    verdict, sign, tag = _tag(it, run)
    return {
        "time": words.clock(run.start),
        "verdict": verdict,
        "sign": sign,
        "tag": tag,
        "title": run.title,
        "text": _text(it, run),
        "count": run.cookies_count or "",
        "dry_by": f"{words.short_day(run.dry_slow)} {words.clock(run.dry_slow)}" if run.dry_slow else "",
        "never": any(dry[job.key].get("never") for job in run.jobs if job.key in dry),
        "done": run.done,
    }


def _tag(it: Day, run) -> tuple[str, str, str]:
    """How pressing it is, with the sign and words of tonight's list."""
    if run.done:
        return "bare", "", "done"
    if not _session_of(it, run.start):
        return "bare", "", "any hour"
    said = [it.verdicts[job.key] for job in run.jobs if job.key in it.verdicts]
    if not said:
        return "bare", "", ""
    verdict, sign = TAGS.get(said[0]["verdict"], ("good", "moon-hollow"))
    latest = [datetime.fromisoformat(one["latest"]) for one in said if one.get("latest")]
    if verdict == "must":
        return verdict, sign, f"start by {words.clock(min(latest))}" if latest else "can’t wait"
    if verdict == "safe":
        return verdict, sign, "to be safe"
    return verdict, sign, "can wait" if said[0]["verdict"] == "can_wait" else "good to do"


def _text(it: Day, run) -> str:
    """For whom, in which colours, with which stencil, how long; what to do between."""
    parts = []
    if run.kind not in ("mix", "dough"):
        parts.append(_for_whom(run))
    if run.colours and run.kind in ("spray", "icing_pass", "pipe", "letter", "brush", "transfer", "wafer"):
        parts.append(f"{words.capital(words.listed(run.colours))}.")
    if run.kind in ON_STENCIL:
        parts.append(_stencil(run))
    if run.kind == "spray" and len(run.colours) > 1:
        parts.append("Clean between.")
    if run.kind == "letter":
        parts.append(names.spares(it, run))
    if any((it.drying(job.key) or {}).get("never") for job in run.jobs):
        parts.append("Too damp here to dry by itself: fan, heat or a drier room.")
    parts.append(f"{words.length(run.minutes)}.")
    return " ".join(part for part in parts if part)


def _for_whom(run) -> str:
    counts: dict[str, int] = {}
    for job in run.jobs:
        counts[job.order.title] = counts.get(job.order.title, 0) + (job.done_count or job.cookies)
    if len(counts) == 1:
        return f"{next(iter(counts))}."
    return f"{words.listed([f'{count} for {title}' for title, count in counts.items()])}."


def _stencil(run) -> str:
    used = dict.fromkeys(name for job in run.jobs for name in job.uses if name.startswith("stencil/"))
    if not used:
        return ""
    named = words.listed([name.removeprefix("stencil/").replace("-", " ") for name in used])
    more = " Wipe it each tray." if run.trays > 1 else ""
    return f"Stencil: {named}.{more}"


def _wash_up(it: Day) -> list[dict]:
    """The last minutes of every session in which there is work."""
    minutes = it.studio.wash_up_minutes
    worked = [s for s in it.sessions if any(s.start <= began(job) < s.end for job in it.jobs)]
    if not minutes or not worked:
        return []
    end = worked[-1].end
    needle = ", strip the needle" if "spray" in it.kinds() else ""
    return [{
        "time": words.clock(end - timedelta(minutes=minutes)), "verdict": "bare", "sign": "", "tag": "last",
        "title": f"Wash up{needle}", "text": f"Scribe, pins and blades: count them back in. {minutes} min.",
        "count": "", "dry_by": "", "never": False, "done": False,
    }]  # fmt: skip


__all__ = ["Day", "day_of", "day_sheet"]
