"""Tonight: one view of everything the page, the fragment and the command say. Reads only, bounded queries."""

import hashlib
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from itertools import zip_longest

from django.utils import timezone
from django.utils.dateparse import parse_datetime

from bakery.studio import adapters as studio
from bakery.studio.queries import the_studio

from .. import words
from ..dryer import dryer_words
from ..levers import damp_words
from ..models import Plan
from ..old_work import old_words
from ..setbacks import open_setbacks
from ..touching import first_touches
from . import days, freshness, headlines, whys
from .aside import Aside, aside_of, following_session, looks_until
from .morning import asked_until, unanswered
from .runs import DONE, STARTED, Run, merged, run_of, state_of
from .strips import evening_of
from .tight import tight_words
from .tools import outages_now

MOST_LINES = 8
LOOK_AHEAD = timedelta(days=14)
VERDICTS = {"must": "must", "undecided": "safe", "can_wait": "good"}
GROUPS = (
    ("must", "moon", "Can’t wait"),
    ("safe", "moon-dashed", "To be safe, {when}"),
    ("good", "moon-hollow", "Good to do"),
)


@dataclass(frozen=True)
class Group:
    verdict: str
    sign: str
    title: str
    note: str
    runs: tuple[Run, ...]

    @property
    def last_number(self) -> int:
        return self.runs[-1].number


@dataclass(frozen=True)
class Stop:
    """Where she may go to bed: after which number, when, and in words."""

    number: int
    at: datetime | None
    head: str
    text: str
    sure: bool = True


@dataclass(frozen=True)
class TonightView:
    now: datetime
    session: object = None
    is_today: bool = False
    when: str = "tonight"
    headline: str = ""
    bedtime: str = ""
    bedtime_rest: str = ""
    more: str = ""
    groups: tuple[Group, ...] = ()
    rest: tuple[Group, ...] = ()
    so_far: tuple[Run, ...] = ()
    stop: Stop | None = None
    wash_up: tuple[str, str, int] | None = None
    strip: object = None
    aside: Aside | None = None
    proposal: Plan | None = None
    working: bool = False
    stale: bool = False
    trouble: str = ""
    late: tuple[str, ...] = ()
    broken: bool = False
    tight: tuple[str, ...] = ()
    old: tuple[str, ...] = ()
    touch: tuple = ()
    damp: tuple[str, ...] = ()
    out: tuple[dict, ...] = ()
    ended_unsaid: bool = False
    empty: tuple[str, str, str] | None = None
    pictures: tuple[dict, ...] = ()
    runs: tuple[Run, ...] = field(default=(), repr=False)

    @property
    def more_lines(self) -> int:
        return sum(len(group.runs) for group in self.rest)

    @property
    def open_runs(self):
        return tuple(run for run in self.runs if run.open)

    @property
    def stop_inside(self) -> bool:
        """True when the stop line stands within or right after one of the groups."""
        numbers = {run.number for group in (*self.groups, *self.rest) for run in group.runs}
        return self.stop is not None and self.stop.number in numbers

    @property
    def may_say(self) -> bool:
        """True when something of this session has begun, so that "not all done" means something."""
        return any(
            job.planned_start and job.planned_start < self.now
            for job in self.jobs
            if job.state != job.State.DONE
        )

    @property
    def jobs(self):
        return [job for run in self.runs for job in run.jobs]

    @property
    def version(self) -> str:
        """A short sign of all that is shown: a poll that finds it unchanged leaves the page alone."""
        shown = [
            (self.headline, self.bedtime, self.bedtime_rest, self.more, self.stop, self.late, self.trouble),
            (self.tight, self.old, self.out, self.touch, self.damp),
            [(r.keys, r.state, r.verdict, r.start, r.by, r.note, r.text) for r in self.runs],
            (self.working, self.stale, self.proposal and self.proposal.pk, self.ended_unsaid, self.aside),
        ]
        return hashlib.sha256(repr(shown).encode()).hexdigest()[:16]


def session_at(now: datetime):
    """The session in progress or the next one; None when there are no baking hours ahead."""
    today = timezone.localdate(now)
    for session in studio.sessions_between(today, timezone.localdate(now + LOOK_AHEAD)):
        if session.end > now:
            return session
    return None


def tonight_view(now: datetime, *, aside: bool = True) -> TonightView:
    """What is on the wall for tonight (or, without baking hours today, for the next session)."""
    plan, session = freshness.wall(), session_at(now)
    common = {
        "now": now,
        "session": session,
        "proposal": freshness.proposal(),
        "working": freshness.being_worked_out(),
        "stale": freshness.is_stale(now, plan),
        "trouble": freshness.trouble(),
        "out": tuple(outages_now(now, before=session.end if session else now)),
        "ended_unsaid": unanswered(until=asked_until(now)).exists(),
    }
    if session is None or plan is None:
        return TonightView(**common, **_nothing(session, plan, common))
    return _listed(now, plan, session, common, aside)


def _nothing(session, plan, common) -> dict:
    if session is None:
        empty = ("There are no baking hours in the next two weeks.", "setup", "Set baking hours")
        return {"headline": "No evening to plan for.", "empty": empty}
    if common["trouble"]:
        return {"headline": "There is no plan yet."}
    if common["working"] or common["stale"]:
        return {"headline": "Sorting out the plan.", "bedtime_rest": "It takes a second or two."}
    empty = ("There is nothing to make yet.", "new_order", "Take an order")
    return {"headline": "Nothing to make yet.", "empty": empty}


def _listed(now, plan, session, common, aside) -> TonightView:
    own, told = the_studio(), plan.tonight or {}
    day = timezone.localdate(session.start)
    is_today = day == timezone.localdate(now)
    when = headlines.when_word(session, now)
    following = following_session(session) if aside else None
    start, end = days.midnight(day), days.midnight(day + timedelta(days=1))
    # Read once for the list and for what stands beside it.
    soon = days.jobs_between(start, max(end, looks_until(session, following)) if aside else end)
    jobs = days.of_day(soon, day)
    shades = days.shades()
    fresh = _told_about(told, session)
    runs = runs_of(jobs, now, shades, fresh)
    titles = _titles(plan, jobs)
    runs = [replace(run, why=whys.why_of(run, fresh, titles, now)) for run in runs]
    todo = [run for run in runs if run.open]
    stop = _stop(fresh, runs, now, when)
    view = TonightView(
        **common,
        is_today=is_today,
        when=when,
        headline=headlines.headline(runs, session, now, when),
        more=headlines.hours_line(session, runs, stop, fresh),
        stop=stop,
        so_far=tuple(run for run in runs if not run.open),
        late=_late(plan, titles),
        broken=bool(fresh.get("broken")),
        old=old_words(told.get("old"), titles, now),
        tight=() if fresh.get("broken") else tight_words(plan, now),
        strip=evening_of(session, runs, shades, stop=stop.at if stop and todo else None,
                         wash_up=own.wash_up_minutes),
        wash_up=_wash_up(session, own, runs, todo),
        pictures=_band_pictures(runs),
        runs=tuple(runs),
        touch=first_touches(plan, runs, now) if is_today else (),
        damp=_damp(runs, now, own),
        aside=aside_of(now, plan, session, following, own, soon) if aside else None,
    )  # fmt: skip
    shown, hidden = _groups(todo, when, fresh, titles, now)
    if view.broken:
        # Verdicts of a list that breaks a rule say nothing she could go by.
        view = replace(view, headline=headlines.when_broken(bool(view.proposal), common["working"]))
        shown, hidden = _plain_groups(todo)
    elif fresh.get("unjudged"):
        shown, hidden = _plain_groups(todo)  # taken a moment ago: what can wait is being worked out
    elif not todo and (placeless := freshness.placeless(plan)):
        view = replace(view, headline=headlines.without_place(placeless, common["working"]))
    strong, rest = headlines.bedtime(view)
    return replace(view, groups=shown, rest=hidden, bedtime=strong, bedtime_rest=rest)


def _damp(runs, now, own) -> tuple[str, ...]:
    """Air too damp for what is laid, and what goes into the dryer."""
    dryer = dryer_words(runs, open_setbacks(now).dryer) if own.dryer_trays else ()
    return (*damp_words(runs, now, own), *dryer)


def _told_about(told, session) -> dict:
    """What was worked out about this very session; nothing when it was another one."""
    until = told.get("until")
    if until and parse_datetime(until) == session.end.replace(second=0, microsecond=0):
        return told
    if until and abs(parse_datetime(until) - session.end) < timedelta(minutes=5):
        return told
    return {}


def runs_of(jobs, now, shades, told) -> list[Run]:
    """The day's runs in order, with verdicts and numbers."""
    verdicts, dry = told.get("tasks", {}), told.get("dry", {})
    amounts = days.icing_by_mix(jobs)

    def verdict_of(job):
        return VERDICTS.get(verdicts.get(job.key, {}).get("verdict"), "good")

    needed = set((told.get("stop") or {}).get("before", ()))
    apart = _first_after(jobs, needed)
    groups = merged(jobs, now, verdict_of, apart)
    runs = []
    for number, group in enumerate(groups, 1):
        run = run_of(group, now, shades, dry=dry, amounts=amounts, verdict=verdict_of(group[0]))
        latest = [verdicts[j.key]["latest"] for j in group if verdicts.get(j.key, {}).get("latest")]
        by = min(map(parse_datetime, latest), default=None)
        runs.append(_tagged(replace(run, number=number), by, told, now))
    runs = [_before_next(run, following) for run, following in zip_longest(runs, runs[1:])]
    places = [
        i for verdict, _, _ in GROUPS for i, run in enumerate(runs) if run.open and run.verdict == verdict
    ]
    if places:
        runs[places[0]] = replace(runs[places[0]], main=True)
    return runs


def _before_next(run, following) -> Run:
    """Her hands leave a run when the next begins, though its last minutes may run on by themselves."""
    if following is None or run.kind == "bake" or not run.start < following.start < run.end:
        return run
    left = round((run.end - following.start).total_seconds() / 60)
    minutes = max(5, run.minutes - left)
    text = run.text.replace(f"{words.length(run.minutes)}.", f"{words.length(minutes)}.", 1)
    return replace(run, end=following.start, minutes=minutes, text=text)


def _first_after(jobs, needed) -> set[str]:
    """The first job behind the stop line: no run reaches over it."""
    last = max((i for i, job in enumerate(jobs) if job.key in needed), default=None)
    return set() if last is None or last + 1 >= len(jobs) else {jobs[last + 1].key}


def _tagged(run, by, told, now) -> Run:
    if run.state == STARTED:  # her hands are in it: it stands first, whatever could have waited
        return replace(run, verdict="must", note="begun")
    if run.verdict == "must":
        return replace(run, by=words.clock(by) if by else "", note="" if by else "tonight")
    if run.verdict == "safe":
        return replace(run, note="to be safe")
    waits = (told.get("stop") or {}).get("waits", {})
    day = min((parse_datetime(waits[key]) for key in run.keys if key in waits), default=None)
    return replace(run, note=f"or {_short(day, now)}" if day else "or later")


def _short(day, now) -> str:
    near = words.named_day(day, now) == words.weekday(day)
    return words.short_day(day) if near else words.day_month(day).split(" ", 1)[1]


def _titles(plan, jobs) -> dict[str, str]:
    """Order titles by the planner's key, for orders the runs and their reasons speak of."""
    from bakery.orders.models import Order

    titles = {order.key: order.title for job in jobs for order in job.served}
    wanted = set(plan.plan.get("late", {})) | {
        (chain.get("otherwise") or {}).get("order")
        for chain in (plan.tonight or {}).get("chains", {}).values()
    }
    wanted |= {name for row in (plan.tonight or {}).get("old", ()) for name in row["for"]}
    missing = [int(key[1:]) for key in wanted - set(titles) if key]
    if missing:
        rows = Order.objects.filter(number__in=missing).values_list("number", "title")
        titles |= {f"o{number}": title for number, title in rows}
    return titles


def _stop(told, runs, now, when) -> Stop | None:
    """After the last run that is needed; nothing more may be needed at all."""
    stop = told.get("stop")
    if not stop:
        return None
    needed = set(stop["before"])
    last = next((run for run in reversed(runs) if run.open and needed & {job.key for job in run.jobs}), None)
    later = [run for run in runs if run.open and (last is None or run.number > last.number)]
    spare = headlines.spare_words(stop, now)
    numbers = words.listed(str(run.number) for run in later)
    waits = sorted(set(stop["waits"].values()))
    day = words.near_day(parse_datetime(waits[0]), now) if waits else ""
    wait = f"{numbers} then {'waits' if len(later) == 1 else 'wait'} for {day}" if later and day else ""
    text = "; ".join(part for part in (wait, spare) if part)
    text = words.capital(f"{text}.") if text else ""
    if last is None:
        return Stop(0, None, "You can stop now.", text)
    head = f"You can stop here, {words.clock(last.end)}."
    return Stop(last.number, last.end, head, text, stop.get("sure", True) or bool(stop["waits"]))


def _late(plan, titles) -> tuple[str, ...]:
    """Orders that the plan on the wall brings late, in words."""
    return tuple(
        f"{titles.get(key, 'An order')} would be ready {words.length(minutes)} late"
        for key, minutes in sorted(plan.plan.get("late", {}).items())
    )


def _wash_up(session, own, runs, todo):
    if not own.wash_up_minutes or not runs:
        return None
    at = session.end - timedelta(minutes=own.wash_up_minutes)
    return (words.clock(at), "or earlier", own.wash_up_minutes)


def _band_pictures(runs) -> tuple[dict, ...]:
    found = []
    for run in runs:
        for spec in run.cookies:
            finished = spec | {"stage": "done"}
            if finished not in found:
                found.append(finished)
    return tuple(found[:4])


def _plain_groups(todo):
    if not todo:
        return (), ()
    title = f"On the wall: {words.length(sum(run.minutes for run in todo))}"
    todo = [replace(run, verdict="bare", by="", note="as planned", main=False) for run in todo]
    first = Group("bare", "moon-hollow", title, "", tuple(todo[:MOST_LINES]))
    rest = Group("bare", "moon-hollow", "More on the wall", "", tuple(todo[MOST_LINES:]))
    return (first,), (rest,) if rest.runs else ()


def _groups(todo, when, told, titles, now):
    """The groups with at most eight lines between them; what is over goes behind "more"."""
    shown, hidden, room = [], [], MOST_LINES
    for verdict, sign, title in GROUPS:
        own = [run for run in todo if run.verdict == verdict]
        if not own:
            continue
        total = words.length(sum(run.minutes for run in own))
        note = headlines.group_note(verdict, own, told, titles, now)
        parts = own[: max(room, 0)], own[max(room, 0) :]
        room -= len(own)
        for part, into in zip(parts, (shown, hidden), strict=True):
            if part:
                into.append(Group(verdict, sign, f"{title.format(when=when)}: {total}", note, tuple(part)))
                note = ""
    return tuple(shown), tuple(hidden)


__all__ = ["DONE", "Group", "Stop", "TonightView", "runs_of", "session_at", "state_of", "tonight_view"]
