"""Limits: seconds of the wall, or the solver's deterministic time for answers that must repeat."""

from __future__ import annotations

import time

GRACE = 4.0
"""Seconds over the limit in which a first plan is still finished: no plan is worse than one a little late."""


class Clock:
    """What is left of a limit in seconds or, when `deterministic` is given, in deterministic time."""

    def __init__(self, seconds, deterministic=None):
        self.deterministic, self.seconds = deterministic, seconds
        self.began = time.monotonic()
        self.spent = 0.0

    def left(self) -> float:
        """Seconds (or deterministic time) left."""
        if self.deterministic is not None:
            return self.deterministic - self.spent
        return self.seconds - (time.monotonic() - self.began)

    def passed(self) -> float:
        """Seconds since the beginning."""
        return time.monotonic() - self.began

    def over(self) -> bool:
        """True when nothing is left."""
        return self.left() <= 0

    def long_over(self) -> bool:
        """True when so much more than the limit has passed that even a first plan is given up."""
        return self.deterministic is None and self.passed() > self.seconds + GRACE

    def spend(self, amount):
        """Count work that is not the solver's; keeps loops under a deterministic limit finite."""
        self.spent += amount

    def part(self, share, most=None) -> Part:
        """A clock over a share of what is left, at most `most`; what it spends counts here too."""
        left = self.left() * share
        return Part(self, left if most is None else min(left, most))

    def run(self, model, share=1.0, **options):
        """Solve `model` with a share of what is left; ("unknown", None, None) when nothing is left."""
        limit = self.left() * share
        if limit <= 0:
            return "unknown", None, None
        if self.deterministic is None:
            return model.solve(seconds=limit, **options)
        answer = model.solve(deterministic=limit, **options)
        self.spend(model.solver.response_proto.deterministic_time)
        return answer


class Part(Clock):
    """A part of another clock's time."""

    def __init__(self, whole, limit):
        super().__init__(limit, None if whole.deterministic is None else limit)
        self.whole = whole

    def left(self) -> float:
        """Never more than the whole has left."""
        return min(super().left(), self.whole.left())

    def spend(self, amount):
        """Counted in the whole as well."""
        self.spent += amount
        self.whole.spend(amount)
