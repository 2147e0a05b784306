"""Room for more: hours of hands said as dozens of plain cookies, from the jobs that plans are made of."""

from datetime import UTC, datetime
from functools import lru_cache

from bakery.craft.drying import DryingTimes
from bakery.craft.work import LineSpec, OrderSpec, Shop, work_of

DOZENS = 4
"""A dozen is reckoned out of an order of this many, so that set-up counts as it usually does."""
SOME_DAY = datetime(2030, 1, 5, 12, tzinfo=UTC)


def minutes_a_dozen(shop: Shop, padding: float) -> float:
    """Her minutes at the bench for a dozen plain cookies of one colour, padded as in the plan."""
    return (
        _minutes_a_dozen(tuple(sorted(_plain(shop).items())), tuple(sorted(shop.minutes.items()))) * padding
    )


def dozens_in(minutes: float, shop: Shop, padding: float) -> int:
    """How many whole dozens of plain cookies fit into these minutes of hands."""
    return max(0, int(minutes // minutes_a_dozen(shop, padding)))


def minutes_of_week(stints, wash_up_minutes: int) -> tuple[int, int]:
    """Hand minutes of an ordinary week: all of them, and those left after washing up each session."""
    total = sum((_clock(s.end) - _clock(s.start)) * s.hands for s in stints)
    return total, max(0, total - wash_up_minutes * len(_sessions(stints)))


def _sessions(stints) -> list:
    found: list[list[int]] = []
    for stint in sorted(stints, key=lambda s: (s.weekday, s.start)):
        start, end = (stint.weekday * 1440 + _clock(clock) for clock in (stint.start, stint.end))
        if found and start <= found[-1][1]:
            found[-1][1] = max(found[-1][1], end)
        else:
            found.append([start, end])
    return found


def _clock(clock) -> int:
    return clock.hour * 60 + clock.minute


def _plain(shop: Shop) -> dict:
    names = ("cookies_per_sheet", "sheets_in_oven", "rack_places", "cookies_per_tray", "cookies_per_batch")
    return {name: getattr(shop, name) for name in names}


@lru_cache(maxsize=64)
def _minutes_a_dozen(habits: tuple, minutes: tuple) -> float:
    line = LineSpec("l1", "plain", "plain", 12 * DOZENS)
    order = OrderSpec("room", "plain", (line,), SOME_DAY)
    return work_of(order, Shop(**dict(habits), minutes=dict(minutes)), DryingTimes()).bench_minutes / DOZENS
