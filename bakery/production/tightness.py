"""Which orders are not safe enough in a plan, and what would make them safe: in words, never as a share.

The plan is played many times with work and drying that take as long as they like (`craft.planning.risk`).
"""

from dataclasses import replace
from datetime import timedelta

from .adapters import job_named

SAFE = 0.9
"""An order that is on time less often than this in the courses played is called tight."""
SAMPLES, MORE = 600, (30, 60)
MOST = 3
SOON = 10 * 24 * 60


def tight_spots(problem, plan, works) -> list[dict]:
    """Tight orders, the worst first: whose, which job, and how much longer one session makes it safe.

    `more` is 0 where neither half an hour nor an hour more in one session does.
    """
    from bakery.craft.planning.risk import on_time_chance

    def chances(one):
        return on_time_chance(one, plan, samples=SAMPLES, seed=1, padding=_padding(one, works))

    if not plan.starts:
        return []
    now = chances(problem)
    near = {order.id for order in problem.orders if order.pickup < problem.now + SOON}
    tight = [
        name
        for name, chance in sorted(now.orders.items(), key=lambda item: item[1])
        if chance < SAFE and name in near and name not in plan.late
    ]
    return [_told(problem, plan, works, name, now.blame[name], chances) for name in tight[:MOST]]


def _told(problem, plan, works, name, blame, chances) -> dict:
    job = job_named(works, blame)[0] if blame else None
    session, more = _longer(problem, plan, name, blame, chances)
    found = {"order": name, "job": blame, "kind": job.kind if job else "", "more": more, "session": None}
    if session is not None:
        found["session"] = (problem.origin + timedelta(minutes=session.start)).isoformat()
    return found


def _longer(problem, plan, name, blame, chances):
    """(session, minutes): the shortest lengthening of a session that makes it safe, tonight's first."""
    places = (_window(problem, problem.now), _window(problem, plan.starts.get(blame, -1)))
    for minutes in MORE:
        for number in sorted({place for place in places if place is not None}):
            longer = _with_longer(problem, number, minutes)
            if longer is not None and chances(longer).orders[name] >= SAFE:
                return problem.windows[number], minutes
    return None, 0


def _with_longer(problem, number, minutes):
    """The problem with one session longer; what follows begins later; None where another session follows."""
    end = problem.windows[number].end + minutes
    rest = problem.windows[number + 1 :]
    if end > problem.horizon or any(w.longest is None and w.start < end for w in rest):
        return None
    rest = tuple(replace(w, start=max(w.start, end)) for w in rest if w.end > end)
    longer = replace(problem.windows[number], end=end)
    return replace(problem, windows=(*problem.windows[:number], longer, *rest))


def _window(problem, minute):
    """The session that a moment lies in, or the next one after it."""
    if minute < 0:
        return None
    for number, window in enumerate(problem.windows):
        if window.longest is None and window.hands and window.end > minute:
            return number
    return None


def _padding(problem, works) -> float:
    """By how much the problem's durations are longer than thought: the usual ratio over its jobs."""
    ratios = []
    for task in problem.tasks:
        if task.free and task.attended:
            job, parts = job_named(works, task.id)
            if job.attended >= 20 and parts == 1:
                ratios.append(task.attended / job.attended)
    return max(1.0, sorted(ratios)[len(ratios) // 2]) if ratios else 1.15
