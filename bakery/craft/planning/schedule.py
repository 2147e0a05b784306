"""A plan in the making: tasks put into free slots one by one, taken out again, put elsewhere.

Free slots are counted per resource; which slots still have enough of it is a bit set, so that the latest
or earliest fit of a task is a handful of operations on Python integers.
"""

from __future__ import annotations

from . import bits
from .grid import at_least
from .problem import HANDS

WHILE, BEFORE, AFTER = "while", "before", "after"
"""When a task takes something: while it lasts, by a hold that it ends, by a hold that it begins."""


class Schedule:
    """Starts found so far (`None` = not placed) and what is left of each resource."""

    def __init__(self, grid):
        self.grid = grid
        self.left = {name: amounts.copy() for name, amounts in grid.base.items()}
        self.starts: list[int | None] = [None] * grid.n
        self._levels: dict[tuple[str, int], int] = {}
        self._runs: dict[tuple[str, int, int], int] = {}
        self._by_resource: dict[str, list] = {name: [] for name in self.left}
        self._clash: tuple[str, str, int, int] | None = None

    def copy(self) -> Schedule:
        """Another schedule with the same tasks in place."""
        twin = Schedule.__new__(Schedule)
        twin.grid, twin.starts = self.grid, list(self.starts)
        twin.left = {name: amounts.copy() for name, amounts in self.left.items()}
        twin._levels, twin._runs = dict(self._levels), dict(self._runs)
        twin._by_resource = {name: list(keys) for name, keys in self._by_resource.items()}
        twin._clash = None
        return twin

    def _level(self, name, amount):
        key = (name, amount)
        if key not in self._levels:
            self._levels[key] = at_least(self.left[name], amount)
            self._by_resource[name].append(("level", key))
        return self._levels[key]

    def _run(self, name, amount, length):
        key = (name, amount, length)
        if key not in self._runs:
            self._runs[key] = bits.runs(self._level(name, amount), length)
            self._by_resource[name].append(("run", key))
        return self._runs[key]

    def _take(self, name, amount, start, end):
        if start >= end:
            return True
        part = self.left[name][start:end]
        part -= amount
        levels = []
        for kind, key in self._by_resource[name]:
            if kind == "run":
                del self._runs[key]
                continue
            level = self._levels[key]  # only these slots have changed: far less than the whole calendar
            before = level & ((1 << start) - 1)
            self._levels[key] = (level >> end << end) | (at_least(part, key[1]) << start) | before
            levels.append((kind, key))
        self._by_resource[name] = levels
        return part.min(initial=0) >= 0

    def _spans(self, i):
        """What task i takes where it stands: (when, resource, amount, start, end); no open holds."""
        grid, starts = self.grid, self.starts
        start = starts[i]
        if grid.hands[i]:
            yield WHILE, HANDS, grid.hands[i], start, start + grid.att[i]
        for name, amount in grid.uses[i]:
            yield WHILE, name, amount, start, start + grid.dur[i]
        for keep in grid.keeps_from[i]:
            if keep.until is None or starts[keep.until] is not None:
                yield AFTER, keep.resource, keep.amount, *keep.span(starts, grid.dur)
        for keep in grid.keeps_to[i]:
            if keep.after is None or starts[keep.after] is not None:
                yield BEFORE, keep.resource, keep.amount, *keep.span(starts, grid.dur)

    def put(self, i, start) -> bool:
        """Place task i at slot `start`; False (and nothing changed) when that takes too much of something."""
        self.starts[i] = start
        taken, fits = [], True
        for when, name, amount, begin, end in self._spans(i):
            fits = self._take(name, amount, begin, end)
            taken.append((name, -amount, begin, end))
            if not fits:
                over = (self.left[name][begin:end] < 0).nonzero()[0]
                self._clash = when, name, begin + int(over[0]), begin + int(over[-1])
                break
        if not fits:
            for change in taken:
                self._take(*change)
            self.starts[i] = None
        return fits

    def take_out(self, i):
        """Take task i out again."""
        if self.starts[i] is None:
            return
        for _, name, amount, begin, end in list(self._spans(i)):
            self._take(name, -amount, begin, end)
        self.starts[i] = None

    def room(self, i, lo, hi, *, patient=False) -> int:
        """The slots in [lo, hi] at which task i can start beside what is placed, as a set of bits.

        Two holds of one task on one resource are looked at singly; `put` has the last word. With `patient`,
        what comes after may wait longer than its longest wait.
        """
        grid, starts = self.grid, self.starts
        for p, _, gap, most in grid.pred[i]:
            if starts[p] is not None:
                lo = max(lo, starts[p] + gap)
                if most is not None:
                    hi = min(hi, starts[p] + most)
        for _, s, gap, most in grid.succ[i]:
            if starts[s] is not None:
                hi = min(hi, starts[s] - gap)
                if most is not None and not patient:
                    lo = max(lo, starts[s] - most)
        if hi < lo:
            return 0
        slots = self.open(i, lo, hi)
        if slots and grid.keeps_from[i]:
            slots = self._room_before(i, slots)
        if slots and grid.keeps_to[i]:
            slots = self._room_after(i, slots)
        return slots

    def open(self, i, lo, hi) -> int:
        """The slots in [lo, hi] in which hands and tools are free for task i: no waits, no holds."""
        grid = self.grid
        slots = grid.dom[i] & bits.span(lo, hi + 1) if lo <= hi else 0
        if slots and grid.hands[i]:
            slots &= self._run(HANDS, grid.hands[i], grid.att[i])
        for name, amount in grid.uses[i]:
            if not slots:
                return 0
            slots &= self._run(name, amount, grid.dur[i])
        return slots

    def _room_before(self, i, slots):
        """Keep the starts after whose end every hold that task i begins finds room."""
        grid = self.grid
        for keep in grid.keeps_from[i]:
            ends = [] if keep.end is None else [keep.end]
            if keep.until is not None:
                if self.starts[keep.until] is None:
                    continue
                ends.append(self.starts[keep.until])
            good = self._run(keep.resource, keep.amount, keep.length) if keep.length is not None else 0
            if ends:
                full = ~self._level(keep.resource, keep.amount)
                good |= -1 << (bits.last(full, min(ends) - 1) + 1)
            slots &= good >> grid.dur[i]
        return slots

    def _room_after(self, i, slots):
        """Keep the starts up to which every hold that task i ends finds room."""
        grid = self.grid
        for keep in grid.keeps_to[i]:
            if keep.after is None:
                begin = keep.begin
            elif self.starts[keep.after] is None:
                continue
            else:
                begin = self.starts[keep.after] + grid.dur[keep.after]
            full = ~self._level(keep.resource, keep.amount)
            stop = bits.first(full, begin)
            ends = [
                end
                for end in (keep.end, None if keep.length is None else begin + keep.length)
                if end is not None
            ]
            if not ends or min(ends) > stop:
                slots &= bits.span(0, stop + 1)
        return slots

    def put_latest(self, i, lo, hi) -> bool:
        """Place task i as late as it fits within [lo, hi]."""
        slots = self.room(i, lo, hi)
        while slots:
            start = slots.bit_length() - 1
            if self.put(i, start):
                return True
            last = self._latest_left(i)
            slots &= bits.span(0, start if last is None else min(start, last + 1))
        return False

    def put_earliest(self, i, lo, hi) -> bool:
        """Place task i as early as it fits within [lo, hi]."""
        slots = self.room(i, lo, hi)
        while slots:
            start = (slots & -slots).bit_length() - 1
            if self.put(i, start):
                return True
            first = self._earliest_left(i)
            if first is None:
                return False
            slots &= -1 << max(start + 1, first)
        return False

    def _latest_left(self, i) -> int | None:
        """After a clash: no start of task i between this slot and the one tried fits; -1: none before it.

        What is too full while its forerunner's tray stands stays so until it starts no later than that; what
        is too full after it, until its own tray is gone by then.
        """
        when, name, first, _ = self._clash
        if when == BEFORE:
            return first
        if when == AFTER:
            lengths = [keep.length for keep in self.grid.keeps_from[i] if keep.resource == name]
            known = [length for length in lengths if length is not None]
            return first - self.grid.dur[i] - min(known) if known else -1
        return None

    def _earliest_left(self, i) -> int | None:
        """After a clash: no start of task i from the one tried up to this slot fits; None: none after it."""
        when, _, _, last = self._clash
        if when == BEFORE:
            return None
        return last + 1 - self.grid.dur[i] if when == AFTER else 0
