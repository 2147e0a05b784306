"""When there is somebody to work: sessions, waking hours and outages, as aware times."""

from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

__all__ = ["Calendar", "Fact", "Outage", "Session"]


class Session(NamedTuple):
    """A span with `hands` pairs of hands. `longest` 10 marks a waking hour for jobs up to ten minutes."""

    start: datetime
    end: datetime
    hands: int = 1
    longest: int | None = None


class Outage(NamedTuple):
    """`amount` of a resource (airbrush, oven, rack, stencil/..., hands) not to be had for a while."""

    resource: str
    amount: int
    start: datetime
    end: datetime


@dataclass(frozen=True)
class Calendar:
    """Sessions (tuples of start, end, hands, longest) and outages. Overlaps are sorted out later."""

    sessions: tuple[Session, ...]
    outages: tuple[Outage, ...] = ()

    def __post_init__(self):
        sessions = tuple(sorted((Session(*s) for s in self.sessions), key=lambda s: (s.start, s.end)))
        object.__setattr__(self, "sessions", sessions)
        object.__setattr__(self, "outages", tuple(Outage(*o) for o in self.outages))
        for span in (*sessions, *self.outages):
            if span.start.tzinfo is None or span.end.tzinfo is None:
                raise ValueError("Times need a time zone.")


@dataclass(frozen=True)
class Fact:
    """What really happened to a job: running or done, since when, for how many minutes."""

    job_id: str
    state: str
    start: datetime
    minutes: int

    def __post_init__(self):
        if self.state not in ("running", "done"):
            raise ValueError("A fact is running or done.")
        if self.start.tzinfo is None:
            raise ValueError("Times need a time zone.")
