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
    """Ticked tiles (weekday, part) as stretches, touching ones of a day joined."""
    found: list[Stint] = []
    for weekday, part in sorted(ticked, key=lambda tile: (tile[0], PARTS[tile[1]][0])):
        start, end = PARTS[part]
        if found and found[-1].weekday == weekday and found[-1].end == start:
            start = found.pop().start
        found.append(Stint(weekday, start, end))
    return tuple(found)
