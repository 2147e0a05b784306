"""A figure that opens down: every part is the exact sum of its own parts."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from fractions import Fraction

__all__ = ["PENNY", "Part", "pence", "rounded", "shared"]

PENNY = Decimal("0.01")


@dataclass(frozen=True)
class Part:
    """A named amount of money; `minutes` where it is time; `parts` add up to `amount` exactly."""

    key: str
    title: str
    amount: Decimal
    minutes: int = 0
    parts: tuple["Part", ...] = ()

    def __post_init__(self):
        if self.parts and sum(part.amount for part in self.parts) != self.amount:
            raise ValueError(f"{self.title} is not the sum of its parts.")

    @classmethod
    def of(cls, key: str, title: str, parts: Iterable["Part"], minutes: int = 0) -> "Part":
        """The sum of some parts."""
        parts = tuple(parts)
        return cls(key, title, sum((part.amount for part in parts), Decimal("0.00")), minutes, parts)


def pence(value: Fraction | Decimal) -> Decimal:
    """An exact amount to the nearest penny, halves up (away from nothing)."""
    value = Fraction(value)
    cents = (abs(value) * 200 + 1) // 2
    return (Decimal(int(cents) if value >= 0 else -int(cents)) / 100).quantize(PENNY)


def rounded(value: Decimal, to: Decimal) -> Decimal:
    """An amount to the nearest multiple of `to`, halves up."""
    coins = (value / to).quantize(Decimal(1), ROUND_HALF_UP)
    return (coins * to).quantize(min(PENNY, to))


def shared(amounts: list[Fraction]) -> list[Decimal]:
    """Exact amounts as pence whose sum is the rounded exact sum: what is left goes to the largest
    remainders.
    """
    total = pence(sum(amounts, Fraction(0)))
    floors = [Decimal(int(a * 100 // 1)) / 100 for a in amounts]
    missing = int(((total - sum(floors)) * 100).to_integral_value(ROUND_DOWN))
    order = sorted(range(len(amounts)), key=lambda i: (-(amounts[i] * 100 % 1), i))
    for i in order[:missing]:
        floors[i] += PENNY
    return [amount.quantize(PENNY) for amount in floors]
