"""What cannot wait tonight, with proof; the least there is to do; whether she can stop now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from .chain import reasons
from .clock import Clock
from .grid import Grid
from .hard import NO, UNKNOWN, YES, Hard
from .plan import Plan, plan_to_json
from .solver import solve
from .verify import verify

MUST, CAN_WAIT, UNDECIDED = "must", "can_wait", "undecided"
AT_ONCE = 0.3  # seconds for verdicts and least minutes before latest starts are looked for


@dataclass(frozen=True, slots=True)
class TaskVerdict:
    """`must` and `can_wait` are proved; `latest_start` (minutes) only where it is proved, else None."""

    verdict: str
    latest_start: int | None = None
    proved: bool = False
    because: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Least:
    """Attended minutes before tonight's end in any good plan: at least `value`, exactly if `proved`."""

    value: int
    proved: bool


@dataclass(frozen=True, slots=True)
class Tonight:
    """Verdicts on all that could start before `until` (minutes after the origin)."""

    until: int
    tasks: Mapping[str, TaskVerdict]
    least_minutes: Least
    plan: Plan | None = None

    def __post_init__(self):
        object.__setattr__(self, "tasks", MappingProxyType(dict(self.tasks)))


@dataclass(frozen=True, slots=True)
class Stop:
    """May she stop now? `plan` (when yes) has nothing left to start before tonight's end, pins apart."""

    answer: str
    plan: Plan | None = None
    least_minutes: Least = field(default_factory=lambda: Least(0, False))


def end_of_tonight(problem) -> int:
    """The end of the first window without `longest` that ends after now; the horizon when there is none."""
    ends = [one.end for one in problem.windows if one.longest is None and one.end > problem.now]
    return min(ends, default=problem.horizon)


def tonight(problem, *, plan=None, until=None, seconds=1.0, seed=1, workers=2, latest=True) -> Tonight:
    """Say for every task that could start tonight whether it must, can wait, or was not decided in time.

    Parameters
    ----------
    plan : Plan or None
        The plan of record, taken as the best known when it breaks no rule; else one is made.
    until : int or None
        End of tonight in minutes; by default `end_of_tonight`.
    seconds : float
        Limit [s], shared by all proofs.
    latest : bool
        Also look for the latest start of tasks whose verdict does not need it. Without, the answer is there
        within `AT_ONCE` seconds (or `seconds`, when that is less), with what is open by then undecided.

    Returns
    -------
    Tonight
        Where no plan is known at all, every verdict is undecided.
    """
    until = end_of_tonight(problem) if until is None else until
    clock = Clock(seconds)
    best = _best(problem, plan, seconds, seed, workers)
    if best is None:
        return _nothing_known(problem, until)
    evening = Evening(Hard(problem, best, seed=seed, workers=workers), until, clock.part(1.0, AT_ONCE))
    evening.decide()
    least = evening.least()
    if latest:
        evening.clock = clock
        if evening.open():
            evening.decide()
        if not least.proved:
            least = evening.least()
        evening.find_latest()
    return Tonight(until, evening.verdicts(), least, best)


def latest_starts(problem, *, plan=None, until=None, seconds=20.0, seed=1, workers=2) -> Tonight:
    """As `tonight` for all work up to `until` (by default the horizon), without the question of the least.

    Latest starts are looked for in the order of urgency as long as the seconds last.
    """
    until = problem.horizon if until is None else until
    clock = Clock(seconds)
    best = _best(problem, plan, seconds / 2, seed, workers)
    if best is None:
        return _nothing_known(problem, until)
    evening = Evening(Hard(problem, best, seed=seed, workers=workers), until, clock)
    evening.find_latest()
    return Tonight(until, evening.verdicts(), Least(evening.pinned_minutes(), False), best)


def may_stop(problem, *, plan=None, until=None, seconds=0.2, seed=1, workers=2) -> Stop:
    """Say whether nothing more has to start before tonight's end: yes (a plan), no (proved), unknown."""
    until = end_of_tonight(problem) if until is None else until
    clock = Clock(seconds)
    best = _best(problem, plan, seconds, seed, workers)
    if best is None:
        return Stop(UNKNOWN)
    evening = Evening(Hard(problem, best, seed=seed, workers=workers), until, clock)
    answer, slots = evening.stop_now()
    if answer == YES:
        return Stop(YES, evening.plan_of(slots), Least(evening.pinned_minutes(), True))
    least = evening.least(search=False)
    return Stop(answer, None, least)


def _best(problem, plan, seconds, seed, workers):
    if plan is not None and plan.starts and not verify(problem, plan.starts):
        return plan
    found = solve(
        problem, seconds=seconds, seed=seed, workers=workers, stages=("missed", "lateness", "soft", "stale")
    )
    return found if found else None


def _nothing_known(problem, until):
    grid = Grid(problem)
    tasks = {
        task.id: TaskVerdict(UNDECIDED) for i, task in enumerate(grid.tasks) if grid.lo[i] * grid.step < until
    }
    tasks |= {one.id: TaskVerdict(UNDECIDED) for one in problem.tasks if one.pinned and one.state == "todo"}
    return Tonight(until, tasks, Least(0, False), None)


class Evening:
    """The questions of one evening on the hard problem `hard`, ending at `until` minutes."""

    def __init__(self, hard, until, clock):
        self.hard, self.grid, self.until, self.clock = hard, hard.grid, until, clock
        self.edge = self.grid.up(until)
        self.candidates = [i for i in range(self.grid.n) if hard.lo[i] < self.edge]
        self.pins = [one for one in hard.problem.tasks if one.pinned and one.state == "todo"]
        self.most = dict(enumerate(hard.hi))  # proved upper bounds on starts
        self.shown = {}  # best start seen in any plan, with that plan
        self._seen = 0
        self._look()

    def _look(self):
        """Take note of what new witnesses show."""
        for slots in self.hard.witnesses[self._seen :]:
            for i in self.candidates:
                if i not in self.shown or slots[i] > self.shown[i][0]:
                    self.shown[i] = (slots[i], slots)
        self._seen = len(self.hard.witnesses)

    def open(self):
        """Candidates of which neither must nor can wait is known."""
        return [i for i in self.candidates if self.shown[i][0] < self.edge <= self.most[i]]

    def decide(self):
        """Settle the verdicts, cheap witnesses and proofs first."""
        if not self.open():
            return
        self.hard.place({})
        self._look()
        self.hard.place(dict.fromkeys(self.open(), (self.edge, None)))
        self._look()
        for i in sorted(self.open(), key=lambda i: -self.most[i]):
            if self.shown[i][0] < self.edge:
                self.hard.place({i: (self.edge, None)}, front=(i,), rounds=3)
                self._look()
        # The most urgent first, none of them at the cost of all others.
        left = sorted(self.open(), key=lambda i: (self.most[i], i))
        for k, i in enumerate(left):
            if self.shown[i][0] < self.edge:
                self._prove(i, self.clock.part(min(1.0, 2 / (len(left) - k))))

    def _prove(self, i, clock):
        """Settle one task by search: its own orders, their neighbours, everything."""
        changes = {i: (self.edge, None)}
        for count in (0, 6, None):
            if clock.over():
                return
            only = None if count is None else self.hard.neighbours(i, count)
            if only is not None and len(only) == self.grid.n:
                continue
            answer, _ = self.hard.ask(changes, clock.part(0.5), only=only)
            if (
                answer == UNKNOWN
                and only is not None
                and self.hard.near(i, self.edge, count, clock.part(0.3, 0.3))
            ):
                answer = YES
            self._look()
            if answer == NO:
                self.most[i] = min(self.most[i], self.edge - 1)
            if answer != UNKNOWN:
                return

    def find_latest(self):
        """Close the gap between the latest start seen and the latest possible, the most urgent first."""
        urgent = sorted(self.candidates, key=lambda i: (self.most[i], i))
        for count, near in ((0, True), (6, True), (None, False)):
            for i in urgent:
                if self.clock.over():
                    return
                if self.shown[i][0] < self.most[i]:
                    self._close(i, count, near)

    def _close(self, i, count, near):
        """Look for the latest start of task i with `count` neighbouring orders (None: with everything).

        With `near`, also for a plan in which only those orders stand elsewhere.
        """
        only = None if count is None else self.hard.neighbours(i, count)
        if only is not None and len(only) == self.grid.n:
            return
        _, upper = self.hard.most(i, self.shown[i][0], self.clock.part(0.3), only=only)
        self._look()
        self.most[i] = max(self.shown[i][0], min(self.most[i], upper))
        if near and self.shown[i][0] < self.most[i]:
            self.hard.near(i, self.shown[i][0] + 1, count, self.clock.part(0.2, 0.3), most=True)
            self._look()

    def verdicts(self) -> dict[str, TaskVerdict]:
        """What is known now."""
        found = {}
        for i in self.candidates:
            seen, slots = self.shown[i]
            verdict = CAN_WAIT if seen >= self.edge else MUST if self.most[i] < self.edge else UNDECIDED
            latest, because = None, ()
            if seen == self.most[i]:
                latest = seen * self.grid.step
                because = reasons(self.grid, slots, i, self.hard)
            found[self.grid.ids[i]] = TaskVerdict(verdict, latest, verdict != UNDECIDED, because)
        for one in self.pins:
            verdict = MUST if one.start < self.until else CAN_WAIT
            found[one.id] = TaskVerdict(verdict, one.start, True, ("fixed by you",))
        return found

    def pinned_minutes(self):
        """Attended minutes of pins that start before tonight's end."""
        return sum(one.attended for one in self.pins if one.start < self.until)

    def _minutes(self, slots):
        work = sum(self.grid.att[i] for i in self.candidates if slots[i] < self.edge)
        return work * self.grid.step + self.pinned_minutes()

    def least(self, *, search=True) -> Least:
        """The fewest attended minutes before tonight's end over all good plans."""
        musts = [i for i in self.candidates if self.most[i] < self.edge]
        low = sum(self.grid.att[i] for i in musts) * self.grid.step + self.pinned_minutes()
        high = min(self._minutes(slots) for slots in self.hard.witnesses)
        if low < high:
            free = [i for i in self.candidates if self.most[i] >= self.edge]
            slots = self.hard.place(dict.fromkeys(free, (self.edge, None)))
            self._look()
            if slots is not None:
                high = min(high, self._minutes(slots))
        if low < high and search and not self.clock.over():
            low, high = self._search_least(low, high)
        return Least(low, low == high)

    def _search_least(self, low, high):
        hard, grid = self.hard, self.grid
        model, _ = hard.model(hard.lo, [min(a, self.most[i]) for i, a in enumerate(hard.hi)])
        total = self.pinned_minutes()
        for i in self.candidates:
            if self.most[i] < self.edge:
                total += grid.att[i] * grid.step
            elif grid.att[i]:
                tonight = model.model.new_bool_var("")
                model.model.add(model.start[i] >= self.edge).only_enforce_if(~tonight)
                total += grid.att[i] * grid.step * tonight
        if isinstance(total, int):
            return low, high
        model.model.minimize(total)
        model.hint(min(hard.witnesses, key=self._minutes))
        _, slots, bound = self.clock.run(model, 0.6, seed=hard.seed, workers=hard.workers)
        if slots is not None and hard.add(slots):
            self._look()
            high = min(high, self._minutes(slots))
        if bound is not None and abs(bound) < 1e12:
            low = max(low, min(high, int(bound + grid.step - 1e-6) // grid.step * grid.step))
        return low, high

    def stop_now(self):
        """Is there a good plan in which nothing (pins apart) starts before tonight's end?"""
        if any(self.most[i] < self.edge for i in self.candidates):
            return NO, None
        for slots in self.hard.witnesses:
            if all(slots[i] >= self.edge for i in self.candidates):
                return YES, slots
        changes = dict.fromkeys(range(self.grid.n), (self.edge, None))
        slots = self.hard.place(changes)
        if slots is not None:
            return YES, slots
        return self.hard.ask(changes, self.clock)

    def plan_of(self, slots) -> Plan:
        """Slots as a checked plan."""
        from .backward import checked

        return checked(self.grid, slots)


def tonight_to_json(answer: Tonight) -> dict:
    """Return the JSON form of an answer."""
    return {
        "until": answer.until,
        "tasks": {
            name: {
                "verdict": one.verdict,
                "latest_start": one.latest_start,
                "proved": one.proved,
                "because": list(one.because),
            }
            for name, one in answer.tasks.items()
        },
        "least_minutes": {"value": answer.least_minutes.value, "proved": answer.least_minutes.proved},
    }


def stop_to_json(answer: Stop) -> dict:
    """Return the JSON form of an answer."""
    return {"answer": answer.answer, "plan": plan_to_json(answer.plan)}
