"""What work paid: what came in, what is owed, the hour it pays, and how far her own minutes are off.

Money is in whole pence and time in whole seconds, so that every sum is exact whatever adds it up.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from .costing.parts import pence

__all__ = [
    "LEAST_ORDERS",
    "OFF",
    "Pay",
    "brought",
    "factor",
    "hour",
    "least_paid",
    "money",
    "owed",
    "share_out",
    "timed",
    "used_up",
    "whole_pence",
]

LEAST_ORDERS = 3
"""Fewer orders than this say nothing about a design (our own choice, common practice, no source)."""
OFF = Fraction(1, 10)
"""Minutes that are less than a tenth off need no mending (our own choice, no source)."""
BELIEVED = (Fraction(1, 4), Fraction(4))
"""A timing shorter or longer than this times the minutes thought is a clock forgotten, not work."""


@dataclass(frozen=True)
class Pay:
    """What some orders brought: pence in, pence of cost (material, power, road, rent, fee, tax), seconds.

    Sums of them are sums of their figures.
    """

    name: str = ""
    orders: int = 0
    cookies: int = 0
    brought: int = 0
    cost: int = 0
    thought: int = 0
    took: int = 0

    @property
    def left(self) -> int:
        """What is left for her time, in pence; below nothing where she paid to work."""
        return self.brought - self.cost

    @property
    def hour(self) -> Decimal | None:
        """Pay for an hour as it really went, to the penny; None where no time is known."""
        return hour(self.left, self.took)

    def __add__(self, other: "Pay") -> "Pay":
        return Pay(
            self.name, self.orders + other.orders, self.cookies + other.cookies, self.brought + other.brought,
            self.cost + other.cost, self.thought + other.thought, self.took + other.took,
        )  # fmt: skip


def money(pennies: int) -> Decimal:
    """Whole pence as an amount with two places, exactly."""
    return Decimal(pennies).scaleb(-2).quantize(Decimal("0.01"))


def whole_pence(amount: Decimal | int | str) -> int:
    """An amount of money as whole pence, halves up (away from nothing). ValueError for what is no number."""
    amount = Decimal(amount)
    if not amount.is_finite():
        raise ValueError("An amount of money is a number.")
    return int(pence(amount) * 100)


def brought(asked: int | None, came_in: int, given_back: int) -> int | None:
    """What an order brings, in pence: what was asked, or more where more came in; less what was given back.

    None where nothing was ever asked and nothing came in: it is not known, and not nothing.
    """
    if asked is None and not came_in and not given_back:
        return None
    return max(asked or 0, came_in) - given_back


def owed(asked: int | None, came_in: int) -> int:
    """What is still to come, in pence. What was given back is given, not owed again."""
    return max(0, (asked or 0) - came_in)


def hour(left: int, seconds: int) -> Decimal | None:
    """Pence left over so many seconds of work, as pay an hour, to the nearest penny; None without time."""
    return pence(Fraction(left * 3600, seconds * 100)) if seconds > 0 else None


def share_out(total: int, weights: Sequence[Fraction | float | int]) -> list[int]:
    """A whole number in whole parts by weight (none below nothing); the parts add up to it exactly.

    Largest remainders get the odd units, the first of equals first. Without any weight all are alike.
    Raises ValueError for a weight below nothing.
    """
    if not weights:
        return []
    exact = [Fraction(weight) for weight in weights]
    if min(exact) < 0:
        raise ValueError("A weight is never less than nothing.")
    every = sum(exact)
    if not every:
        exact, every = [Fraction(1)] * len(exact), Fraction(len(exact))
    sign, size = (-1, -total) if total < 0 else (1, total)
    parts = [size * weight / every for weight in exact]
    found = [int(part) for part in parts]
    odd = sorted(range(len(parts)), key=lambda i: (found[i] - parts[i], i))
    for i in odd[: size - sum(found)]:
        found[i] += 1
    return [sign * part for part in found]


def timed(thought: float, took: float) -> bool:
    """Whether a timing can be believed: both above nothing, and not off by more than four times."""
    if thought <= 0 or took <= 0:
        return False
    low, high = BELIEVED
    return low * Fraction(thought) <= Fraction(took) <= high * Fraction(thought)


def factor(thought: int, took: int) -> Fraction | None:
    """How many times her own minutes the work takes; None where nothing was timed."""
    return Fraction(took, thought) if thought > 0 and took > 0 else None


def used_up(thought: Mapping[str, int], books: Mapping[str, int], kept: Iterable[str]) -> dict[str, int]:
    """Pence of material by group. Where amounts of the whole group are `kept` the books count.

    Elsewhere the books know of a part only, so the larger of both counts: an hour is never flattered.
    """
    kept, groups = set(kept), [*thought, *(key for key in books if key not in thought)]
    return {
        key: books[key] if key in kept and key in books else max(thought.get(key, 0), books.get(key, 0))
        for key in groups
    }


def least_paid(rows: Iterable[Pay], least_orders: int = LEAST_ORDERS) -> Pay | None:
    """The row that pays least an hour among those that rest on enough orders; None where none does."""
    known = [row for row in rows if row.orders >= least_orders and row.hour is not None]
    return min(known, key=lambda row: (row.hour, -row.orders, row.name), default=None)
