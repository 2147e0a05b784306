"""Small shifts inside one session that move nothing to another day: pure functions over the planner's data.

A solver is content with any start inside a window. Hands are not: the evening begins with its first job, jobs
of one step and colour follow each other, and when she is quicker or slower the rest of the list follows her.
Every shift is checked by the planner's own `verify` before it is kept.
"""

from bakery.craft.planning import measure, verify
from bakery.craft.planning.problem import TODO

HARM = ("missed", "lateness", "stale", "tight", "sessions", "moved")


def harm(problem, starts, names=HARM):
    """What hurts in these starts, worst first, to be compared as a tuple: soft orders' lateness after the
    others'.
    """
    told = measure(problem, starts)
    values = {name: (value,) for name, value in told["objective"].items()}
    values["lateness"] = (told["objective"]["lateness"] - told["soft"], told["soft"])
    return tuple(value for name in names for value in values[name])


def window_at(problem, minute):
    """The number of the window that holds this minute, or None."""
    for i, window in enumerate(problem.windows):
        if window.start <= minute < window.end:
            return i
    return None


def current_session(problem):
    """The first window for real work that ends after now, or None."""
    for window in problem.windows:
        if window.longest is None and window.end > problem.now and window.hands > 0:
            return window
    return None


def in_window(problem, starts, window):
    """The ids of free work inside the window, in order of their starts."""
    found = [
        task.id
        for task in problem.tasks
        if task.free and window.start <= starts.get(task.id, -1) < window.end
    ]
    return sorted(found, key=lambda name: (starts[name], name))


def tidied(problem, starts, group_of, keep=(), stop=lambda: False):
    """`starts` with every session closed up to its beginning and like work put together, where allowed.

    `group_of(id)` names what belongs together; windows that begin in `keep` stay as they are. Once `stop`
    says yes, the rest stays as it is: the nearest sessions are looked at first.
    """
    best = _into_sessions(problem, dict(starts), keep, stop)
    for window in problem.windows:
        if stop():
            break
        if window.longest is not None or window.start in keep:
            continue
        ids = in_window(problem, best, window)
        if ids:
            whole = first_good(problem, best, window, [grouped(ids, group_of)])
            best = (
                whole
                if whole is not best
                else gathered(problem, first_good(problem, best, window, [ids]), window, group_of)
            )
    return best


def _into_sessions(problem, starts, keep, stop):
    """Small jobs that stand alone in a waking hour join the nearest session, where that is allowed."""
    sessions = [
        w for w in problem.windows if w.longest is None and w.start not in keep and w.end > problem.now
    ]
    for task in sorted((t for t in problem.tasks if t.free), key=lambda t: (starts[t.id], t.id)):
        if stop():
            break
        here = window_at(problem, starts[task.id])
        if here is None or problem.windows[here].longest is None:
            continue
        for session in sorted(sessions, key=lambda w: abs(w.start - starts[task.id]))[:3]:
            limit = harm(problem, starts)
            ids = in_window(problem, starts, session)
            for order in ([task.id, *ids], [*ids, task.id]):
                tried = closed_up(problem, starts, session, order)
                if tried is not None and not verify(problem, tried) and harm(problem, tried) <= limit:
                    starts = tried
                    break
            else:
                continue
            break
    return starts


def gathered(problem, starts, window, group_of):
    """One group after the other brought together, where all at once is not allowed."""
    for group in dict.fromkeys(group_of(name) for name in in_window(problem, starts, window)):
        ids = in_window(problem, starts, window)
        own = [name for name in ids if group_of(name) == group]
        if len(own) < 2 or ids[ids.index(own[0]) :][: len(own)] == own:
            continue
        rest = [name for name in ids if name not in own]
        early, late = ids.index(own[0]), len([n for n in ids[: ids.index(own[-1])] if n not in own])
        orders = [[*rest[:at], *own, *rest[at:]] for at in (early, late)]
        starts = first_good(problem, starts, window, orders)
    return starts


def grouped(ids, group_of):
    """The same ids with each group gathered where its first member stands."""
    place = {}
    for name in ids:
        place.setdefault(group_of(name), len(place))
    return sorted(ids, key=lambda name: place[group_of(name)])


def first_good(problem, starts, window, orders):
    """The starts after the first of these orders of work that breaks no rule and harms nothing; else
    unchanged.
    """
    limit = harm(problem, starts)
    for ids in orders:
        tried = closed_up(problem, starts, window, ids)
        if tried is not None and not verify(problem, tried) and harm(problem, tried) <= limit:
            return tried
    return starts


def closed_up(problem, starts, window, ids):
    """`starts` with `ids` one after the other, as early as hands, tools and waits allow, or None.

    Holds (the rack) and longest waits are left to `verify`.
    """
    tasks = {task.id: task for task in problem.tasks}
    result = {name: start for name, start in starts.items() if name not in set(ids)}
    free = _Free(problem, window, result)
    floor = max(window.start, -(-problem.now // problem.step) * problem.step)
    before = _earliest(problem)
    waiting = list(ids)
    while waiting:
        name = next((n for n in waiting if not any(b in waiting for b, _ in before.get(n, ()))), None)
        if name is None:
            return None
        waiting.remove(name)
        task = tasks[name]
        ready = [
            _end(tasks[b], result) + least
            for b, least in before.get(name, ())
            if _end(tasks[b], result) is not None
        ]
        start = free.place(task, max([floor, *ready]))
        if start is None:
            return None
        result[name] = start
        if window.hands == 1:
            floor = start
    return result


def _earliest(problem):
    before = {}
    for lag in problem.lags:
        before.setdefault(lag.after, []).append((lag.before, lag.min))
    return before


def _end(task, starts):
    start = task.start if not task.free else starts.get(task.id)
    return None if start is None else start + task.minutes


class _Free:
    """How many hands and tools are free in each step of one window."""

    def __init__(self, problem, window, starts):
        self.step, self.window = problem.step, window
        slots = (window.end - window.start) // self.step
        self.hands = [window.hands] * slots
        self.tools = {name: [amount] * slots for name, amount in problem.resources.items() if name != "rack"}
        for out in problem.blocked:
            self._take(self._profile(out.resource), out.start, out.end, out.amount)
        for task in problem.tasks:
            start = task.start if not task.free else starts.get(task.id)
            if start is not None and task.state != "done":
                self.use(task, start)

    def _profile(self, name):
        return self.hands if name == "hands" else self.tools.get(name)

    def _span(self, start, end):
        first = max(0, (start - self.window.start) // self.step)
        last = min(len(self.hands), -(-(end - self.window.start) // self.step))
        return range(first, max(first, last))

    def _take(self, profile, start, end, amount):
        if profile is not None:
            for slot in self._span(start, end):
                profile[slot] -= amount

    def use(self, task, start):
        self._take(self.hands, start, start + task.attended, task.hands)
        for name, amount in task.uses.items():
            self._take(self.tools.get(name), start, start + task.minutes, amount)

    def fits(self, task, start):
        if any(self.hands[slot] < task.hands for slot in self._span(start, start + task.attended)):
            return False
        return all(
            self.tools[name][slot] >= amount
            for name, amount in task.uses.items()
            if name in self.tools
            for slot in self._span(start, start + task.minutes)
        )

    def place(self, task, earliest):
        """Take the first place from `earliest` on; None when the window has none."""
        start = -(-earliest // self.step) * self.step
        while start + task.minutes <= self.window.end:
            if self.fits(task, start):
                self.use(task, start)
                return start
            start += self.step
        return None


def free_minutes(problem, starts, window):
    """Minutes of hands in this window from now on that neither work nor anything else takes."""
    left = _Free(problem, window, dict(starts))
    first = max(0, (problem.now - window.start) // problem.step)
    return sum(max(0, hands) for hands in left.hands[first:]) * problem.step


def todo(problem):
    return [task for task in problem.tasks if task.state == TODO]
