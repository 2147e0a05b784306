"""What stock is worth, when to buy it again, and how it runs down: plain and exact arithmetic.

The house's books keep the cost of each packet (bakery/stock/ledger); what is here are the textbook rules they
are checked against, and the looking ahead. Sources stand beside the checks in
tests/outside/test_stocktaking.py.
"""

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import TypeVar

__all__ = ["Costs", "In", "Out", "Projection", "fifo", "project", "reorder_point", "weighted_average"]

Number = int | Decimal | Fraction
Moment = TypeVar("Moment")


@dataclass(frozen=True)
class In:
    """So many units came, at a cost each."""

    units: Number
    unit_cost: Number


@dataclass(frozen=True)
class Out:
    """So many units went."""

    units: Number


@dataclass(frozen=True)
class Costs:
    """What each issue cost, and what is left is worth; exact fractions, to be rounded by who shows them."""

    issues: tuple[Fraction, ...]
    units_left: Fraction
    ending: Fraction

    @property
    def used(self) -> Fraction:
        return sum(self.issues, Fraction(0))

    @property
    def unit(self) -> Fraction | None:
        """Cost of one of those left; None when nothing is left."""
        return self.ending / self.units_left if self.units_left else None


def fifo(events: Iterable[In | Out]) -> Costs:
    """Cost first in first out: an issue takes the oldest units first.

    events: in the order they happened; units in one unit, costs in one currency. Counting at the end of the
    period or after each event gives the same. Raises ValueError on a negative amount or when more goes than
    there is.
    """
    layers: deque[list[Fraction]] = deque()
    issues = []
    for event in events:
        units = _amount(event.units)
        if isinstance(event, In):
            layers.append([units, _amount(event.unit_cost)])
            continue
        cost = Fraction(0)
        while units:
            if not layers:
                raise ValueError(f"{units} more went than there were.")
            part = min(units, layers[0][0])
            cost += part * layers[0][1]
            units -= part
            layers[0][0] -= part
            if not layers[0][0]:
                layers.popleft()
        issues.append(cost)
    left = sum((units for units, _ in layers), Fraction(0))
    return Costs(tuple(issues), left, sum((units * cost for units, cost in layers), Fraction(0)))


def weighted_average(events: Iterable[In | Out], *, periodic: bool = False) -> Costs:
    """Average cost: moving (an issue takes the average of what is there), or `periodic` (of all that came).

    Arguments, result and errors as for `fifo`.
    """
    events = list(events)
    units = value = Fraction(0)
    issues = []
    whole = None
    if periodic:
        came = [(_amount(e.units), _amount(e.unit_cost)) for e in events if isinstance(e, In)]
        total = sum((n for n, _ in came), Fraction(0))
        whole = sum((n * cost for n, cost in came), Fraction(0)) / total if total else Fraction(0)
    for event in events:
        count = _amount(event.units)
        if isinstance(event, In):
            units += count
            value += count * (_amount(event.unit_cost) if whole is None else whole)
            continue
        if count > units:
            raise ValueError(f"{count - units} more went than there were.")
        cost = count * (whole if whole is not None else value / units) if count else Fraction(0)
        issues.append(cost)
        units -= count
        value -= cost
    return Costs(tuple(issues), units, value)


def reorder_point(
    daily_use: float, lead_days: float, *, margin_days: float = 0, deviation: float = 0, z: float = 0
) -> float:
    """At how much left to buy again: use while it is on its way, and a margin.

    daily_use [unit/day], lead_days [day], margin_days [day] of use to spare. `deviation` is the standard
    deviation of the use in the lead time [unit] and `z` the standard normal quantile of the service level: R
    = d (L + m) + z s. Raises ValueError when anything is negative.
    """
    if min(daily_use, lead_days, margin_days, deviation, z) < 0:
        raise ValueError("Use, days and margins are never negative.")
    return daily_use * (lead_days + margin_days) + z * deviation


@dataclass(frozen=True)
class Projection:
    """How much there is after each event, and when it first falls short."""

    levels: tuple[tuple[object, Decimal], ...]
    short_at: object | None
    short_by: Decimal

    @property
    def lowest(self) -> Decimal:
        return min(level for _, level in self.levels)


def project(on_hand: Decimal, changes: Sequence[tuple[Moment, Decimal]], *, now: Moment) -> Projection:
    """The projected line of one item: `changes` are (moment, + what comes or - what a job wants), in any
    order.

    Moments only need an order; of two at one moment the coming counts first. What is due before `now` counts
    now. The line may fall below zero: that much is missing. `short_by` is the most that is ever missing.
    """
    level = Decimal(on_hand)
    levels = [(now, level)]
    short_at = now if level < 0 else None
    for at, change in sorted(changes, key=lambda one: (max(one[0], now), -one[1])):
        level += change
        levels.append((max(at, now), level))
        if level < 0 and short_at is None:
            short_at = max(at, now)
    return Projection(tuple(levels), short_at, max(Decimal(0), -min(level for _, level in levels)))


def _amount(number: Number) -> Fraction:
    value = Fraction(number)
    if value < 0:
        raise ValueError("Amounts and costs are never negative.")
    return value
