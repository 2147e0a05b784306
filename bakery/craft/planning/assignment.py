"""Which evenings to work: tasks are given to windows, not to minutes. A relaxation, and a guide.

Window literals with one energy row per window, waits carried from window to window, and "at least k of
these windows" for every span. Its optimum bounds the sessions of every plan from below; its choice of
windows is where a plan with so few sessions is looked for.
"""

from __future__ import annotations

from bisect import bisect_right
from heapq import heappop, heappush

from . import bits
from .goals import pinned_windows
from .limits import forward_order
from .model import searchers
from .problem import HANDS
from .sessions import spans_needed

MOST = 8000  # literals; with more the relaxation takes longer to write down than to do without


def choices(grid, lo, hi) -> int:
    """How many literals the relaxation would need within bounds `lo`, `hi`."""
    opens, closes = [start for start, _, _ in grid.windows], [end for _, end, _ in grid.windows]
    return sum(bisect_right(opens, hi[i]) - bisect_right(closes, lo[i]) for i in range(grid.n))


class Assignment:
    """The relaxation for tasks within tightened bounds `lo`, `hi` (start slots).

    With `weights` (order id: weight), the orders named may be given up at their weight, and that is what
    is then kept least: which orders to let be late when not all fit. Without `aim`, nothing is kept least.
    """

    def __init__(self, grid, lo, hi, weights=None, *, aim=True):
        from ortools.sat.python import cp_model

        self.cp, self.grid, self.lo, self.hi = cp_model, grid, lo, hi
        self.model = cp_model.CpModel()
        self.given_up = {name: self.model.new_bool_var("") for name in weights or {}}
        self._place = {i: k for k, i in enumerate(forward_order(grid))}
        self._literals()
        for link in grid.links:
            self._wait(*link)
        self._chains()
        self._energy()
        self._resources()
        self._between_windows()
        self._heads()
        self._tails()
        self.fixed = pinned_windows(grid)
        if weights:
            self.model.minimize(sum(weights[name] * literal for name, literal in self.given_up.items()))
        if weights or not aim:
            return
        self._spans()
        self.model.minimize(sum(literal for w, literal in self.used.items() if w not in self.fixed))

    def _literals(self):
        """x[i][w] = (literal, first start, last start of task i in window w)."""
        self.x, cache = [], {}
        for i in range(self.grid.n):
            key = (self.grid.dom[i], self.grid.dur[i], self.lo[i], self.hi[i])
            if key not in cache:
                cache[key] = self._choices(i)
            row = {w: (self.model.new_bool_var(""), a, b) for w, a, b in cache[key]}
            self.model.add_exactly_one([literal for literal, _, _ in row.values()] + self._left_out(i))
            self.x.append(row)

    def _left_out(self, i):
        """A literal for task i not being done at all: only when all its orders are given up."""
        orders = self.grid.tasks[i].orders
        if not orders or not self.given_up.keys() >= set(orders):
            return []
        if len(orders) == 1:
            return [self.given_up[orders[0]]]
        out = self.model.new_bool_var("")
        for name in orders:
            self.model.add_implication(out, self.given_up[name])
        return [out]

    def _choices(self, i):
        found = []
        for w, (start, end, _) in enumerate(self.grid.windows):
            if end <= self.lo[i] or start > self.hi[i]:
                continue
            first = bits.first(self.grid.dom[i], max(start, self.lo[i]))
            final = bits.last(self.grid.dom[i], min(end - self.grid.dur[i], self.hi[i]))
            if 0 <= first <= final:
                found.append((w, first, final))
        return found

    def _wait(self, i, j, gap, most):
        """If j lies in an early window, i lies early enough before it (and not too early, with a limit)."""
        before, after = self.x[i], self.x[j]
        for w in after:
            room = [literal for literal, a, _ in before.values() if a + gap <= after[w][2]]
            if len(room) < len(before):
                self.model.add(sum(after[k][0] for k in after if k <= w) <= sum(room))
            if most is not None:
                near = [literal for literal, _, b in before.values() if b + most >= after[w][1]]
                if len(near) < len(before):
                    self.model.add(sum(after[k][0] for k in after if k >= w) <= sum(near))

    def _chains(self):
        """Chains of waits, each job at a time that is open to it: no follower in a window it cannot reach."""
        grid = self.grid
        for i, row in enumerate(self.x):
            direct = {j for _, j, _, _ in grid.succ[i]}
            for w, (_, first, _) in row.items():
                for j, least in self._soonest(i, first).items():
                    barred = [one for one, _, b in self.x[j].values() if b < least]
                    if barred and j not in direct:
                        later = [one for v, (one, _, _) in row.items() if v >= w]
                        self.model.add_at_most_one(later + barred)

    def _soonest(self, i, first):
        """The soonest start of everything that waits for task i, when that starts at slot `first`."""
        found, todo, place = {i: first}, [(0, i)], self._place
        while todo:
            _, k = heappop(todo)
            for _, j, gap, _ in self.grid.succ[k]:
                least = bits.first(self.grid.dom[j], max(found[k] + gap, self.lo[j]))
                least = self.hi[j] + 1 if least < 0 else least
                if j not in found:
                    heappush(todo, (place[j], j))
                found[j] = max(found.get(j, 0), least)
        del found[i]
        return found

    def _energy(self):
        grid, self.used = self.grid, {}
        inside = {}
        for i, row in enumerate(self.x):
            for w, (literal, _, _) in row.items():
                inside.setdefault(w, []).append((grid.att[i] * grid.hands[i], literal))
        for w, found in sorted(inside.items()):
            start, end, window = grid.windows[w]
            room = int(grid.base[HANDS][start:end].sum())
            if window.longest is not None:
                self.model.add(sum(need * literal for need, literal in found) <= room)
                continue
            worked = self.used[w] = self.model.new_bool_var("")
            self.model.add(sum(need * literal for need, literal in found) <= room * worked)
            for _, literal in found:
                self.model.add_implication(literal, worked)

    def _resources(self):
        """In each window every resource has room for the work that uses it there."""
        grid, found = self.grid, {}
        for i, row in enumerate(self.x):
            for name, amount in grid.uses[i]:
                for w, (literal, _, _) in row.items():
                    found.setdefault((name, w), []).append((grid.dur[i] * amount, literal))
        for (name, w), needs in found.items():
            start, end, _ = grid.windows[w]
            room = int(grid.base[name][start:end].sum())
            if sum(need for need, _ in needs) > room:
                self.model.add(sum(need * literal for need, literal in needs) <= room)

    def _between_windows(self):
        """Whatever stands from before the end of a window to after it fits: trays that wait overnight."""
        grid, standing = self.grid, {}
        for keep in grid.keeps:
            if keep.until is not None and keep.length is None and keep.end is None and self._in_order(keep):
                standing.setdefault(keep.resource, []).append(keep)
        for name, keeps in standing.items():
            for w, (start, end, _) in enumerate(grid.windows[:-1]):
                opens = grid.windows[w + 1][0]
                if start >= end or end >= opens:
                    continue  # windows that touch have nothing between them that must be stood through
                room, terms, most = int(grid.base[name][end:opens].min()), [], 0
                for keep in keeps:
                    if keep.after is None and keep.begin > end:
                        continue  # it comes to stand within this night, or later: not all through it
                    put = [(1, one) for one in self._until(keep.after, w)] if keep.after is not None else None
                    gone = self._until(keep.until, w)
                    if (put is not None and not put) or len(gone) == len(self.x[keep.until]):
                        continue
                    if keep.after is None and self._left_out(keep.until):
                        continue  # what stands there may stand there for ever
                    most += keep.amount
                    terms.append(keep.amount * (1 if put is None else sum(one for _, one in put)))
                    terms.append(-keep.amount * sum(gone))
                if most > room:
                    self.model.add(sum(terms) <= room)

    def _heads(self):
        """Work that follows task i in the same window has only what is left of it after i and the waits."""
        grid = self.grid
        for i, row in enumerate(self.x):
            after = self._followers(i)
            for gap in sorted(set(after.values())):
                group = [j for j, least in after.items() if least >= gap]
                for w, (literal, first, _) in row.items():
                    start, end, _ = grid.windows[w]
                    head = first - start + gap
                    if head >= end - start:
                        continue
                    terms = [(grid.att[j] * grid.hands[j], self.x[j][w][0]) for j in group if w in self.x[j]]
                    room = int(grid.base[HANDS][start:end].sum())
                    lost = int(grid.base[HANDS][start : start + head].sum())
                    if sum(need for need, _ in terms) > room - lost:
                        self.model.add(sum(need * one for need, one in terms) + lost * literal <= room)

    def _followers(self, i):
        """Everything that waits for task i within a day, with the least slots from start to start."""
        found, todo = {}, [(i, 0)]
        while todo:
            k, so_far = todo.pop()
            for _, j, gap, _ in self.grid.succ[k]:
                total = so_far + gap
                if total * self.grid.step < 1440 and total > found.get(j, -1):
                    found[j] = total
                    todo.append((j, total))
        return found

    def _tails(self):
        """Work that task i follows in the same window has only what lies before i and the waits."""
        grid = self.grid
        for i, row in enumerate(self.x):
            before = self._forerunners(i)
            for gap in sorted(set(before.values())):
                group = [j for j, least in before.items() if least >= gap]
                for w, (literal, _, final) in row.items():
                    start, end, _ = grid.windows[w]
                    last = final - gap
                    if last <= start:
                        continue
                    terms = [(grid.att[j] * grid.hands[j], self.x[j][w][0]) for j in group if w in self.x[j]]
                    room = int(grid.base[HANDS][start:end].sum())
                    lost = int(grid.base[HANDS][last:end].sum())
                    if sum(need for need, _ in terms) > room - lost:
                        self.model.add(sum(need * one for need, one in terms) + lost * literal <= room)

    def _forerunners(self, i):
        """Everything that i waits for within a day, with the least slots since its attended work."""
        found, todo = {}, [(i, 0)]
        while todo:
            k, so_far = todo.pop()
            for p, _, gap, _ in self.grid.pred[k]:
                total = so_far + gap
                if total * self.grid.step < 1440 and total - self.grid.att[p] > found.get(p, -1):
                    found[p] = total - self.grid.att[p]
                    todo.append((p, total))
        return found

    def _in_order(self, keep):
        return keep.after is None or (keep.after, keep.until) in self.grid.why

    def _until(self, i, w):
        """The literals of task i starting in window w or before."""
        return [literal for k, (literal, _, _) in self.x[i].items() if k <= w]

    def _spans(self):
        for windows, count in spans_needed(self.grid, self.lo, self.hi):
            there = [self.used[w] for w in windows if w in self.used and w not in self.fixed]
            count -= sum(w in self.fixed for w in windows)
            if count > 0:
                self.model.add(sum(there) >= count)

    def forbid(self, windows, task=None):
        """No plan lies in these windows alone: some other one is needed.

        With `task`, the contradiction came from that task and what it is linked to by waits: then the
        other window is one that those tasks can use.
        """
        among = set(self.used) if task is None else {w for i in self._linked(task) for w in self.x[i]}
        self.model.add(sum(one for w, one in self.used.items() if w in among and w not in windows) >= 1)

    def at_least(self, count):
        """From now on, so many windows are used at least: proved already, and not to be proved again."""
        self.model.add(
            sum(one for w, one in self.used.items() if w not in self.fixed) >= count - len(self.fixed)
        )

    def _linked(self, i):
        """All tasks that waits connect with task i."""
        found, todo = set(), [i]
        while todo:
            k = todo.pop()
            if k not in found:
                found.add(k)
                todo += [j for _, j, _, _ in self.grid.succ[k]] + [j for j, _, _, _ in self.grid.pred[k]]
        return found

    def hint(self, slots):
        """Start from the windows of a plan."""
        self.hint_windows(
            [
                next((w for w, (_, a, b) in row.items() if a <= slots[i] <= b), None)
                for i, row in enumerate(self.x)
            ]
        )

    def hint_windows(self, places):
        """Start from a window for every task."""
        self.model.clear_hints()
        worked = set()
        for i, row in enumerate(self.x):
            for w, (literal, _, _) in row.items():
                self.model.add_hint(literal, w == places[i])
                worked |= {w} if w == places[i] else set()
        for w, literal in self.used.items():
            self.model.add_hint(literal, w in worked)

    def core(self, *, seconds, seed=1):
        """Orders of those that may be given up which cannot all be kept, few of them; None if it may be so.

        For an assignment made with weights; it is no good for `solve` after that.
        """
        keeps = {literal.negated().index: name for name, literal in self.given_up.items()}
        self.model.clear_objective()
        self.model.add_assumptions([literal.negated() for literal in self.given_up.values()])
        solver = self.solver = self.cp.CpSolver()
        solver.parameters.catch_sigint_signal = False
        solver.parameters.num_workers = 1  # only one searcher says which assumptions it used
        solver.parameters.random_seed = seed
        solver.parameters.max_time_in_seconds = max(0.001, seconds)
        if solver.solve(self.model) != self.cp.INFEASIBLE:
            return None
        return tuple(keeps[index] for index in solver.sufficient_assumptions_for_infeasibility())

    def place_of(self):
        """The window of every task in the solution found last."""
        value = self.solver.value
        return [next((w for w, (one, _, _) in row.items() if value(one)), None) for row in self.x]

    def solve(self, *, seconds=None, deterministic=None, workers=2, seed=1):
        """Return (status, windows used or None, bound on the sessions)."""
        solver = self.solver = self.cp.CpSolver()
        solver.parameters.catch_sigint_signal = False
        solver.parameters.num_workers = searchers(workers, self.grid.n)
        solver.parameters.random_seed = seed
        if seconds is not None:
            solver.parameters.max_time_in_seconds = max(0.001, seconds)
        if deterministic is not None:
            solver.parameters.max_deterministic_time = max(1e-6, deterministic)
            solver.parameters.interleave_search = solver.parameters.num_workers > 1
        status = solver.solve(self.model)
        if status == self.cp.INFEASIBLE:
            return "infeasible", None, None
        bound = max(0, int(solver.best_objective_bound + 1 - 1e-6)) + len(self.fixed)
        if status == self.cp.UNKNOWN:
            return "unknown", None, bound
        self.dropped = [name for name, literal in self.given_up.items() if solver.value(literal)]
        worked = {w for w, literal in self.used.items() if solver.value(literal)} | self.fixed
        return ("optimal" if status == self.cp.OPTIMAL else "feasible"), worked, bound
