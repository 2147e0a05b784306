"""The objectives on top of the hard rules, each as something to hold down or to minimise."""

from __future__ import annotations

from .model import Model


class Goals:
    """Adds the measures of a plan to a `Model`, only when asked for. Values are minutes or counts.

    Every expression equals what `verify.measure` computes, or bounds it from above and equals it when
    minimised; a limit on it is therefore exact.
    """

    def __init__(self, model: Model):
        self.m, self.grid, self.problem = model, model.grid, model.grid.problem
        self.cp = model.model
        self._made = {}

    def expression(self, name):
        """The measure `name`, one of the solver's stages, as a linear expression."""
        if name not in self._made:
            self._made[name] = getattr(self, f"_{name}")()
        return self._made[name]

    def hold(self, name, value):
        """From now on, `name` may not exceed `value`."""
        self.cp.add(self.expression(name) <= value)

    def minimise(self, name):
        """Make `name` the objective."""
        self.cp.minimize(self.expression(name))

    def _end(self, name):
        """End of a task in minutes: (expression, least, most)."""
        i = self.grid.index.get(name)
        if i is None:
            end = self.grid.fact[name][1]
            return end, end, end
        step, length = self.grid.step, self.grid.dur[i]
        return (
            (self.m.start[i] + length) * step,
            (self.m.lo[i] + length) * step,
            (self.m.hi[i] + length) * step,
        )

    def _over(self, expression, least, most, limit):
        """A value of at least max(0, expression - limit)."""
        if most <= limit:
            return 0
        if least >= limit:
            return expression - limit
        over = self.cp.new_int_var(0, most - limit, "")
        self.cp.add(over >= expression - limit)
        return over

    def _orders(self, soft=False):
        return [order for order in self.problem.orders if order.soft == soft and self._known(order.finish)]

    def _known(self, name):
        return name not in self.grid.index or self.grid.index[name] in self.m.inside

    def _missed(self):
        total = 0
        for order in self._orders():
            if order.event is None:
                continue
            end, least, most = self._end(order.finish)
            if least > order.event:
                total += order.weight
            elif most > order.event:
                total += order.weight * self._beyond(end, most, order.event)
        return total

    def _beyond(self, end, most, limit):
        """A literal that is true when `end` comes after `limit`."""
        literal = self.cp.new_bool_var("")
        self.cp.add(end <= limit).only_enforce_if(~literal)
        return literal

    def _lateness(self):
        return self._late(soft=False)

    def _soft(self):
        return self._late(soft=True)

    def _late(self, soft):
        total = 0
        for order in self._orders(soft):
            total += order.weight * self._over(*self._end(order.finish), order.pickup)
        return total

    def _stale(self):
        total = 0
        for order in self._orders():
            end, least, most = self._end(order.finish)
            for name in filter(self._known, order.bakes):
                baked, soonest, latest = self._end(name)
                # max(pickup, end) - baked - keeps, in two parts: each over bounds it from below.
                parts = [(order.pickup - baked, order.pickup - latest, order.pickup - soonest)]
                if most > order.pickup:
                    parts.append((end - baked, least - latest, most - soonest))
                total += self._most_over(parts, order.keeps)
        return total

    def _most_over(self, parts, limit):
        parts = [part for part in parts if part[2] > limit]
        if not parts:
            return 0
        if len(parts) == 1:
            return self._over(*parts[0], limit)
        over = self.cp.new_int_var(0, max(most for _, _, most in parts) - limit, "")
        for expression, _, _ in parts:
            self.cp.add(over >= expression - limit)
        return over

    def _tight(self):
        total = 0
        for order in self._orders():
            end, least, most = self._end(order.finish)
            limit = order.pickup - order.spare
            if most <= limit or least > order.pickup:
                continue
            over = self.cp.new_int_var(0, min(most, order.pickup) - limit, "")
            if most <= order.pickup:
                self.cp.add(over >= end - limit)
            else:
                late = self._beyond(end, most, order.pickup)
                self.cp.add(end > order.pickup).only_enforce_if(late)
                self.cp.add(over >= end - limit).only_enforce_if(~late)
            total += over
        return total

    def literals(self):
        """x[i][w]: free task i starts in window w; only windows it can start in. Kept for all who ask."""
        if "literals" in self._made:
            return self._made["literals"]
        grid, made = self.grid, {}
        for i in self.m.members:
            spans = {}
            for w, (start, end, _) in enumerate(grid.windows):
                lo, hi = max(start, self.m.lo[i]), min(end - grid.dur[i], self.m.hi[i])
                if lo <= hi and not (domain := self.m.domain(i, lo, hi)).is_empty():
                    spans[w] = domain
            row = {w: self.cp.new_bool_var("") for w in spans}
            self.cp.add_exactly_one(row.values())
            for w, domain in spans.items():
                if len(spans) > 1:
                    self.cp.add_linear_expression_in_domain(self.m.start[i], domain).only_enforce_if(row[w])
            made[i] = row
        self._made["literals"] = made
        return made

    def _sessions(self):
        from .problem import HANDS

        grid, literals = self.grid, self.literals()
        fixed, used = pinned_windows(grid), {}
        for w, (start, end, window) in enumerate(grid.windows):
            if window.longest is not None:
                continue
            inside = [(i, row[w]) for i, row in literals.items() if w in row]
            if not inside:
                continue
            worked = 1 if w in fixed else self.cp.new_bool_var("")
            room = int(grid.base[HANDS][start:end].sum())
            need = sum(grid.att[i] * grid.hands[i] * literal for i, literal in inside)
            self.cp.add(need <= room * worked)
            if w not in fixed:
                for _, literal in inside:
                    self.cp.add_implication(literal, worked)
                self.cp.add_bool_or([*(literal for _, literal in inside), ~worked])
                used[w] = worked
        self.used = used
        return sum(used.values()) + len(fixed)

    def _moved(self):
        literals, total = self.literals(), 0
        for task in self.problem.tasks:
            if task.state != "todo" or task.id not in self.problem.wall:
                continue
            there = window_of(self.problem, self.problem.wall[task.id])
            if not task.free:
                total += there is None or window_of(self.problem, task.start) != there
                continue
            row = literals[self.grid.index[task.id]]
            total += 1 if there not in row else 1 - row[there]
        return total

    def _age(self):
        total = 0
        for order in self._orders():
            for name in order.bakes:
                oven = self.grid_task(name).uses.get("oven", 0)
                if oven:
                    total += oven * (order.pickup - self._end(name)[0])
        return total

    def grid_task(self, name):
        """The task called `name`."""
        if "tasks" not in self._made:
            self._made["tasks"] = {task.id: task for task in self.problem.tasks}
        return self._made["tasks"][name]


def window_of(problem, time) -> int | None:
    """Number of the window that `time` lies in, or None."""
    for i, window in enumerate(problem.windows):
        if window.start <= time < window.end:
            return i
    return None


def pinned_windows(grid) -> set[int]:
    """Windows without `longest` in which a pinned task starts: they count as sessions whatever the plan."""
    found = set()
    for task in grid.problem.tasks:
        if task.state == "todo" and task.pinned:
            w = window_of(grid.problem, task.start)
            if w is not None and grid.problem.windows[w].longest is None:
                found.add(w)
    return found
