"""The planning problem as frozen data: what has to be done, when she can work, what is in the way.

All times are whole minutes after `Problem.origin` (UTC), all durations whole minutes. The classes have
the names and fields of the JSON form (the JSON key "from" of a hold is the field `after`). Data is
checked once, when a `Problem` is made; whatever holds one may rely on it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from types import MappingProxyType

TODO, RUNNING, DONE = "todo", "running", "done"
STATES = (TODO, RUNNING, DONE)
HANDS = "hands"


class ProblemError(ValueError):
    """A problem (or plan) that makes no sense, with every fault found: (path, sentence) pairs."""

    def __init__(self, faults):
        self.faults = tuple(faults)
        super().__init__(
            "; ".join(f"{path}: {sentence}" if path else sentence for path, sentence in self.faults)
        )

    @property
    def path(self) -> str:
        """Where the first fault lies, for example `tasks[3].minutes`."""
        return self.faults[0][0]

    @property
    def sentence(self) -> str:
        """What is wrong there, in words."""
        return self.faults[0][1]


@dataclass(frozen=True, slots=True)
class Window:
    """A span in which work can be done by `hands` pairs of hands, in jobs of at most `longest` minutes."""

    start: int
    end: int
    hands: int = 1
    longest: int | None = None


@dataclass(frozen=True, slots=True)
class Blocked:
    """`amount` of a resource (or of the hands) that is not to be had from `start` to `end`."""

    resource: str
    amount: int
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Task:
    """One piece of work. Its first `attended` minutes take `hands`; it has its `uses` throughout."""

    id: str
    kind: str
    orders: tuple[str, ...]
    minutes: int
    attended: int
    hands: int = 1
    uses: Mapping[str, int] = field(default_factory=dict)
    state: str = TODO
    start: int | None = None
    pinned: bool = False

    def __post_init__(self):
        object.__setattr__(self, "orders", tuple(self.orders))
        object.__setattr__(self, "uses", MappingProxyType(dict(self.uses)))

    @property
    def free(self) -> bool:
        """True when the plan decides its start: still to do and not pinned."""
        return self.state == TODO and not self.pinned


@dataclass(frozen=True, slots=True)
class Lag:
    """`min <= start(after) - end(before) <= max` in minutes; `max` None means no limit."""

    before: str
    after: str
    min: int
    max: int | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class Hold:
    """`amount` of a resource from the end of `after` to the start of `until` or for `minutes`: the sooner."""

    resource: str
    amount: int
    after: str
    until: str | None = None
    minutes: int | None = None


@dataclass(frozen=True, slots=True)
class Order:
    """A hand-over: due at `pickup`, worthless after `event`, done when the task `finish` ends."""

    id: str
    pickup: int
    event: int | None
    finish: str
    bakes: tuple[str, ...] = ()
    keeps: int = 7200
    spare: int = 720
    weight: int = 1
    soft: bool = False

    def __post_init__(self):
        object.__setattr__(self, "bakes", tuple(self.bakes))


@dataclass(frozen=True, slots=True)
class Problem:
    """Everything the planner knows. Raises ProblemError when it contradicts itself."""

    origin: datetime
    step: int
    now: int
    horizon: int
    windows: tuple[Window, ...]
    resources: Mapping[str, int]
    blocked: tuple[Blocked, ...]
    tasks: tuple[Task, ...]
    lags: tuple[Lag, ...]
    holds: tuple[Hold, ...]
    orders: tuple[Order, ...]
    wall: Mapping[str, int] = field(default_factory=dict)

    def __post_init__(self):
        from .faults import faults

        for name in ("windows", "blocked", "tasks", "lags", "holds", "orders"):
            object.__setattr__(self, name, tuple(getattr(self, name)))
        for name in ("resources", "wall"):
            object.__setattr__(self, name, MappingProxyType(dict(getattr(self, name))))
        found = faults(self)
        if found:
            raise ProblemError(found)
        object.__setattr__(self, "origin", self.origin.astimezone(UTC))
