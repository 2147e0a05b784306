"""What was ordered, when and at what price: invented, the same for the same seed. Writes nothing."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal

from django.utils import timezone

from bakery.craft.costing import Price, price_of
from bakery.craft.work import LineSpec, OrderSpec, Work, work_of
from bakery.designs.adapters import layers_over_bases
from bakery.designs.models import Design
from bakery.orders.pricing import house

QUANTITIES = (12, 18, 24, 30, 36, 48)
CLOCKS = (9, 11, 15, 17)
ENDINGS = (("handed_over", 90), ("declined", 4), ("lapsed", 3), ("cancelled", 3))
TITLES = (
    "Birthday",
    "Regatta",
    "Spring supper",
    "Prize night",
    "Christening",
    "Open day",
    "Retirement",
    "Tea",
)
PACES = {"letter": 1.4, "pipe": 1.15, "flood": 1.05, "spray": 0.92, "pack": 1.2, "bake": 0.95}
"""How many times her own minutes the work really takes in this invented kitchen."""
SPREAD = 0.12
SAYS = 0.8
"""Share of evenings of which she says when they ended."""


@dataclass(frozen=True)
class Made:
    """So many of a design: what it takes and what it costs, worked out once."""

    designs: tuple[Design, ...]
    quantities: tuple[int, ...]
    work: Work
    price: Price


@dataclass(frozen=True)
class Invented:
    """One order of the past."""

    number: int
    made: Made
    hand_over: datetime
    asked: datetime
    ending: str
    title: str
    total: Decimal
    customer: int
    refund: Decimal | None
    luck: random.Random = field(compare=False, repr=False, default_factory=random.Random)


class Book:
    """Works and prices by design and number, each worked out once."""

    def __init__(self, designs: dict[str, Design]):
        self.designs = designs
        self.shop, self.prices = house()
        self._made: dict[tuple, Made] = {}

    def made(self, *lines: tuple[str, int]) -> Made:
        if lines not in self._made:
            specs = tuple(self._line(n, *line) for n, line in enumerate(lines, 1))
            when = datetime(2030, 1, 15, 15, tzinfo=UTC)
            spec = OrderSpec("x", "", specs, when)
            work = work_of(spec, self.shop)
            price = price_of(spec, work, self.shop, self.prices)
            designs = tuple(self.designs[name] for name, _ in lines)
            self._made[lines] = Made(designs, tuple(count for _, count in lines), work, price)
        return self._made[lines]

    def _line(self, number: int, name: str, quantity: int) -> LineSpec:
        design = self.designs[name]
        return LineSpec(
            f"l{number}", name, design.kind.key, quantity, layers=layers_over_bases(design),
            area_cm2=float(design.area_cm2),
        )  # fmt: skip


def invent(
    book: Book, *, years: int, orders: int, customers: int, today: date, seed: int, first_number: int
) -> Iterator[Invented]:
    """So many orders over the years up to yesterday, the oldest first."""
    rng = random.Random(seed)
    names, days = sorted(book.designs), years * 365
    kinds, weights = zip(*ENDINGS, strict=True)
    when = sorted(rng.randrange(2, days) for _ in range(orders))
    for n, back in enumerate(reversed(when)):
        lines = [(rng.choice(names), rng.choice(QUANTITIES))]
        if rng.random() < 0.1 and lines[0][0] != names[0]:
            lines.append((names[0], 12))
        made = book.made(*lines)
        clock = time(rng.choice(CLOCKS), rng.choice((0, 30)))
        hand_over = timezone.make_aware(datetime.combine(today - timedelta(days=back), clock))
        share = rng.uniform(0.72, 1.18) * (1 - 0.02 * (back // 365))  # prices were lower years ago
        total = max(Decimal(5), (made.price.total * Decimal(str(round(share, 3)))).quantize(Decimal(1)))
        ending = rng.choices(kinds, weights)[0]
        back_money = (
            Decimal(rng.randrange(2, 12)) if ending == "handed_over" and rng.random() < 0.03 else None
        )
        yield Invented(
            number=first_number + n, made=made, hand_over=hand_over,
            asked=hand_over - timedelta(days=rng.randrange(10, 40), hours=rng.randrange(9)), ending=ending,
            title=f"{rng.choice(TITLES)} {hand_over.year}", total=total.quantize(Decimal("0.01")),
            customer=rng.randrange(customers), refund=back_money, luck=random.Random(rng.getrandbits(40)),
        )  # fmt: skip


def took(kind: str, minutes: float, luck: random.Random) -> float:
    """Minutes that a job really took."""
    return minutes * PACES.get(kind, 1.0) * luck.lognormvariate(0, SPREAD)
