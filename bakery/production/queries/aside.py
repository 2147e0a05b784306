"""What stands beside the list: the room, the rack, what is short, tomorrow."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils import timezone

from bakery.stock.queries import Short
from bakery.stock.runout.shorts import soon_short
from bakery.studio import adapters as studio
from bakery.studio.queries import newest_reading

from .. import words
from ..models import Job
from ..needs import needs_of_jobs
from . import days
from .shared import apart_rows, shared_sentence

RACK_LOOKS = timedelta(hours=4)
MOST_SHORT = 3


@dataclass(frozen=True)
class Aside:
    room: str
    room_text: str
    rack: str
    short: tuple[tuple[str, str], ...]
    short_title: str
    next_title: str
    next_day: object
    next_text: str
    sheet_label: str
    shared: str = ""
    apart: tuple[tuple[str, str], ...] = ()


def looks_until(session, following) -> datetime:
    """So far the aside looks ahead: the end of the next session."""
    return following.end if following else session.end + timedelta(days=2)


def aside_of(now: datetime, plan, session, following, own, jobs) -> Aside:
    """`jobs` are those of the session and of the `following` one, as their drawings need them."""
    room, room_text = _room(now)
    until = looks_until(session, following)
    jobs = days.within(jobs, session.start, until)
    short = soon_short(now, until, needs_of_jobs(job for job in jobs if job.state != Job.State.DONE))
    next_jobs = [
        job for job in jobs if following and job.planned_start and job.planned_start >= following.start
    ]
    sheet_day = timezone.localdate(following.start if following else session.start)
    return Aside(
        room=room,
        room_text=room_text,
        rack=_rack(plan, session, own),
        short=tuple(_short_words(row, now) for row in short[:MOST_SHORT]),
        short_title=f"Short for {words.near_day(short[0].at, now)}" if short else "",
        next_title=words.capital(words.near_day(following.start, now)) if following else "Later",
        next_day=sheet_day,
        next_text=_next(following, next_jobs, now),
        sheet_label=f"Print {words.weekday(sheet_day)}’s sheet",
        shared=shared_sentence(plan),
        apart=apart_rows(),
    )


def _short_words(row, now) -> tuple[str, str]:
    """What it is, and how short."""
    if isinstance(row, Short):
        return f"{row.item.name}: {row.item.level}.", _wanted(row, now)
    return f"{row.name}.", f"{row.before} {row.when}{row.after}"


def _wanted(short, now) -> str:
    drops = f"About {short.drops} drops wanted. " if short.drops else ""
    return f"{drops}For {short.what_for}, {words.day_and_time(short.at, now)}."


def _room(now) -> tuple[str, str]:
    span = studio.drying(now).wait("base_dry", 2.5)
    usual, slow = words.length(span.usual), words.length(span.slow)
    dries = f"A base coat is usually dry in {usual}, on a slow night in {slow}."
    if getattr(span, "never", False):
        dries = "A base coat does not dry here by itself: heat, drier air or a dryer is needed."
    reading = newest_reading(now)
    if reading is None:
        return "No reading", f"A usual room is assumed. {dries}"
    where = "at the rack" if reading.where == "trays" else "from the weather report"
    at = words.day_and_time(reading.at, now).replace("tonight ", "").replace("today ", "")
    return f"{reading.temperature_c:.1f} °C, {reading.humidity_percent:.0f} %", f"Read {where}, {at}. {dries}"


def following_session(session):
    """The next session after this one within two weeks, or None."""
    after = timezone.localdate(session.end)
    ahead = studio.sessions_between(after, after + timedelta(days=14))
    return next((one for one in ahead if one.start >= session.end), None)


def _next(following, jobs, now) -> str:
    if following is None:
        return "No baking hours in the next two weeks."
    if not jobs:
        return f"Nothing is planned for {words.near_day(following.start, now)}."
    first = jobs[0]
    cookies = first.cookies
    what = words.job_name(first)
    text = f"First job {words.clock(days.began(first))}, {what}{f', {cookies} cookies' if cookies else ''}."
    minutes = sum((days.ended(job) - days.began(job)).total_seconds() for job in jobs) / 60
    return f"{text} {words.counted(len(jobs), 'job')}, {words.length(minutes)} in all."


def _rack(plan, session, own) -> str:
    """How full the rack is a while after the session, and until when to leave the trays alone."""
    places = own.rack_places
    at = session.end + RACK_LOOKS
    used = rack_places_at(plan, at)
    if not used:
        return f"All {places} places stay free overnight."
    text = f"Overnight {used} of {words.counted(places, 'place')} {'is' if used == 1 else 'are'} full."
    return f"{text} Leave wet trays where they stand: crusted icing cracks when it is moved."


def rack_places_at(plan, moment) -> int:
    """Places of the rack that the plan holds at a moment."""
    origin = datetime.fromisoformat(plan.problem["origin"])
    minute = (moment - origin).total_seconds() / 60
    starts = plan.plan["starts"]
    tasks = {task["id"]: task for task in plan.problem["tasks"]}

    def start(name):
        return starts.get(name, tasks[name]["start"])

    used = 0
    for hold in plan.problem["holds"]:
        if hold["resource"] != "rack":
            continue
        begin = start(hold["from"])
        if begin is None:
            continue
        begin += tasks[hold["from"]]["minutes"]
        ends = [begin + hold["minutes"]] if hold["minutes"] is not None else []
        ends += [start(hold["until"])] if hold["until"] and start(hold["until"]) is not None else []
        used += hold["amount"] if begin <= minute < min(ends, default=begin) else 0
    return used
