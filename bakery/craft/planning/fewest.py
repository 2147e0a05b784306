"""Fewer working sessions: choose the evenings first, then look for a plan inside them."""

from __future__ import annotations

from . import limits
from .assignment import MOST, Assignment, choices
from .backward import checked
from .detail import NO, UNKNOWN, YES, inside
from .model import searchers

TRIES = 60
HARD = 0.5  # deterministic time for the question whether a plan lies in a set of evenings


def fewest_sessions(grid, plan, held, clock, *, seed=1, workers=2, tries=TRIES):
    """Look for plans with fewer sessions, everything in `held` (all zero) kept. Return (plan, bound).

    Only for clean days: nothing missed, late, stale or tight, so that bounds on starts say it all.
    """
    lo, hi, _ = limits.tighten(grid, *limits.within(grid, held))
    if choices(grid, lo, hi) > MOST:
        return plan, 0
    return Fewest(grid, plan, lo, hi, clock, seed, workers).run(tries)


class Fewest:
    """The search: sets of evenings from the relaxation, a plan in them or a reason against them."""

    def __init__(self, grid, plan, lo, hi, clock, seed, workers):
        self.grid, self.lo, self.hi, self.clock = grid, lo, hi, clock
        self.seed, self.workers = seed, searchers(workers, grid.n)
        self.plan, self.bound, self.sound = plan, 0, True
        self.work = Assignment(grid, lo, hi)
        self.work.hint(grid.slots_of(plan.starts))

    def run(self, tries):
        """Return (plan, bound on the sessions of every plan)."""
        for _ in range(tries):
            if self.bound >= self.sessions or self.clock.over():
                break
            status, worked, least = self.clock.run(self.work, 0.5, seed=self.seed, workers=self.workers)
            if status == "infeasible":
                self.bound = self.sessions if self.sound else self.bound
                break
            if self.sound and least is not None and least > self.bound:
                self.bound = least
                self.work.at_least(least)
            if worked is None or len(worked) >= self.sessions:
                break
            self.places = self.work.place_of()
            self._inside(worked)
            self.work.hint_windows(self.places)
        return self.plan, min(self.bound, self.sessions)

    @property
    def sessions(self):
        """Sessions of the best plan so far."""
        return self.plan.objective["sessions"]

    def _inside(self, worked):
        """Find a plan in these windows, or forbid them with as many more as are no help."""
        answer, reason = self._ask(worked)
        if answer == YES:
            return
        refuted, wider = answer == NO, worked
        if refuted:
            self.work.forbid(worked, reason)
        while (wider := _wider(self.grid, self.plan, wider, self.sessions)) is not None:
            # Half of the windows that the plan has over and above these: a step if not the whole way.
            step, reason = self._ask(wider, loose=True)
            if step == YES:
                break
            if step == NO:
                refuted = True
                self.work.forbid(wider, reason)
        if not refuted:
            # A set of windows that was not decided is left out as well: then the bound stays as it is.
            self.sound = False
            self.work.forbid(worked)

    def _ask(self, windows, *, loose=False):
        """Is there a plan in these windows? A better one is kept. Return (answer, reason of a no)."""
        share = 0.2 if loose else 0.4
        answer, found = inside(
            self.grid,
            self.lo,
            self.hi,
            windows,
            self.clock,
            share,
            places=self.places,
            seed=self.seed,
            most=HARD,
            loose=loose,
        )
        if answer == YES:
            better = checked(self.grid, found)
            if better is not None and better.objective["sessions"] < self.sessions:
                self.plan = better
            return (YES, None) if better is not None else (UNKNOWN, None)
        return answer, found


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
