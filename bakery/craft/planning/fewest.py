"""Fewer working sessions: choose the evenings first, then look for a plan inside them."""

from __future__ import annotations

import copy

from . import limits
from .assignment import MOST, Assignment, choices
from .backward import checked, latest_fit
from .model import Model, searchers

TRIES = 20


def fewest_sessions(grid, plan, held, clock, *, seed=1, workers=2, share=0.4, tries=TRIES):
    """Look for plans with fewer sessions, everything in `held` (all zero) kept. Return (plan, bound).

    Only for clean days: nothing missed, late, stale or tight, so that bounds on starts say it all.
    """
    lo, hi, _ = limits.tighten(grid, *limits.within(grid, held))
    sessions, bound, sound, misses = plan.objective["sessions"], 0, True, 0
    workers = searchers(workers, grid.n)
    if choices(grid, lo, hi) > MOST:
        return plan, 0
    work = Assignment(grid, lo, hi)
    for _ in range(tries):
        if bound >= sessions or misses > 2 or clock.over():
            break
        work.hint(grid.slots_of(plan.starts))
        status, worked, least = clock.run(work, share, seed=seed, workers=workers)
        if status == "infeasible":
            return plan, sessions if sound else bound
        if sound and least is not None:
            bound = max(bound, least)
        if worked is None or len(worked) >= sessions:
            break
        answer, found = inside(grid, lo, hi, worked, clock, seed, workers)
        wider = worked
        while answer != "yes" and (wider := _wider(grid, plan, wider, sessions)) is not None:
            # Half of the windows that the plan has over and above these: a step if not the whole way.
            step, slots = inside(grid, lo, hi, wider, clock, seed, workers, share=0.1)
            if step == "yes":
                plan, sessions = _fewer(grid, plan, slots, sessions)
                break
        if answer == "yes":
            before = sessions
            plan, sessions = _fewer(grid, plan, found, sessions)
            if sessions < before:
                continue
        # A set of windows that merely was not decided is left out as well: then the bound stays as it is.
        sound, misses = sound and answer == "no", misses + (answer != "no")
        work.forbid(worked, found if answer == "no" else None)
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


def inside(grid, lo, hi, worked, clock, seed, workers, *, share=0.25):
    """A plan with sessions only in the windows `worked`.

    Returns ("yes", slots), ("no", task whose waits alone prove it, or None) or ("unknown", None).
    """
    narrow = only_in(grid, worked)
    lo, hi, empty = limits.tighten(narrow, lo, hi)
    if empty is not None:
        return "no", empty
    slots = latest_fit(narrow, lo, hi, rounds=6)
    if slots is not None:
        return "yes", slots
    status, slots, _ = clock.run(Model(narrow, lo, hi), share, seed=seed, workers=workers, first=True)
    if status == "infeasible":
        return "no", None
    return ("unknown", None) if slots is None else ("yes", slots)


def only_in(grid, worked):
    """The grid with all windows without `longest` closed but `worked`."""
    from . import bits

    narrow = copy.copy(grid)
    closed = 0
    for w, (start, end, window) in enumerate(grid.windows):
        if window.longest is None and w not in worked:
            closed |= bits.span(start, end)
    narrow.dom = [slots & ~closed for slots in grid.dom]
    return narrow
