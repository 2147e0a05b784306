"""The hard rules of a problem as a CP-SAT model: one method per rule, `build` lists them in order."""

from __future__ import annotations

from itertools import pairwise

from . import bits
from .problem import HANDS

SEARCHERS = 8  # on two cores eight searchers found first plans 3 to 20 times sooner than two
FEW = 30


def searchers(workers, tasks) -> int:
    """How many searchers to set on a question: one if only one is wanted, more for many tasks."""
    return workers if workers == 1 or tasks <= FEW else max(workers, SEARCHERS)


class Model:
    """A CP-SAT model of `grid` with every start between `lo` and `hi` (tightened bounds in slots).

    With `relaxed`, holds that end at whichever comes first of `until` and `length` are left out: what is
    infeasible then is infeasible; what is feasible must still be checked. With `only`, a set of task
    numbers, all other tasks and what touches them are left out: a relaxation too. With `into`, a CP-SAT
    model, the rules are added to that one.
    """

    def __init__(self, grid, lo, hi, *, relaxed=False, only=None, into=None):
        from ortools.sat.python import cp_model

        self.cp, self.grid, self.lo, self.hi = cp_model, grid, list(lo), list(hi)
        self.model = cp_model.CpModel() if into is None else into
        self.relaxed, self.left_out = relaxed, 0
        self.members = list(range(grid.n)) if only is None else sorted(only)
        self.inside = set(self.members)
        self._domains = {}
        self.demands = {name: [] for name in grid.base}
        self._starts()
        self._waits()
        self._hands()
        self._uses()
        self._holds()
        for name, demands in self.demands.items():
            self._capacity(name, demands)

    def domain(self, i, lo=None, hi=None):
        """The start slots open to task i as a solver domain."""
        lo = self.lo[i] if lo is None else lo
        hi = self.hi[i] if hi is None else hi
        key = (self.grid.dom[i], lo, hi)
        if key not in self._domains:
            slots = self.grid.dom[i] & bits.span(lo, hi + 1)
            found = bits.intervals(slots >> lo)
            self._domains[key] = self.cp.Domain.from_intervals([(a + lo, b + lo) for a, b in found])
        return self._domains[key]

    def _starts(self):
        self.start = {
            i: self.model.new_int_var_from_domain(self.domain(i), self.grid.ids[i]) for i in self.members
        }
        self.interval = {}

    def _fixed(self, i, length):
        """The interval of the first `length` slots of task i."""
        if (i, length) not in self.interval:
            self.interval[i, length] = self.model.new_fixed_size_interval_var(self.start[i], length, "")
        return self.interval[i, length]

    def _waits(self):
        for i, j, gap, most in self.grid.links:
            if i not in self.inside or j not in self.inside:
                continue
            if self.lo[j] < self.hi[i] + gap:
                self.model.add(self.start[j] >= self.start[i] + gap)
            if most is not None and self.hi[j] > self.lo[i] + most:
                self.model.add(self.start[j] <= self.start[i] + most)

    def _hands(self):
        for i in self.members:
            if self.grid.hands[i]:
                self.demands[HANDS].append((self._fixed(i, self.grid.att[i]), self.grid.hands[i]))

    def _uses(self):
        for i in self.members:
            for name, amount in self.grid.uses[i]:
                self.demands[name].append((self._fixed(i, self.grid.dur[i]), amount))

    def _holds(self):
        outside = {None} | self.inside
        for keep in self.grid.keeps:
            if keep.after not in outside or keep.until not in outside:
                continue
            demand = self._hold(keep)
            if demand is not None:
                self.demands[keep.resource].append((demand, keep.amount))

    def _hold(self, keep):
        """The interval of one hold, or None when it never lasts."""
        grid, model = self.grid, self.model
        if keep.after is None:
            begin, first, final = keep.begin, keep.begin, keep.begin
        else:
            begin = self.start[keep.after] + grid.dur[keep.after]
            first, final = (
                self.lo[keep.after] + grid.dur[keep.after],
                self.hi[keep.after] + grid.dur[keep.after],
            )
        ends = []  # (expression, least, most)
        if keep.until is not None:
            ends.append((self.start[keep.until], self.lo[keep.until], self.hi[keep.until]))
        if keep.end is not None:
            ends.append((keep.end, keep.end, keep.end))
        lasting = None
        if keep.length is not None:
            lasting = (begin + keep.length, first + keep.length, final + keep.length)
            ends.append(lasting)
        if self._follows(keep) and keep.length is not None and keep.until is not None:
            # How far `until` lies behind the end of `after` is known better than from the bounds alone.
            gap, most = self._between(keep)
            if gap >= keep.length:
                ends = ends[1:]
            elif most is not None and most <= keep.length:
                ends = ends[:-1]
        ends = self._soonest(ends)
        if len(ends) > 1 and self.relaxed:
            self.left_out += 1
            return None
        latest = min(most for _, _, most in ends)
        if latest <= first:
            return None
        if len(ends) == 1 and ends[0] is lasting:
            return model.new_fixed_size_interval_var(begin, keep.length, "")
        if len(ends) == 1 and (self._follows(keep) or ends[0][1] >= final):
            end, least, most = ends[0]
            size = model.new_int_var(max(0, least - final), most - first, "")
            return model.new_interval_var(begin, size, end, "")
        end = model.new_int_var(first, max(latest, final), "")
        size = model.new_int_var(0, max(latest, final) - first, "")
        reached = [model.new_bool_var("") for _ in ends]
        for (expression, _, _), literal in zip(ends, reached, strict=True):
            model.add(end >= expression).only_enforce_if(literal)
        model.add_bool_or(reached)  # where `until` comes first its literal costs nothing: no hold
        return model.new_interval_var(begin, size, end, "")

    def _follows(self, keep):
        """True when the waits already put `until` after the end of `after`."""
        if keep.until is None:
            return keep.end is None
        if keep.end is not None:
            return False
        if keep.after is None:
            return True
        return (keep.after, keep.until) in self.grid.why

    def _between(self, keep):
        gap, most = self.grid.why[keep.after, keep.until][0], None
        for _, j, _, limit in self.grid.succ[keep.after]:
            if j == keep.until and limit is not None:
                most = limit if most is None else min(most, limit)
        length = self.grid.dur[keep.after]
        return gap - length, None if most is None else most - length

    @staticmethod
    def _soonest(ends):
        """Leave out ends that always come no sooner than another."""
        kept = []
        for k, (_, least, _) in enumerate(ends):
            beaten = any(
                most < least or (most == least and m < k) for m, (_, _, most) in enumerate(ends) if m != k
            )
            if not beaten:
                kept.append(ends[k])
        return kept

    def _capacity(self, name, demands):
        """Demands never exceed what is left; facts, outages and closed time are fixed intervals."""
        import numpy as np

        left = self.grid.base[name]
        if not demands:
            return
        most = int(left.max())
        if name != HANDS and sum(amount for _, amount in demands) <= int(left.min()):
            return
        edges = [0, *(np.flatnonzero(np.diff(left)) + 1).tolist(), self.grid.slots]
        fixed = [
            (self.model.new_fixed_size_interval_var(a, b - a, ""), most - int(left[a]))
            for a, b in pairwise(edges)
            if b > self.grid.now and left[a] < most
        ]
        single = most == 1 and all(amount == 1 for _, amount in demands)
        if single and (name == HANDS or not any(keep.resource == name for keep in self.grid.keeps)):
            self.model.add_no_overlap([interval for interval, _ in demands + fixed])
        else:
            every = demands + fixed
            self.model.add_cumulative(
                [interval for interval, _ in every], [amount for _, amount in every], most
            )

    def hint(self, slots):
        """Tell the solver a complete plan to start from."""
        self.model.clear_hints()
        for i, variable in self.start.items():
            self.model.add_hint(variable, slots[i])

    def solve(self, *, seconds=None, deterministic=None, workers=2, seed=1, first=False):
        """Run the solver. Return (status, slots or None, bound of the objective or None).

        `status` is "optimal", "feasible", "infeasible" or "unknown" (the time was up).
        """
        solver = self.cp.CpSolver()
        parameters = solver.parameters
        parameters.catch_sigint_signal = False
        parameters.num_workers = searchers(workers, len(self.members)) if first else workers
        parameters.random_seed = seed
        if seconds is not None:
            parameters.max_time_in_seconds = max(0.001, seconds)
        if deterministic is not None:
            parameters.max_deterministic_time = max(1e-6, deterministic)
        if deterministic is not None and parameters.num_workers > 1:
            parameters.interleave_search = True
        parameters.stop_after_first_solution = first
        found = solver.solve(self.model)
        cp = self.cp
        words = {cp.OPTIMAL: "optimal", cp.FEASIBLE: "feasible", cp.INFEASIBLE: "infeasible"}
        status = words.get(found, "unknown")
        self.solver = solver
        if status in ("optimal", "feasible"):
            slots = [None] * self.grid.n
            for i, start in self.start.items():
                slots[i] = solver.value(start)
            return status, slots, solver.best_objective_bound
        # Out of time before it began, the solver calls 0 a bound that it never had: that would prove lies.
        return status, None, None
