"""Fewer working sessions: choose the evenings first, then look for a plan inside them."""

from __future__ import annotations

from . import limits
from .assignment import MOST, Assignment, choices
from .backward import checked
from .detail import NO, UNKNOWN, YES, inside
from .model import searchers

TRIES = 40


def fewest_sessions(grid, plan, held, clock, *, seed=1, workers=2, tries=TRIES):
    """Look for plans with fewer sessions, everything in `held` (all zero) kept. Return (plan, bound).

    Only for clean days: nothing missed, late, stale or tight, so that bounds on starts say it all.
    """
    lo, hi, _ = limits.tighten(grid, *limits.within(grid, held))
    sessions, bound, sound = plan.objective["sessions"], 0, True
    if choices(grid, lo, hi) > MOST:
        return plan, 0
    work = Assignment(grid, lo, hi)
    for _ in range(tries):
        if bound >= sessions or clock.over():
            break
        work.hint(grid.slots_of(plan.starts))
        status, worked, least = clock.run(work, 0.4, seed=seed, workers=searchers(workers, grid.n))
        if status == "infeasible":
            return plan, sessions if sound else bound
        if sound and least is not None:
            bound = max(bound, least)
        if worked is None or len(worked) >= sessions:
            break
        options = {"places": work.place_of(), "seed": seed}
        answer, found = inside(grid, lo, hi, worked, clock, 0.4, **options)
        if answer == YES:
            plan, sessions = _fewer(grid, plan, found, sessions)
        wider = worked
        while answer != YES and (wider := _wider(grid, plan, wider, sessions)) is not None:
            # Half of the windows that the plan has over and above these: a step if not the whole way.
            step, slots = inside(grid, lo, hi, wider, clock, 0.2, **options)
            if step == YES:
                plan, sessions = _fewer(grid, plan, slots, sessions)
                break
        # A set of windows that merely was not decided is left out as well: then the bound stays as it is.
        sound = sound and answer != UNKNOWN
        work.forbid(worked, found if answer == NO else None)
    return plan, min(bound, sessions)


def _fewer(grid, plan, slots, sessions):
    better = checked(grid, slots)
    if better is None or better.objective["sessions"] >= sessions:
        return plan, sessions
    return better, better.objective["sessions"]


def _wider(grid, plan, worked, sessions):
    """`worked` with half as many more of the plan's windows as still make it fewer, or None."""
    more = (sessions - len(worked)) // 2
    if more < 1:
        return None
    load = {}
    for i, start in enumerate(grid.slots_of(plan.starts)):
        for w, (begin, end, window) in enumerate(grid.windows):
            if begin <= start < end and window.longest is None and w not in worked:
                load[w] = load.get(w, 0) + grid.att[i]
    return set(worked) | set(sorted(load, key=lambda w: (-load[w], w))[:more])
