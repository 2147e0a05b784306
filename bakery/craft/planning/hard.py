"""The hard problem: every rule, and missed, lateness and staleness no worse than in the best plan.

Questions about it ("is there a plan in which this starts later?") are answered from cheap to dear: bounds,
placing, a part of the problem (its "no" holds), the whole problem.
"""

from __future__ import annotations

from . import limits
from .backward import checked, latest_fit
from .clock import Clock
from .goals import Goals
from .grid import Grid
from .model import Model
from .moves import let_go
from .solver import values_of

HELD = ("missed", "lateness", "soft", "stale")
YES, NO, UNKNOWN = "yes", "no", "unknown"


class Hard:
    """The plans of `problem` that are as good as `best` (a Plan), with bounds that they all keep."""

    def __init__(self, problem, best, *, grid=None, seed=1, workers=2):
        self.problem, self.seed, self.workers = problem, seed, workers
        self.grid = grid or Grid(problem)
        values = values_of(problem, best.starts)
        self.values = {name: values[name] for name in HELD}
        self.lo, self.hi, self.empty = limits.tighten(self.grid, *limits.within(self.grid, self.values))
        near = limits.no_worse(self.grid, best.starts)
        self.near_lo, self.near_hi, _ = limits.tighten(
            self.grid,
            [max(a, b) for a, b in zip(near[0], self.lo, strict=True)],
            [min(a, b) for a, b in zip(near[1], self.hi, strict=True)],
        )
        self.clean = not any(self.values.values())
        self.witnesses = []
        self.add(self.grid.slots_of(best.starts))

    def add(self, slots) -> bool:
        """Keep a plan as witness when it breaks no rule and is as good as the best."""
        plan = checked(self.grid, slots)
        if plan is None:
            return False
        values = values_of(self.problem, plan.starts)
        if any(values[name] > self.values[name] for name in HELD):
            return False
        self.witnesses.append(list(slots))
        return True

    def bounds(self, changes, *, near=False):
        """Bounds with some tasks' (least, most) start slots narrowed: (lo, hi, empty task or None)."""
        lo, hi = (list(self.near_lo), list(self.near_hi)) if near else (list(self.lo), list(self.hi))
        for i, (least, most) in changes.items():
            lo[i] = max(lo[i], least if least is not None else lo[i])
            hi[i] = min(hi[i], most if most is not None else hi[i])
        return limits.tighten(self.grid, lo, hi)

    def place(self, changes, *, front=(), rounds=8):
        """Try to place everything within the changed bounds; tasks of `front` get the first choice."""
        lo, hi, empty = self.bounds(changes, near=True)
        if empty is not None:
            return None
        slots = latest_fit(self.grid, lo, hi, rounds=rounds, rank=self._ranks(front))
        if slots is not None and not self.add(slots):
            return None
        return slots

    def _ranks(self, front):
        rank = [0] * self.grid.n
        for i in self.followers(front):
            rank[i] = -1
        return rank

    def followers(self, tasks) -> set[int]:
        """The tasks and everything that waits for them."""
        found, todo = set(), list(tasks)
        while todo:
            i = todo.pop()
            if i not in found:
                found.add(i)
                todo += [j for _, j, _, _ in self.grid.succ[i]]
        return found

    def model(self, lo, hi, only=None, relaxed=False):
        """The model of the hard problem (or of a part) within bounds, with its goals."""
        model = Model(self.grid, lo, hi, only=only, relaxed=relaxed)
        goals = Goals(model)
        if not self.clean:
            for name in HELD:
                goals.hold(name, self.values[name])
        return model, goals

    def ask(self, changes, clock: Clock, *, only=None):
        """Is there a plan within the changed bounds? (YES, slots), (NO, None) = proved, or (UNKNOWN, None).

        With `only`, just those tasks are looked at: NO is a proof, anything else is UNKNOWN.
        """
        lo, hi, empty = self.bounds(changes)
        if empty is not None:
            return NO, None
        for relaxed in (True, False):
            model, _ = self.model(lo, hi, only, relaxed)
            if relaxed and not model.left_out and only is None:
                continue
            status, slots, _ = clock.run(
                model, 0.5 if relaxed else 1.0, seed=self.seed, workers=self.workers, first=True
            )
            if status == "infeasible":
                return NO, None
            if only is None and slots is not None and self.add(slots):
                return YES, slots
            if only is not None:
                break
        return UNKNOWN, None

    def most(self, i, least, clock: Clock, *, only=None):
        """The latest start of task i, known to reach `least`: (slots of a plan or None, upper bound)."""
        lo, hi, empty = self.bounds({i: (least, None)})
        if empty is not None:
            return None, least - 1
        model, _ = self.model(lo, hi, only, relaxed=only is not None)
        model.model.maximize(model.start[i])
        status, slots, bound = clock.run(model, seed=self.seed, workers=self.workers)
        if status == "infeasible":
            return None, least - 1
        upper = hi[i] if bound is None else min(hi[i], int(bound + 1e-6))
        if only is None and slots is not None and not self.add(slots):
            slots = None
        if only is not None and slots is not None:
            self.around(slots)
        return slots, upper

    def near(self, i, least, count, clock: Clock, *, most=False):
        """A plan with task i at `least` or later (latest, with `most`), only `count` neighbours moved.

        The rest stays where the witness with the latest start of i has it. Finds plans, proves nothing.
        Returns slots (kept as witness) or None.
        """
        base = max(self.witnesses, key=lambda slots: slots[i])
        free = {self.grid.ids[k] for k in self.neighbours(i, count)}
        part = Grid(let_go(self.problem, self.grid.starts_of(base), free))
        lo, hi = limits.within(part, self.values)
        mine = part.index[self.grid.ids[i]]
        lo[mine] = max(lo[mine], least)
        lo, hi, empty = limits.tighten(part, lo, hi)
        if empty is not None:
            return None
        model = Model(part, lo, hi)
        if not self.clean:
            goals = Goals(model)
            for name in HELD:
                goals.hold(name, self.values[name])
        if most:
            model.model.maximize(model.start[mine])
            if base[i] >= least:
                model.hint([base[self.grid.index[name]] for name in part.ids])
        _, found, _ = clock.run(model, seed=self.seed, workers=self.workers, first=not most)
        if found is None:
            return None
        whole = list(base)
        for name, slot in zip(part.ids, found, strict=True):
            whole[self.grid.index[name]] = slot
        return whole if self.add(whole) else None

    def around(self, part):
        """Try to complete a part of a plan (None where open) to a witness."""
        fixed = {i: (start, start) for i, start in enumerate(part) if start is not None}
        return self.place(fixed, front=fixed, rounds=4)

    def neighbours(self, i, count=0) -> set[int]:
        """The tasks of the orders that task i serves, and of the `count` orders next to them by hand-over."""
        orders = sorted(self.problem.orders, key=lambda order: order.pickup)
        mine = set(self.grid.tasks[i].orders)
        places = [k for k, order in enumerate(orders) if order.id in mine]
        if places:
            near = sorted(range(len(orders)), key=lambda k: min(abs(k - place) for place in places))
            mine |= {orders[k].id for k in near[: count + len(places)]}
        found = {k for k, task in enumerate(self.grid.tasks) if mine.intersection(task.orders)}
        return found | {i}
