"""Two simulated months in an invented kitchen: `python benchmarks/two_months.py [--seeds 3] [--weeks 9]`.

Work takes as long as it likes, damp days dry slowly, evenings fall away through illness, the airbrush
breaks, and 7 evenings in 10 nobody says what was done. The same orders, the same luck, three bakers:

* one who says what went wrong with a press and takes the plan that is then proposed;
* one who keeps to the plan that was made when each order was booked, whatever happens: what is not on the
  evening's list she does only where a job on the list needs it;
* one who besides, after each list, makes up what she owes, the nearest hand-over first, and always knows
  exactly what was done: no paper plan does that for her.

Every order was promised: at its booking a plan had everyone on time; where the wished day did not fit, the
next that did was agreed.

All do the work of an evening in the order of their list, begin a job only when what it needs is done and
dry, do a forgotten forerunner first, and stop a quarter of an hour after the session at the latest.
Everything printed is measured in this run. Times are whole minutes; the world's luck depends on the seed and
the job alone, so that all bakers have the same.
"""

from __future__ import annotations

import argparse
import math
import random
import statistics
import sys
import time
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from bakery.craft.planning import measure, solve, verify
from bakery.craft.planning.repair import repair
from bakery.craft.work import Calendar, Fact, LineSpec, OrderSpec, Shop, build_problem, job_of_task, work_of

FIRST = datetime(2026, 10, 5, tzinfo=UTC)  # a Monday
DRYING = {
    "outline_set",
    "crusted",
    "firm",
    "base_dry",
    "wafer_dry",
    "dry_through",
    "transfer_dry",
    "mist_dry",
}
LOGGED, OVERRUN, SEEN, PATIENCE = 0.3, 15, 4, 15
WORK, DRY, WET = 0.18, 0.15, 1.6
"""Spread of work and of drying (logarithm), and how much longer drying takes on a damp day."""
HURTS = ("missed", "lateness", "stale")


@dataclass
class World:
    """Orders, hours and luck: the same for both bakers."""

    seed: int
    weeks: int
    shop: Shop = field(default_factory=Shop)

    def __post_init__(self):
        rng = random.Random(self.seed)
        self.days = [FIRST + timedelta(days=n) for n in range(self.weeks * 7)]
        wished = sorted((self._order(rng, n) for n in range(round(self.weeks * 2.6))), key=lambda row: row[0])
        self.orders = self._promised(wished)
        evenings = [day for day in self.days if self._hours(day)]
        self.ill = set()
        spells = max(1, self.weeks // 4)
        for spell in range(spells):  # one in each stretch of about a month, of one or two evenings
            part = evenings[len(evenings) * spell // spells : len(evenings) * (spell + 1) // spells]
            first = rng.randrange(3, len(part) - 3)
            self.ill |= set(part[first : first + rng.choice([1, 2])])
        breaks = rng.choice(self.days[10:-10])
        self.out = (breaks + timedelta(hours=18), breaks + timedelta(days=rng.choice([2, 3]), hours=18))
        self.wet = {day for day in self.days if rng.random() < 0.15}
        self.logged = {day for day in self.days if rng.random() < LOGGED}

    def _order(self, rng, number):
        span = self.weeks * 7
        due = self.days[0] + timedelta(days=8 + (span - 12) * number / (self.weeks * 2.6) + rng.random() * 2)
        due = due.replace(hour=rng.choice([10, 12, 15, 17]), minute=0)
        kind = rng.choice(["plain", "two_colour", "stencil", "stencil", "stencil_detail", "lettered"])
        line = LineSpec("l1", kind, kind, rng.choice([12, 18, 24, 24, 36]), designs=1,
                        colours=("white", "sage", "navy")[: 1 if kind == "plain" else 2])  # fmt: skip
        event = due + timedelta(hours=rng.choice([3, 5, 24])) if rng.random() < 0.6 else None
        booked = max(self.days[0], due - timedelta(days=rng.randint(7, 18))).replace(hour=9)
        return booked, OrderSpec(f"o{number + 1}", f"order {number + 1}", (line,), due, event)

    def _promised(self, wished):
        """(booked, order, plan on the wall after it): each order on the first day from the wished one on that
        leaves everyone on time, in a kitchen where all goes as planned.
        """
        found, specs, wall, calendar = [], [], {}, self.calendar()
        for booked, spec in wished:
            specs = [one for one in specs if one.hand_over > booked]
            for days in range(12):
                later = timedelta(days=days)
                asked = replace(
                    spec, hand_over=spec.hand_over + later, event=spec.event and spec.event + later
                )
                works = [work_of(one, self.shop) for one in (*specs, asked)]
                minutes = {job.id: self.padded(job) for work in works for job in work.jobs}
                facts = [Fact(name, "done", at, minutes[job_of_task(name)]) for name, at in wall.items()
                         if at <= booked and job_of_task(name) in minutes]  # fmt: skip
                problem = build_problem(works, calendar, now=booked, facts=facts, wall=wall, shop=self.shop)
                ids = {task.id for task in problem.tasks if task.free}
                known = {name: at for name, at in problem.wall.items() if name in ids and at >= problem.now}
                plan = repair(problem, known)
                if plan is not None and not plan.late and not plan.objective["stale"]:
                    starts = {n: problem.origin + timedelta(minutes=plan.starts[n]) for n in ids}
                    wall |= starts
                    specs.append(asked)
                    found.append((booked, asked, starts))
                    break
        return found

    @staticmethod
    def _hours(day):
        if day.weekday() == 5:
            return day.replace(hour=9), day.replace(hour=13)
        return (day.replace(hour=18, minute=30), day.replace(hour=22)) if day.weekday() < 4 else None

    def calendar(self, off=frozenset(), out=None):
        """Sessions of all days but those known to fall away, and outages that are known."""
        sessions = []
        for day in [*self.days, *(self.days[-1] + timedelta(days=n) for n in range(1, 15))]:
            hours = None if day in off else self._hours(day)
            if hours:
                sessions.append((*hours, 1, None))
        return Calendar(tuple(sessions), () if out is None else (("airbrush", 1, *out),))

    def luck(self, *names):
        """A standard normal number that depends on the seed and the names alone."""
        return random.Random(f"{self.seed} {names}").gauss(0, 1)

    def lasts(self, task, job):
        """Real minutes of a task."""
        share = task.minutes / max(1, self.padded(job))
        return max(5, round(job.minutes * min(1, share) * math.exp(WORK * self.luck(task.id))))

    @staticmethod
    def padded(job):
        return math.ceil(job.minutes * 1.15 / 5) * 5

    def dries(self, wait, at):
        """Real minutes until what was laid at a moment is ready."""
        if wait.kind not in DRYING:
            return wait.usual_minutes
        damp = WET if at.replace(hour=0, minute=0) in self.wet else 1
        return round(wait.usual_minutes * damp * math.exp(DRY * self.luck(wait.before, wait.kind)))


class Baker:
    """What is on her wall, what she knows, and what is really done."""

    def __init__(self, world, *, follows, makes_up=False):
        self.world, self.follows, self.makes_up = world, follows, makes_up
        self.specs, self.wall, self.facts, self.done = [], {}, {}, {}
        self.wet, self.off, self.out = {}, set(), None
        self.proposals, self.moved, self.seconds, self.left = [], [], [], []

    # --- the plan -------------------------------------------------------------------------------------------
    def works(self):
        found = []
        for spec in self.specs:
            work = work_of(spec, self.world.shop)
            if self.wet:
                waits = (replace(w, slow_minutes=max(w.slow_minutes, self._still(w)))
                         if w.before in self.wet else w for w in work.waits)  # fmt: skip
                work = replace(work, waits=tuple(waits))
            found.append(work)
        return found

    def _still(self, wait):
        fact = self.facts.get(wait.before)
        if fact is None or wait.kind not in DRYING:
            return 0
        return round((self.wet[wait.before] - fact.start).total_seconds() / 60) - fact.minutes

    def problem(self, now):
        facts = [fact for name, fact in self.facts.items() if fact.start <= now]
        return build_problem(self.works(), self.world.calendar(frozenset(self.off), self.out), now=now,
                             facts=facts, wall=self.wall, shop=self.world.shop)  # fmt: skip

    def replan(self, now, *, quiet=False):
        """Keep the wall while it holds; else propose what moves least, and take it."""
        self.specs = [spec for spec in self.specs if spec.hand_over > now - timedelta(days=2)
                      and f"{spec.id}.pack" not in self.done]  # fmt: skip
        if not self.specs:
            return
        problem = self.problem(now)
        ids = {task.id for task in problem.tasks if task.free}
        wall = {name: at for name, at in problem.wall.items() if name in ids and at >= problem.now}
        whole = ids == set(wall) and not verify(problem, wall)
        if whole and not any(measure(problem, wall)["objective"][name] for name in HURTS):
            return
        begun = time.perf_counter()
        plan = repair(problem, wall)
        self.seconds.append(time.perf_counter() - begun)
        if plan is None or plan.late:  # the closer look that follows in the background
            plan = solve(problem, seconds=1.5, hint=plan or wall)
        if not plan or not plan.starts:
            return
        moved = [
            name
            for name in wall
            if plan.starts[name] != wall[name] and _day(wall[name]) != _day(plan.starts[name])
        ]
        if (moved or not ids <= set(wall)) and not quiet:
            self.proposals.append(now)
            self.moved.append(len(moved))
        self.wall |= {name: problem.origin + timedelta(minutes=plan.starts[name]) for name in ids}

    # --- an evening -----------------------------------------------------------------------------------------
    def evening(self, day, hours):
        """Do what the list says as far as the world lets her; then say what was done, or nothing."""
        start, end = hours
        jobs = {job.id: job for spec in self.specs for job in work_of(spec, self.world.shop).jobs}
        waits: dict[str, list] = {}
        for spec in self.specs:
            for wait in work_of(spec, self.world.shop).waits:
                waits.setdefault(wait.after, []).append(wait)
        tasks = {task.id: task for task in self.problem(start).tasks}
        todo = [n for n, at in self.wall.items() if start <= at < end and n not in self.done and n in tasks]
        todo.sort(key=lambda n: self.wall[n])
        planned = list(todo)
        if self.makes_up:
            due = {spec.id: spec.hand_over for spec in self.specs}
            late = [n for n, at in self.wall.items() if at < start and n not in self.done and n in tasks
                    and job_of_task(n) in jobs]  # fmt: skip
            todo += sorted(late, key=lambda n: (due.get(n.split(".")[0], end), self.wall[n]))
        clock, queue, tried = start, list(todo), set()
        while (name := self._next(queue, tried, waits, tasks, clock, end)) is not None:
            task, job = tasks[name], jobs[job_of_task(name)]
            at = max(clock, self._ready(name, waits, tasks)[1])
            lasts = self.world.lasts(task, job)
            hands = min(lasts, round(lasts * task.attended / max(1, task.minutes)))
            queue, tried = [other for other in queue if other != name], tried | {name}
            if at + timedelta(minutes=hands) > end + timedelta(minutes=OVERRUN):
                continue
            self.done[name] = (at, at + timedelta(minutes=lasts))
            clock = at + timedelta(minutes=hands)
        for name in queue:
            blocked, ready = self._ready(name, waits, tasks)
            if not blocked and ready > end:
                self._not_dry(name, waits, ready)
        if day in self.world.logged or not self.follows:
            self._say(name for name in {*planned, *self.done})
        else:
            for name in planned:  # nobody says: it counts as done as planned
                self.facts.setdefault(name, Fact(name, "done", self.wall[name], tasks[name].minutes))

    def _next(self, queue, tried, waits, tasks, clock, end):
        """What she does now: the first of the list that can be done, a forgotten forerunner before it; where
        all must wait, what is ready first; None when nothing more can be done this evening.
        """
        broken = self.world.out[0] <= clock < self.world.out[1]
        soon = []
        for name in queue:
            for one in self._with_forerunners(name, waits, tasks):
                blocked, ready = self._ready(one, waits, tasks)
                if one in tried or blocked or ready > end or (broken and tasks[one].kind == "spray"):
                    continue
                if one not in queue:
                    queue.append(one)
                if ready <= clock + timedelta(minutes=PATIENCE):
                    return one
                soon.append((ready, one))
        return min(soon)[1] if soon else None

    def _with_forerunners(self, name, waits, tasks):
        """The task after everything before it that is not really done, first things first."""
        found, todo = [], [name]
        while todo:
            one = todo.pop()
            if one not in found and one in tasks and one not in self.done:
                found.append(one)
                todo += self._ready(one, waits, tasks)[0]
        return found[::-1]

    def _ready(self, name, waits, tasks):
        """(forerunners that are not really done, the moment from which it is really dry enough)."""
        blocked, ready = [], datetime.min.replace(tzinfo=UTC)
        parts = [n for n in tasks if job_of_task(n) == job_of_task(name) and n < name and n not in self.done]
        for wait in waits.get(job_of_task(name), ()):
            before = [n for n in tasks if job_of_task(n) == wait.before]
            missing = [n for n in before if n not in self.done]
            blocked += missing
            if before and not missing:
                ended = max(self.done[n][1] for n in before)
                ready = max(ready, ended + timedelta(minutes=self.world.dries(wait, ended)))
        return parts + blocked, ready

    def _not_dry(self, name, waits, ready):
        """She touches it, it is wet, she says so: the wait gets longer by the next look."""
        if self.follows:
            for wait in waits.get(job_of_task(name), ()):
                if wait.before in self.done and wait.kind in DRYING:
                    self.wet[wait.before] = ready

    def _say(self, names):
        for name in names:
            if name in self.done:
                start, end = self.done[name]
                self.facts[name] = Fact(name, "done", start, round((end - start).total_seconds() / 60))
            else:
                self.facts.pop(name, None)

    def look(self, day, hours):
        """At the bench she sees what was not done of tonight's orders and of those handed over soon; she says
        so.
        """
        mine = {n.split(".")[0] for n, at in self.wall.items() if hours[0] <= at < hours[1]}
        mine |= {spec.id for spec in self.specs if spec.hand_over < hours[1] + timedelta(days=SEEN)}
        wrong = [name for name in self.facts if name not in self.done and name.split(".")[0] in mine]
        for name in wrong:
            self.facts.pop(name)
        return bool(wrong)


def _day(minute):
    return minute // 1440


def play(world, *, follows, makes_up=False):
    """Two months of one baker."""
    baker = Baker(world, follows=follows, makes_up=makes_up)
    waiting = sorted(world.orders, key=lambda row: row[0])
    for day in world.days:
        morning = day.replace(hour=9)
        while waiting and waiting[0][0] <= morning:
            _, spec, starts = waiting.pop(0)
            baker.specs.append(spec)
            if follows:
                baker.replan(morning, quiet=True)
            else:
                baker.wall |= starts
        hours = world._hours(day)
        if follows:
            known = baker.out
            baker.out = world.out if world.out[0] <= day.replace(hour=18) < world.out[1] else None
            ill = day in world.ill and day not in baker.off
            if ill:
                baker.off.add(day)
            if hours and (ill or baker.out != known or baker.look(day, hours)):
                baker.replan(hours[0] - timedelta(minutes=30))
        if hours and day not in world.ill:
            baker.evening(day, hours)
        if follows:
            baker.replan(day.replace(hour=23))
    return baker


def told(world, baker):
    """(kept, late but before the event or without one, worthless, of)."""
    kept = late = lost = 0
    last = world.days[-1] + timedelta(days=1)
    orders = [spec for _, spec, _ in world.orders if spec.hand_over < last]
    for spec in orders:
        parts = [end for name, (_, end) in baker.done.items() if job_of_task(name) == f"{spec.id}.pack"]
        ready = max(parts, default=None)
        if ready is not None and ready <= spec.hand_over:
            kept += 1
        elif ready is not None and (spec.event is None or ready <= spec.event):
            late += 1
        else:
            lost += 1
    return kept, late, lost, len(orders)


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--seeds", type=int, default=3)
    parser.add_argument("--weeks", type=int, default=9)
    options = parser.parse_args()
    print(f"{options.weeks} weeks, {LOGGED:.0%} of evenings logged")
    head = "kept late lost"
    print("                          with proposals    first plan only   and makes up     ", end="")
    print("proposals  jobs moved  first answer s")
    print(f"seed  orders  ill  damp   {head}    {head}    {head}     a week     each        mean (most)")
    totals = []
    for seed in range(1, options.seeds + 1):
        world = World(seed, options.weeks)
        asks = play(world, follows=True)
        rows = [told(world, asks), told(world, play(world, follows=False)),
                told(world, play(world, follows=False, makes_up=True))]  # fmt: skip
        a_week, each = len(asks.proposals) / options.weeks, statistics.mean(asks.moved or [0])
        spent = f"{statistics.mean(asks.seconds or [0]):.2f} ({max(asks.seconds or [0]):.2f})"
        print(f"{seed:4}  {rows[0][3]:6}  {len(world.ill):3}  {len(world.wet):4}   {_three(rows)}"
              f"     {a_week:6.1f}     {each:4.1f}        {spent}", flush=True)  # fmt: skip
        totals.append(rows)
    sums = [[sum(rows[who][k] for rows in totals) for k in range(4)] for who in range(3)]
    print(f"all   {sums[0][3]:6}               {_three(sums)}")


def _three(rows) -> str:
    return "    ".join(f"{kept:4} {late:4} {lost:4}" for kept, late, lost, _ in rows)


if __name__ == "__main__":
    main()
