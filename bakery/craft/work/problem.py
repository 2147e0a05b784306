"""From the works of many orders to one planning problem: padded, rounded once, cut to fit windows."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from math import ceil

from ..planning.problem import Hold, Lag, Order, Problem, Task
from .calendar import Calendar, Fact
from .crowded import make_room
from .facts import implied_facts
from .grid import Clock, blocked_of, longest_stretch, windows_of
from .kinds import shop_minutes
from .pieces import Job, Work
from .spec import Shop
from .stretching import possible, stretched

__all__ = ["build_problem", "job_of_task", "resources_of"]

PART = "/"
PLENTY = 999
BEYOND = timedelta(days=3)
"""How far the horizon reaches past the last window."""


def job_of_task(task_id: str) -> str:
    """The job a task belongs to: a job too long for every window is several tasks, `ID/1of2`, `ID/2of2`."""
    return task_id.split(PART, 1)[0]


def resources_of(shop: Shop, works: Sequence[Work]) -> dict[str, int]:
    """Capacities: oven sheets, rack places, airbrushes, dryer places, copies of each stencil."""
    found = {"oven": shop.sheets_in_oven, "rack": shop.rack_places, "airbrush": max(1, shop.airbrushes)}
    if shop.dryer:
        found["dryer"] = shop.dryer
    for work in works:
        for job in work.jobs:
            for name in job.uses:
                if name.startswith("stencil/"):
                    copies = shop.stencil_copies.get(name.removeprefix("stencil/"), 1)
                    found[name] = max(1, copies)
                elif name.startswith("stock/"):
                    found[name] = PLENTY  # used by all at once, or out for all
                found.setdefault(name, 1)
    return found


def build_problem(
    works: Sequence[Work],
    calendar: Calendar,
    *,
    now: datetime,
    facts: Sequence[Fact] = (),
    wall: Mapping[str, datetime] | None = None,
    padding: float = 1.15,
    step: int = 5,
    shop: Shop | None = None,
) -> Problem:
    """The planning problem of these orders.

    Parameters
    ----------
    works : work of every order that is to be planned
    calendar : sessions (with waking hours as sessions of `longest` 10) and outages
    now : the moment of planning; nothing new starts before it
    facts : what runs or was done, by job id (or by task id for a part of a job)
    wall : starts of the plan on the wall, by task id
    padding : factor on work, until her own times are learnt
    step : minutes of the grid
    shop : the kitchen; that of the first work where None

    Where the work does not fit into the sessions known, their last weeks are repeated (`stretched`): work
    that is late is planned into hours like hers. A longest wait from work done or running no longer binds:
    `too_old` says what has to be made again. Waits are taken at their slow-night figure. Durations and waits
    are rounded up to the step once, hand-overs and window ends down. Raises ValueError for a naive time or a
    padding below 1.
    """
    if now.tzinfo is None:
        raise ValueError("Now needs a time zone.")
    if padding < 1:
        raise ValueError("Padding is at least 1: work takes no less than it takes.")
    return _Builder(list(works), calendar, now, facts, wall or {}, padding, step, shop).problem()


def min_of(one: int | None, other: int | None) -> int | None:
    """The smaller of two limits, of which None is no limit."""
    return other if one is None else one if other is None else min(one, other)


class _Builder:
    """One problem in the making."""

    def __init__(self, works, calendar, now, facts, wall, padding, step, shop):
        self.works, self.padding, self.wall_at = works, padding, wall
        self.shop = shop or (works[0].shop if works else Shop())
        self.clock = Clock(now, step)
        self.now = self.clock.up(now)
        known = calendar
        calendar = stretched(
            calendar,
            works,
            now=now,
            padding=padding,
            rack_places=self.shop.rack_places,
            wash_up=self.shop.wash_up_minutes,
            done={fact.job_id for fact in facts},
        )
        self.overfull = calendar is not known
        self.windows = windows_of(calendar, self.clock, self.now)
        self.resources = resources_of(self.shop, works)
        specs = [work.order for work in works]
        self.blocked = tuple(
            b
            for b in blocked_of(calendar, specs, self.shop, self.clock, self.windows)
            if b.resource == "hands" or b.resource in self.resources
        )
        # Bench work is not for the odd ten minutes of a waking hour: it needs a session, however short it is.
        # Only its span is stretched for that; her hands are free again as soon as it is done.
        quick = max((w.longest for w in self.windows if w.longest is not None), default=0)
        self.least = self.clock.lasts(quick + step) if quick else step
        self.stretches = longest_stretch(self.windows, self.blocked, self.now)
        proper = [w for w in self.windows if w.longest is None]
        self.gap = max((b.end - a.start for a, b in pairwise(proper)), default=0)
        self.leaves = {work.order.id: self.clock.down(work.order.leaves) for work in works}
        self.facts = implied_facts(works, {fact.job_id: fact for fact in facts})
        self.parts: dict[str, tuple[str, ...]] = {}
        self.fixed: set[str] = set()
        self.tasks: list[Task] = []

    def problem(self) -> Problem:
        """Put everything together."""
        for work in self.works:
            self._tasks(work)
        known = {task.id for task in self.tasks}
        self.fixed = {task.id for task in self.tasks if task.state != "todo"}
        holds, horizon = self._holds(), self._horizon()
        resources, blocked = make_room(
            self.resources,
            self.blocked,
            self.tasks,
            holds,
            now=self.now,
            horizon=horizon,
            step=self.clock.step,
        )
        wall = self._wall(known)
        found = Problem(
            origin=self.clock.origin,
            step=self.clock.step,
            now=self.now,
            horizon=horizon,
            windows=self.windows,
            resources=resources,
            blocked=blocked,
            tasks=tuple(self.tasks),
            lags=tuple(self._lags()),
            holds=tuple(holds),
            orders=tuple(self._order(work) for work in self.works),
            wall=wall,
        )
        return possible(found) if self.overfull else found

    def _wall(self, known: set[str]) -> dict[str, int]:
        """Places on the wall; what is cut otherwise than it was begins where it did, part after part."""
        wall = {name: self.clock.up(when) for name, when in self.wall_at.items() if name in known}
        was: dict[str, datetime] = {}
        for name, when in self.wall_at.items():
            if name not in known:
                base = job_of_task(name)
                was[base] = min(when, was.get(base, when))
        minutes = {task.id: task.minutes for task in self.tasks}
        for base, names in self.parts.items():
            if base in was and not wall.keys() & set(names):
                at = self.clock.up(was[base])
                for name in names:
                    wall[name] = at
                    at += minutes[name]
        return wall

    def _tasks(self, work: Work):
        for past in work.past:
            if past.ended is not None or past.job.id == work.finish:
                self._done(past.job, past.ended)
        for job in work.jobs:
            if job.planned:
                self._task(job, min(self.leaves[name] for name in self._orders(job)))

    def _orders(self, job: Job) -> tuple[str, ...]:
        """The orders a job serves; of a shared job those that are still to be made."""
        return tuple(name for name in job.orders if name in self.leaves) or (job.order,)

    def _done(self, job: Job, ended: datetime | None):
        """Work done before the order came in: its end is all that matters."""
        end = self.now if ended is None else min(self.now, self.clock.exact(ended))
        self.parts[job.id] = (job.id,)
        self.tasks.append(
            Task(
                job.id,
                job.kind,
                (job.order,),
                job.minutes,
                job.attended,
                state="done",
                start=end - job.minutes,
            )
        )

    def _task(self, job: Job, limit: int):
        fact = self.facts.get(job.id)
        if fact is not None:
            self._fact(job, job.id, fact)
            self.parts[job.id] = (job.id,)
            return
        minutes, attended = self._padded(job.minutes, job.attended, quick=job.kind in ("freeze", "thaw"))
        count = self._count(job, minutes, limit)
        if count == 1:
            names = (job.id,)
        else:
            names = tuple(f"{job.id}{PART}{i}of{count}" for i in range(1, count + 1))
            extra = shop_minutes(self.shop, "split_spray" if job.kind == "spray" else "split")
            minutes, attended = self._padded(
                *((whole + (count - 1) * extra) / count for whole in (job.minutes, job.attended))
            )
        self.parts[job.id] = names
        for name in names:
            if name in self.facts:
                self._fact(job, name, self.facts[name])
            else:
                self.tasks.append(
                    Task(name, job.kind, self._orders(job), minutes, attended, job.hands, dict(job.uses))
                )

    def _padded(self, minutes: float, attended: float, *, quick: bool = False) -> tuple[int, int]:
        """Work padded, the rest (the oven's own minutes) as it is; each rounded up once.

        What is `quick` is done in any waking hour.
        """
        by_hand = attended * self.padding
        whole = max(self.clock.step, self.clock.lasts(by_hand + (minutes - attended)))
        return whole if quick else max(whole, self.least), min(whole, self.clock.lasts(by_hand))

    def _fact(self, job: Job, name: str, fact: Fact):
        start = self.clock.exact(fact.start)
        minutes = max(0, fact.minutes)
        if fact.state == "done":
            minutes = max(0, min(minutes, self.now - start))
            start = min(start, self.now)
        attended = min(minutes, job.attended or minutes)
        self.tasks.append(
            Task(
                name,
                job.kind,
                self._orders(job),
                minutes,
                attended,
                job.hands,
                dict(job.uses),
                fact.state,
                start,
            )
        )

    def _count(self, job: Job, minutes: int, limit: int) -> int:
        """Into how many equal parts a job must be cut so that some window before the hand-over holds each."""
        known = self._known_count(job.id)
        if known:
            return known
        before = [length for end, length in self.stretches if end - length < limit]
        room = max(before or [length for _, length in self.stretches] or [minutes])
        if minutes <= room or room < 2 * self.clock.step:
            return 1
        extra = shop_minutes(self.shop, "split_spray" if job.kind == "spray" else "split")
        for count in range(2, ceil(minutes / self.clock.step) + 1):
            parts = self._padded(
                *((whole + (count - 1) * extra) / count for whole in (job.minutes, job.attended))
            )
            if parts[0] <= room:
                return count
        return 1

    def _known_count(self, job_id: str) -> int:
        """A job of which a part was done or started stays cut as it was."""
        for name in self.facts:
            if name.startswith(job_id + PART):
                count = name.rpartition("of")[2]
                if count.isdigit() and int(count) > 1:
                    return int(count)
        return 0

    def _lags(self):
        best: dict[tuple[str, str], Lag] = {}
        for names in self.parts.values():
            for before, after in pairwise(names):
                best[before, after] = Lag(before, after, 0, None, "one part after the other")
        for work in self.works:
            for wait in work.waits:
                if wait.before not in self.parts or wait.after not in self.parts:
                    continue
                key = (self.parts[wait.before][-1], self.parts[wait.after][0])
                least = self.clock.lasts(wait.slow_minutes)
                most, known = self._most(wait, least, key[0]), best.get(key)
                if known is not None:
                    # Two works may speak of the same pair when they share a job: both must be kept.
                    least, most = max(least, known.min), min_of(most, known.max)
                    most = None if most is None else max(most, least)
                best[key] = Lag(*key, least, most, wait.why)
        return best.values()

    def _most(self, wait, least: int, before: str) -> int | None:
        """The longest wait allowed, but never one that her hours or the past make impossible."""
        if wait.max_minutes is None or before in self.fixed:
            return None
        return max(least, self.clock.lasts(wait.max_minutes), 0 if wait.strict else self.gap)

    def _holds(self):
        most: dict[tuple, int] = defaultdict(int)
        for work in self.works:
            for place in work.places:
                if place.after not in self.parts or (place.until and place.until not in self.parts):
                    continue
                after = self.parts[place.after][-1]
                until = self.parts[place.until][0] if place.until else None
                minutes = None if place.minutes is None else self.clock.lasts(place.minutes)
                most[place.resource, after, until, minutes] += place.amount
        return [
            Hold(resource, amount, after, until, minutes)
            for (resource, after, until, minutes), amount in most.items()
        ]

    def _order(self, work: Work) -> Order:
        spec = work.order
        return Order(
            spec.id,
            pickup=self.clock.down(spec.leaves),
            event=None if spec.too_late is None else self.clock.down(spec.too_late),
            finish=self.parts[work.finish][-1],
            bakes=tuple(self.parts[name][-1] for name in work.bakes if name in self.parts),
            keeps=max(0, work.shop.keeps_days * 1440 - work.aged_minutes),
            spare=work.shop.spare_time,
            weight=spec.weight,
            soft=spec.soft,
        )

    def _horizon(self) -> int:
        ends = [window.end for window in self.windows] + [self.now]
        return max(ends) + self.clock.lasts(BEYOND / timedelta(minutes=1))
