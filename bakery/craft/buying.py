"""When to order what will be missing, and how many packs: plain arithmetic on days and amounts.

Reordering by use and lead time with a margin is the textbook rule (`stocktaking.reorder_point`, checked in
tests/outside/test_stocktaking.py); that packs come whole is how shops sell.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from math import ceil

__all__ = ["Deadline", "deadline", "pace_of", "packs_for", "reaches"]

FAR_DAYS = 3650


@dataclass(frozen=True)
class Deadline:
    """`by` is the day to order with the margin kept, `last` the last day that is still in time without it."""

    by: date
    last: date
    today: date

    @property
    def late(self) -> bool:
        """Even ordered today it comes too late."""
        return self.last < self.today

    @property
    def now(self) -> bool:
        """The margin begins to melt: order today."""
        return not self.late and self.by <= self.today


def deadline(wanted: date, *, lead_days: int, margin_days: int, today: date) -> Deadline:
    """When to order what is wanted on a day: so many days on the way, and so many to spare.

    Days count as calendar days. Raises ValueError when either is negative.
    """
    if lead_days < 0 or margin_days < 0:
        raise ValueError("Days on the way and days to spare are never negative.")
    last = wanted - timedelta(days=lead_days)
    return Deadline(last - timedelta(days=margin_days), last, today)


def packs_for(missing: Decimal, pack_size: Decimal) -> int:
    """Whole packs that hold at least `missing`, both in one unit; 0 when nothing is missing.

    Raises ValueError for a pack that holds nothing.
    """
    if pack_size <= 0:
        raise ValueError("A pack holds something.")
    if missing <= 0:
        return 0
    return ceil(missing / pack_size)


def pace_of(used: Decimal, days: int) -> Decimal:
    """Use a day [unit/day] over some days; ValueError where there are none, or the use is below zero."""
    if days <= 0 or used < 0:
        raise ValueError("Use is not negative, and a stretch has days.")
    return used / days


def reaches(left: Decimal, pace: Decimal, level: float) -> int | None:
    """Whole days until `left` has sunk to `level` at a steady pace [unit/day]; 0 when it is there already,
    None when nothing is used or it lies ten years off.
    """
    if left <= Decimal(str(level)):
        return 0
    if pace <= 0:
        return None
    days = int((left - Decimal(str(level))) / pace)
    return days if days <= FAR_DAYS else None
