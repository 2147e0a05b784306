"""A figure that opens down: every part is the exact sum of its own parts."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

__all__ = ["PENNY", "Part", "Sum", "apportion", "pence", "rounded", "settled", "shared"]

PENNY = Decimal("0.01")


@dataclass(frozen=True)
class Part:
    """A named amount of money; `minutes` where it is time; `parts` add up to `amount` exactly.

    `how` says in words what it is worked out from; `example` that a price in it is not hers but an example.
    """

    key: str
    title: str
    amount: Decimal
    minutes: int = 0
    parts: tuple["Part", ...] = ()
    how: str = ""
    example: bool = False

    def __post_init__(self):
        if self.parts and sum(part.amount for part in self.parts) != self.amount:
            raise ValueError(f"{self.title} is not the sum of its parts.")

    @classmethod
    def of(cls, key: str, title: str, parts: Iterable["Part"], minutes: int = 0) -> "Part":
        """The sum of some parts."""
        parts = tuple(parts)
        return cls(key, title, sum((part.amount for part in parts), Decimal("0.00")), minutes, parts)


@dataclass(frozen=True)
class Sum:
    """A part before it is rounded to pence: `exact` is an amount, or the sum of its `parts`."""

    key: str
    title: str
    exact: Fraction = Fraction(0)
    parts: tuple["Sum", ...] = ()
    minutes: int = 0
    how: str = ""
    example: bool = False

    def __post_init__(self):
        object.__setattr__(self, "parts", tuple(self.parts))
        if self.parts:
            object.__setattr__(self, "exact", sum((part.exact for part in self.parts), Fraction(0)))


def settled(total: Sum, amount: Decimal | None = None) -> Part:
    """The same in pence: the whole is rounded once, and its parts share out just that, at every depth."""
    amount = pence(total.exact) if amount is None else amount
    shares = apportion(amount, [part.exact for part in total.parts])
    parts = tuple(settled(part, share) for part, share in zip(total.parts, shares, strict=True))
    example = total.example or any(part.example for part in parts)
    return Part(total.key, total.title, amount, total.minutes, parts, total.how, example)


def pence(value: Fraction | Decimal) -> Decimal:
    """An exact amount to the nearest penny, halves up (away from nothing)."""
    value = Fraction(value)
    cents = (abs(value) * 200 + 1) // 2
    return (Decimal(int(cents) if value >= 0 else -int(cents)) / 100).quantize(PENNY)


def rounded(value: Decimal, to: Decimal) -> Decimal:
    """An amount to the nearest multiple of `to`, halves up."""
    coins = (value / to).quantize(Decimal(1), ROUND_HALF_UP)
    return (coins * to).quantize(min(PENNY, to))


def apportion(total: Decimal, amounts: Sequence[Fraction], unit: Decimal = PENNY) -> list[Decimal]:
    """Exact amounts as whole units that add up to `total`: what is left goes to the largest remainders.

    `total` is the exact sum rounded up or down to a unit. Raises ValueError where it is further away than
    the remainders can make up for.
    """
    if not amounts:
        return []
    step = Fraction(unit)
    floors = [a // step for a in amounts]
    missing = Fraction(total) / step - sum(floors)
    if missing.denominator != 1 or not 0 <= missing <= len(amounts):
        raise ValueError(f"{total} is not the rounded sum of what is shared out.")
    order = sorted(range(len(amounts)), key=lambda i: (-(amounts[i] / step - floors[i]), i))
    for i in order[: int(missing)]:
        floors[i] += 1
    return [(unit * int(count)).quantize(unit) for count in floors]


def shared(amounts: list[Fraction]) -> list[Decimal]:
    """Exact amounts as pence whose sum is the rounded exact sum."""
    return apportion(pence(sum(amounts, Fraction(0))), amounts)
