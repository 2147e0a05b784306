"""A problem made ready for the solvers: times in slots of `step` minutes, names as numbers.

Only free tasks (to do, not pinned) are numbered; pins, running and done work have become constants.
Starts and durations of free tasks lie on the grid; a fact may lie between slots, so it takes every slot
it touches. Nothing here decides anything, and `verify` does not use it.
"""

from __future__ import annotations

from dataclasses import dataclass

from . import bits
from .problem import DONE, HANDS


@dataclass(frozen=True, slots=True)
class Keep:
    """A hold the plan has a say in: from the end of free task `after`, or from slot `begin`.

    It lasts to the start of free task `until`, to slot `end`, or for `length` slots: whichever is first.
    """

    resource: str
    amount: int
    after: int | None
    begin: int
    until: int | None
    end: int | None
    length: int | None

    def span(self, starts, dur) -> tuple[int, int]:
        """First slot and slot after the last, given the starts of the free tasks."""
        begin = self.begin if self.after is None else starts[self.after] + dur[self.after]
        ends = [] if self.until is None else [starts[self.until]]
        if self.end is not None:
            ends.append(self.end)
        if self.length is not None:
            ends.append(begin + self.length)
        return begin, max(begin, min(ends))


class Grid:
    """The compiled problem. `lo` and `hi` are first and last start slots that calendar and facts allow."""

    def __init__(self, problem):
        self.problem, self.step = problem, problem.step
        self.tasks = [task for task in problem.tasks if task.free]
        self.ids = [task.id for task in self.tasks]
        self.index = {name: i for i, name in enumerate(self.ids)}
        self.fact = {
            task.id: (task.start, task.start + task.minutes) for task in problem.tasks if not task.free
        }
        self.n = len(self.tasks)
        self.dur = [task.minutes // self.step for task in self.tasks]
        self.att = [task.attended // self.step for task in self.tasks]
        self.hands = [task.hands if task.attended else 0 for task in self.tasks]
        self.uses = [[(name, amount) for name, amount in task.uses.items() if amount] for task in self.tasks]
        self.now = self.up(problem.now)
        self.windows = [
            (
                max(0, self.up(max(window.start, problem.now))),
                self.down(min(window.end, problem.horizon)),
                window,
            )
            for window in problem.windows
        ]
        self.close = max([end for _, end, _ in self.windows], default=0)
        self._lags()
        self._keeps()
        self.slots = 1 + max(
            [self.close + max((keep.length or 0 for keep in self.keeps), default=0), self.now]
            + [keep.end for keep in self.keeps if keep.end is not None]
        )
        self.base = self._base()
        self._domains()

    def up(self, minutes: int) -> int:
        """Minutes to slots, rounded up."""
        return -(-minutes // self.step)

    def down(self, minutes: int) -> int:
        """Minutes to slots, rounded down."""
        return minutes // self.step

    def _lags(self):
        """`links`: (i, j, least, most) with least <= start(j) - start(i) <= most slots, or no most."""
        self.links, self.why = [], {}
        self.succ = [[] for _ in range(self.n)]
        self.pred = [[] for _ in range(self.n)]
        self.from_fact, self.to_fact = [], []
        for lag in self.problem.lags:
            i, j = self.index.get(lag.before), self.index.get(lag.after)
            most = None if lag.max is None else lag.max
            if i is not None and j is not None:
                gap = self.dur[i] + self.up(lag.min)
                link = (i, j, gap, None if most is None else self.dur[i] + self.down(most))
                self.links.append(link)
                self.succ[i].append(link)
                self.pred[j].append(link)
                if gap >= self.why.get((i, j), (-1, None))[0]:
                    self.why[i, j] = (gap, lag)
            elif j is not None:
                end = self.fact[lag.before][1]
                self.from_fact.append(
                    (j, self.up(end + lag.min), None if most is None else self.down(end + most), lag)
                )
            elif i is not None:
                start = self.fact[lag.after][0]
                latest = self.down(start - lag.min) - self.dur[i]
                earliest = None if most is None else self.up(start - most) - self.dur[i]
                self.to_fact.append((i, earliest, latest, lag))

    def _keeps(self):
        """Holds that depend on the plan; the others become part of `base`."""
        self.keeps, self.fixed_holds = [], []
        for hold in self.problem.holds:
            if not hold.amount:
                continue
            after, until = self.index.get(hold.after), self.index.get(hold.until)
            until_fact = self.fact.get(hold.until)
            length = None if hold.minutes is None else self.up(hold.minutes)
            if after is None:
                begin = self.fact[hold.after][1]
                ends = [] if until_fact is None else [until_fact[0]]
                if hold.minutes is not None:
                    ends.append(begin + hold.minutes)
                if until is None:
                    self.fixed_holds.append((hold.resource, hold.amount, begin, min(ends)))
                    continue
                end = self.up(min(ends)) if ends else None
                keep = Keep(
                    hold.resource, hold.amount, None, max(self.now, self.down(begin)), until, end, None
                )
                if end is not None and end <= keep.begin:
                    continue
            else:
                end = None if until_fact is None else self.up(until_fact[0])
                keep = Keep(hold.resource, hold.amount, after, 0, until, end, length)
            self.keeps.append(keep)
        self.keeps_from = [[] for _ in range(self.n)]
        self.keeps_to = [[] for _ in range(self.n)]
        for keep in self.keeps:
            if keep.after is not None:
                self.keeps_from[keep.after].append(keep)
            if keep.until is not None:
                self.keeps_to[keep.until].append(keep)

    def _base(self):
        """What is left of each resource in each slot once facts and outages have theirs; never below 0."""
        import numpy as np

        base = {
            name: np.full(self.slots, amount, dtype=np.int64)
            for name, amount in self.problem.resources.items()
        }
        base[HANDS] = np.zeros(self.slots, dtype=np.int64)
        for start, end, window in self.windows:
            if start < end:
                base[HANDS][start:end] = window.hands

        def take(name, amount, start, end):
            start, end = max(0, self.down(start)), max(0, self.up(end))
            if start < end:
                base[name][start:end] -= amount

        for out in self.problem.blocked:
            take(out.resource, out.amount, out.start, out.end)
        for task in self.problem.tasks:
            if task.free or task.state == DONE:
                continue
            take(HANDS, task.hands, task.start, task.start + task.attended)
            for name, amount in task.uses.items():
                take(name, amount, task.start, task.start + task.minutes)
        for name, amount, start, end in self.fixed_holds:
            take(name, amount, start, end)
        for left in base.values():
            np.maximum(left, 0, out=left)
        return base

    def _domains(self):
        """`dom`: the start slots of each free task that windows, facts and outages leave open."""
        levels, cache = {}, {}

        def level(name, amount):
            if (name, amount) not in levels:
                levels[name, amount] = at_least(self.base[name], amount)
            return levels[name, amount]

        self.dom = []
        for i in range(self.n):
            key = (self.dur[i], self.att[i], self.hands[i], tuple(sorted(self.uses[i])))
            if key not in cache:
                slots = 0
                for start, end, window in self.windows:
                    if window.longest is None or self.dur[i] * self.step <= window.longest:
                        slots |= bits.span(start, end - self.dur[i] + 1)
                if self.hands[i]:
                    slots &= bits.runs(level(HANDS, self.hands[i]), self.att[i])
                for name, amount in self.uses[i]:
                    slots &= bits.runs(level(name, amount), self.dur[i])
                cache[key] = slots
            self.dom.append(cache[key])
        self.lo, self.hi = [self.now] * self.n, [self.slots] * self.n
        for j, least, most, _ in self.from_fact:
            self.lo[j] = max(self.lo[j], least)
            if most is not None:
                self.hi[j] = min(self.hi[j], most)
        for i, least, most, _ in self.to_fact:
            self.hi[i] = min(self.hi[i], most)
            if least is not None:
                self.lo[i] = max(self.lo[i], least)

    def due(self, order) -> int:
        """Last end slot at which a hard order is neither late nor missed."""
        return self.down(order.pickup if order.event is None else min(order.pickup, order.event))

    def starts_of(self, slots) -> dict[str, int]:
        """Start slots of the free tasks as the starts of a plan, pins included."""
        starts = {}
        for task in self.problem.tasks:
            if task.free:
                starts[task.id] = slots[self.index[task.id]] * self.step
            elif task.state == "todo":
                starts[task.id] = task.start
        return starts

    def slots_of(self, starts) -> list[int]:
        """Starts of a plan as start slots of the free tasks."""
        return [starts[name] // self.step for name in self.ids]


def at_least(left, amount) -> int:
    """The slots in which an array of amounts left has at least `amount`, as a set of bits."""
    import numpy as np

    return int.from_bytes(np.packbits(left >= amount, bitorder="little").tobytes(), "little")
