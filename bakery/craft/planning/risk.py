"""How surely a plan holds: the plan played many times with work and drying that take as long as they like.

Right-shift in plan order: every job keeps its place in line and starts when planned or, when that is not
yet possible, as soon as its waits, hands and places allow; work that no longer fits into its session moves
to the next one that is long enough. Times are lognormal round the nominal ones.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from .problem import DONE, HANDS, RUNNING


@dataclass(frozen=True, slots=True)
class Chances:
    """Share of samples in which each hard order is on time (`orders`), all are (`all`), and slips in minutes.

    `slack` is, per order, the minutes before pickup at which it is ready in 9 of 10 samples (negative: late);
    `blame` the task whose delay most often makes the order late, or None where it never is.
    """

    orders: Mapping[str, float]
    all: float
    slack: Mapping[str, int]
    blame: Mapping[str, str | None]


def on_time_chance(
    problem, plan, *, samples=2000, seed=1, work=0.2, drying=0.15, padding=1.0, nominal=None
) -> Chances:
    """Play `plan` in `samples` seeded random courses of events.

    Parameters
    ----------
    plan : Plan or mapping of task id to start
    work, drying : float
        Spread of work and of waits: the standard deviation of the logarithm [-]; 0 for none.
    padding : float
        How much longer than nominal the problem's durations and waits are [-]; 1.15 means that a job of 46
        minutes in the problem takes 40 in the middle of the distribution.
    nominal : mapping of task id to minutes, or None
        The middle of a task's duration where it is known better than by `padding`.

    Returns
    -------
    Chances

    Notes
    -----
    With `work` and `drying` 0 and `padding` 1 every start equals the plan's (tested).
    """
    import numpy as np

    starts = dict(getattr(plan, "starts", plan))
    rng = np.random.default_rng(seed)
    course = Course(problem, starts, samples, np)
    begin, end = course.play(rng, work, drying, padding, nominal or {})
    hard = [order for order in problem.orders if not order.soft]
    good = np.ones(samples, dtype=bool)
    chances, slack, blame = {}, {}, {}
    for order in hard:
        late = end[course.index[order.finish]] > order.pickup + 1e-6
        good &= ~late
        chances[order.id] = float(1 - late.mean())
        ready = np.quantile(end[course.index[order.finish]], 0.9)
        slack[order.id] = int(np.floor(order.pickup - ready + 1e-6))
        blame[order.id] = course.culprit(order, late, begin) if late.any() else None
    return Chances(chances, float(good.mean()) if hard else 1.0, slack, blame)


class Course:
    """The plan as arcs between tasks, in plan order, played for all samples at once."""

    def __init__(self, problem, starts, samples, np):
        self.problem, self.np, self.samples = problem, np, samples
        self.tasks = list(problem.tasks)
        self.index = {task.id: i for i, task in enumerate(self.tasks)}
        self.start = [starts.get(task.id, task.start) for task in self.tasks]
        self.order = sorted(range(len(self.tasks)), key=lambda i: (self.start[i], i))
        place = {i: k for k, i in enumerate(self.order)}
        self.waits = [[] for _ in self.tasks]
        for lag in problem.lags:
            i, j = self.index[lag.before], self.index[lag.after]
            if place[i] < place[j]:
                self.waits[j].append((i, lag.min))
        self.after = self._queues(place)
        self.fitting = {}  # opening and last starting time of the windows that hold a length

    def _queues(self, place):
        """For each task the moments it has to wait for: (task, "start", attended share) or end, by resource.

        The tasks that use something of which the plan leaves too little for both, next before in plan order.
        """
        queues = [[] for _ in self.tasks]
        uses = {}
        for i in self.order:
            task = self.tasks[i]
            if task.state == DONE:
                continue
            if task.attended and task.hands:
                uses.setdefault(HANDS, []).append(
                    (i, self.start[i], self.start[i] + task.attended, task.hands, "work")
                )
            for name, amount in task.uses.items():
                if amount:
                    uses.setdefault(name, []).append(
                        (i, self.start[i], self.start[i] + task.minutes, amount, "end")
                    )
        for hold in self.problem.holds:
            i = self.index[hold.after]
            begin = self.start[i] + self.tasks[i].minutes
            ends = []
            if hold.until is not None:
                ends.append((self.start[self.index[hold.until]], self.index[hold.until], "start"))
            if hold.minutes is not None:
                ends.append((begin + hold.minutes, (i, hold.minutes), "later"))
            finish, who, kind = min(ends, key=lambda one: one[0])
            if finish > begin:
                uses.setdefault(hold.resource, []).append((i, begin, finish, hold.amount, (kind, who)))
        for name, spans in uses.items():
            self._queue(name, spans, queues, place)
        return queues

    def _queue(self, name, spans, queues, place):
        """Link each use to the earlier uses whose places it takes over."""
        capacity = self.problem.resources.get(name)
        if capacity is None:
            capacity = max((window.hands for window in self.problem.windows), default=1)
        free = [(-1, None)] * capacity  # (free from, who left it) for every unit
        for i, begin, finish, amount, kind in sorted(spans, key=lambda one: (one[1], place[one[0]])):
            free.sort(key=lambda one: one[0])
            # Units that are free by then, the last vacated first, so that early ones stay for others.
            fit = [k for k, (since, _) in enumerate(free) if since <= begin][-amount:]
            for k in fit:
                who = free[k][1]
                if who is not None and who[0] != i and place[self._holder(who)] < place[i]:
                    # A hold begins at the end of its task, a use at its start.
                    queues[i].append((*who, isinstance(kind, tuple)))
                free[k] = (finish, (i, kind))

    def _holder(self, who):
        kind = who[1]
        return kind[1] if isinstance(kind, tuple) and kind[0] == "start" else who[0]

    def play(self, rng, work, drying, padding, nominal):
        """Return (starts, ends) as arrays [task][sample], in minutes."""
        np, problem = self.np, self.problem
        n = len(self.tasks)
        begin, end = np.zeros((n, self.samples)), np.zeros((n, self.samples))
        busy = np.zeros((n, self.samples))  # until when the hands are taken
        windows = [(w.start, w.end, w.longest) for w in problem.windows]
        for i in self.order:
            task = self.tasks[i]
            middle = nominal.get(task.id, task.minutes / padding)
            if task.state == DONE:
                begin[i], end[i], busy[i] = task.start, task.start + task.minutes, 0
                continue
            length = middle * self._factor(rng, work) if work else np.full(self.samples, float(middle))
            if task.state == RUNNING:
                begin[i] = task.start
                end[i] = np.maximum(task.start + length, problem.now)
            else:
                ready = np.full(self.samples, float(self.start[i]))
                for before, least in self.waits[i]:
                    wait = least / padding
                    if drying and least:
                        wait = wait * self._factor(rng, drying)
                    np.maximum(ready, end[before] + wait, out=ready)
                for who, kind, at_end in self.after[i]:
                    moment = self._released(who, kind, begin, end, busy)
                    np.maximum(ready, moment - length if at_end else moment, out=ready)
                if task.pinned:
                    begin[i] = np.maximum(ready, task.start)
                else:
                    begin[i] = self._into_windows(ready, task, windows, middle)
                end[i] = begin[i] + length
            share = task.attended / task.minutes if task.minutes else 0
            busy[i] = begin[i] + (end[i] - begin[i]) * share
        return begin, end

    def _factor(self, rng, spread):
        """Lognormal factors round 1, one per sample; single precision is finer than any kitchen clock."""
        np = self.np
        return np.exp(rng.standard_normal(self.samples, dtype=np.float32) * np.float32(spread))

    @staticmethod
    def _released(who, kind, begin, end, busy):
        if kind == "work":
            return busy[who]
        if kind == "end":
            return end[who]
        what, value = kind
        return begin[value] if what == "start" else end[value[0]] + value[1]

    def _into_windows(self, ready, task, windows, middle):
        """The first moment from `ready` on at which the task, as long as it usually is, fits a window."""
        np, key = self.np, (task.minutes, middle)
        if key not in self.fitting:
            fits = [
                (start, stop - min(middle, task.minutes))
                for start, stop, longest in windows
                if stop - start >= task.minutes and (longest is None or task.minutes <= longest)
            ]
            self.fitting[key] = np.array(fits, dtype=float).reshape(-1, 2).T
        opens, closes = self.fitting[key]
        if not len(opens):
            return ready
        where = np.searchsorted(closes, ready - 1e-6)
        never = where >= len(opens)
        begin = np.maximum(ready, opens[np.minimum(where, len(opens) - 1)])
        return np.where(never, ready + 10_080, begin)  # past the calendar: a week later

    def culprit(self, order, late, begin):
        """The task whose slip is largest, on average, where the order is late."""
        mine = [i for i, task in enumerate(self.tasks) if order.id in task.orders and task.state != DONE]
        slips = {i: float((begin[i][late] - self.start[i]).mean()) for i in mine}
        first = [
            i for i in sorted(mine, key=lambda i: self.start[i]) if slips[i] > 0.25 * max(slips.values())
        ]
        return self.tasks[first[0]].id if first else None
