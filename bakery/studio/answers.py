"""The five answers with which she starts, and what they come to."""

from dataclasses import dataclass
from datetime import time
from decimal import Decimal

PARTS = {
    "morning": (time(9, 0), time(12, 0)),
    "midday": (time(12, 0), time(15, 0)),
    "evening": (time(18, 30), time(22, 30)),
}
USUAL_HOURS = frozenset(
    {(1, "evening"), (2, "evening"), (3, "evening"), (4, "evening"), (5, "morning"), (5, "midday")}
)


@dataclass(frozen=True)
class Stint:
    """One stretch of an ordinary week as she gave it."""

    weekday: int
    start: time
    end: time
    hands: int = 1


@dataclass(frozen=True)
class StartAnswers:
    """All of them have a usual value."""

    stints: tuple[Stint, ...]
    cookies_per_sheet: int = 14
    rack_places: int = 12
    cookies_per_batch: int = 20
    hourly_wage: Decimal = Decimal("16.00")


def stints_of(ticked) -> tuple[Stint, ...]:
    """Ticked tiles (weekday, part) at the usual clock times."""
    return stints_between(ticked, PARTS)


def stints_between(ticked, parts: dict) -> tuple[Stint, ...]:
    """Ticked tiles (weekday, part) as stretches; touching and overlapping ones of a day are joined."""
    found: list[Stint] = []
    for weekday, start, end in sorted((weekday, *parts[part]) for weekday, part in ticked):
        last = found[-1] if found else None
        if last and last.weekday == weekday and start <= last.end:
            found[-1] = Stint(weekday, last.start, max(last.end, end))
        else:
            found.append(Stint(weekday, start, end))
    return tuple(found)
