"""More work than the known hours hold: the weeks known last are repeated, so that late work has a place too.

Hours are only ever read some way past the last hand-over. In a December that is overfull, what is late needs
evenings after that; without them there would be no plan at all, and no plan is worse than a late one.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from ..planning.problem import Problem
from .calendar import Calendar
from .pieces import Work

__all__ = ["past_the_known", "possible", "stretched"]

FULL, ROOMY = 0.7, 0.5
"""Share of the hours (or of the places on the rack) from which hours are added, and down to which."""
PATTERN_WEEKS = 4
MOST_WEEKS = 156
STANDS = 36 * 60
"""Minutes for which a tray keeps its place, about, where its place has no time of its own."""
MOST_TASKS = 800
"""More free work is no month of one kitchen; trying it out would keep a question waiting."""
MOST_ORDERS = 8
"""Orders whose longest waits are lifted one by one; after that all are."""


def stretched(
    calendar: Calendar,
    works: Sequence[Work],
    *,
    now: datetime,
    padding: float,
    rack_places: int,
    wash_up: float,
    done: Collection[str] = (),
) -> Calendar:
    """The calendar, with its last weeks (at most four) repeated until the work fits with room to spare.

    Parameters
    ----------
    done : ids of jobs that are done or running: they need no hours
    padding : factor on work
    wash_up : minutes of every session that are no working time

    A calendar that is roomy, or that has no session after `now`, comes back as it is.
    """
    jobs = [job for work in works for job in work.jobs if job.planned and job.id not in done]
    by_hand = sum(job.attended * job.hands for job in jobs) * padding
    left = {job.id for job in jobs}
    on_rack = sum(
        place.amount * (STANDS if place.minutes is None or place.until else place.minutes)
        for work in works
        for place in work.places
        if place.resource == "rack" and place.after in left
    )
    known = [one for one in calendar.sessions if one.longest is None and one.end > now]
    if not known:
        return calendar
    last = max(one.end for one in known)
    hours = _hours(known, now, wash_up)
    trays = max(1, rack_places) * (last - now) / timedelta(minutes=1)
    if by_hand <= FULL * hours and on_rack <= FULL * trays:
        return calendar
    weeks = max(1, min(PATTERN_WEEKS, (last - now).days // 7))
    span = timedelta(days=7 * weeks)
    pattern = [one for one in calendar.sessions if last - span < one.end <= last and one.end > now]
    gain = _hours([one for one in pattern if one.longest is None], now, wash_up)
    more_trays, added, times = max(1, rack_places) * span / timedelta(minutes=1), [], 0
    while (by_hand > ROOMY * hours or on_rack > ROOMY * trays) and (times + 1) * weeks <= MOST_WEEKS:
        times += 1
        hours, trays = hours + gain, trays + more_trays
        added += [one._replace(start=one.start + times * span, end=one.end + times * span) for one in pattern]
    return Calendar((*calendar.sessions, *added), calendar.outages)


def possible(problem: Problem) -> Problem:
    """The problem, its longest waits from shared work lifted where with them no place is found for all.

    One mixing for twenty orders, or for five hundred cookies, does not keep until the last of them has its
    evening: what is too old by then is made again. Better a plan that says so too late than none at all.
    """
    from ..planning.forward import forward_plan
    from ..planning.grid import Grid

    problem = _remade(problem, 1.0)
    free = [task for task in problem.tasks if task.state == "todo"]
    shared = {task.id for task in free if len(task.orders) > 1}
    theirs = {name for task in free if task.id in shared for name in task.orders}
    around = {task.id for task in free if theirs.intersection(task.orders)}
    if len(free) > MOST_TASKS:
        return problem
    fuller = _remade(problem, FULL)
    for found in (problem, fuller, _lifted(fuller, shared), _lifted(fuller, around)):
        if found is not None and forward_plan(Grid(found), rounds=2) is not None:
            return found
    return _order_by_order(_lifted(fuller, around) or fuller)


def _order_by_order(problem):
    """Without the longest waits of orders that find no place, one after the other; at last without any."""
    from ..planning.forward import without_a_place
    from ..planning.grid import Grid

    found = problem
    for _ in range(MOST_ORDERS):
        name = without_a_place(Grid(found))
        less = name and _lifted(found, {task.id for task in found.tasks if name in task.orders})
        if not less:
            break
        found = less
    if name is None:
        return found
    return _lifted(problem, {task.id for task in problem.tasks}) or problem


def _remade(problem, full):
    """Without the longest waits of orders of which some work's followers need more than the share `full` of
    the hours that lie within its longest wait; the problem itself where there are none.
    """
    ends = [window.end for window in problem.windows if window.longest is None]
    span = max(ends, default=0) - problem.now
    if span <= 0:
        return problem
    hours = sum(
        window.hands * max(0, window.end - max(window.start, problem.now))
        for window in problem.windows
        if window.longest is None
    )
    by_hand = {task.id: task.attended * task.hands for task in problem.tasks if task.state == "todo"}
    need: dict[str, int] = {}
    for lag in problem.lags:
        if lag.max is not None:
            need[lag.before] = need.get(lag.before, 0) + by_hand.get(lag.after, 0)
    scarce = {
        lag.before
        for lag in problem.lags
        if lag.max is not None and need[lag.before] > full * lag.max * hours / span
    }
    # An order too large for one mixing is too large for one dough and one evening of baking as well.
    large = {name for task in problem.tasks if task.id in scarce for name in task.orders}
    return _lifted(problem, {task.id for task in problem.tasks if large.intersection(task.orders)}) or problem


def _lifted(problem, names):
    """Without longest waits before or after the tasks `names`; None where there are none to lift."""
    if not names:
        return None
    lags = [
        replace(lag, max=None) if lag.before in names or lag.after in names else lag for lag in problem.lags
    ]
    same = all(one.max == lag.max for one, lag in zip(lags, problem.lags, strict=True))
    return None if same else replace(problem, lags=lags)


def _hours(sessions, now, wash_up) -> float:
    """Hand minutes of sessions from `now` on."""
    return sum(
        one.hands * max(0.0, (one.end - max(one.start, now)) / timedelta(minutes=1) - wash_up)
        for one in sessions
    )


def past_the_known(problem, starts: Mapping[str, int], calendar: Calendar) -> tuple[str, ...]:
    """Tasks planned after the last session that the calendar knows: into hours that were only assumed."""
    ends = [one.end for one in calendar.sessions if one.longest is None]
    if not ends:
        return tuple(starts)
    last = (max(ends) - problem.origin) / timedelta(minutes=1)
    return tuple(name for name, start in starts.items() if start >= last)
