"""A plan inside a chosen set of evenings: the choice of windows and the minutes in one model.

The rules to the minute know little of how full an evening is, and the energy rows of the windows know
nothing of minutes. Together, linked task by task, they find or refute a plan in evenings that are nearly
full, where either alone searches in vain.
"""

from __future__ import annotations

import copy

from . import bits, limits
from .assignment import Assignment
from .backward import latest_fit
from .model import Model

YES, NO, UNKNOWN = "yes", "no", "unknown"
LOOSE = 0.2  # deterministic time for the rules to the minute alone


class Alone(Model):
    """The hard rules, searched by one searcher without linear programs: the same answer each time."""

    def solve(self, *, seconds=None, deterministic=None, most=None, seed=1):
        """Return (answer, slots or None). `most` is a limit in deterministic time beside the others."""
        solver = self.solver = self.cp.CpSolver()
        parameters = solver.parameters
        parameters.catch_sigint_signal = False
        # Measured on evenings that are nearly full: 3 to 20 times sooner than several searchers together.
        parameters.num_workers, parameters.linearization_level = 1, 0
        parameters.random_seed = seed
        if seconds is not None:
            parameters.max_time_in_seconds = max(0.001, seconds)
        both = [one for one in (deterministic, most) if one is not None]
        if both:
            parameters.max_deterministic_time = max(1e-6, min(both))
        found = solver.solve(self.model)
        if found in (self.cp.OPTIMAL, self.cp.FEASIBLE):
            return YES, [solver.value(self.start[i]) for i in range(self.grid.n)]
        return (NO if found == self.cp.INFEASIBLE else UNKNOWN), None


class Detailed(Alone):
    """The hard rules with a window literal for every task, energy rows and waits between windows."""

    def __init__(self, grid, lo, hi):
        work = Assignment(grid, lo, hi, aim=False)
        super().__init__(grid, lo, hi, into=work.model)
        self.x = work.x
        for i, row in enumerate(self.x):
            for literal, first, final in row.values() if len(row) > 1 else ():
                domain = self.domain(i, first, final)
                self.model.add_linear_expression_in_domain(self.start[i], domain).only_enforce_if(literal)

    def hint_windows(self, places):
        """Start from a window for every task."""
        self.model.clear_hints()
        for i, row in enumerate(self.x):
            for w, (literal, _, _) in row.items():
                self.model.add_hint(literal, places[i] == w)


def inside(grid, lo, hi, worked, clock, share, *, places=None, seed=1, most=None, loose=False):
    """A plan with sessions only in the windows `worked`, every start between `lo` and `hi`.

    `places`, a window for every task, says where to begin to look; `most` limits the search in
    deterministic time. With `loose`, the windows are more than enough, as far as is known: then the rules
    to the minute alone are tried first. Returns ("yes", slots), ("no", task whose waits alone prove it,
    or None) or ("unknown", None).
    """
    narrow = only_in(grid, worked)
    lo, hi, empty = limits.tighten(narrow, lo, hi)
    if empty is not None:
        return NO, empty
    slots = latest_fit(narrow, lo, hi, rounds=6)
    if slots is not None:
        return YES, slots
    if loose:
        answer, slots = clock.run(Alone(narrow, lo, hi), share, seed=seed, most=LOOSE)[:2]
        if answer != UNKNOWN or clock.over():
            return answer, slots
    model = Detailed(narrow, lo, hi)
    if places is not None:
        model.hint_windows(places)
    return clock.run(model, share, seed=seed, most=most)[:2]


def only_in(grid, worked):
    """The grid with all windows without `longest` closed but `worked`."""
    narrow = copy.copy(grid)
    closed = 0
    for w, (start, end, window) in enumerate(grid.windows):
        if window.longest is None and w not in worked:
            closed |= bits.span(start, end)
    narrow.dom = [slots & ~closed for slots in grid.dom]
    return narrow
