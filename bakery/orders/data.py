"""What one order says, as frozen data: from the form to the services, and from a row back to the form."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from datetime import datetime
from decimal import Decimal


@dataclass(frozen=True)
class LineData:
    """So many cookies of one kind, made simpler by `ways`. `line` is the row it changes, if any."""

    kind: str
    quantity: int
    designs: int = 1
    colours: int = 1
    design: int | None = None
    variation: int | None = None
    spares: int | None = None
    packaging: str = "bag"
    stage: str = "nothing"
    stage_at: datetime | None = None
    ways: tuple[str, ...] = ()
    line: int | None = field(default=None, compare=False)


@dataclass(frozen=True)
class OrderData:
    """All that is asked about an order. Only the hand-over and one line are needed.

    `asked_at` is when a kept order came in; nothing for one that is just being typed.
    """

    hand_over_at: datetime
    lines: tuple[LineData, ...]
    who: str = ""
    title: str = ""
    phone: str = ""
    email: str = ""
    event_at: datetime | None = None
    way: str = "collected"
    place: str = ""
    travel_minutes: int = 0
    distance_km: Decimal | None = None
    transit_days: int = 0
    for_stock: bool = False
    bake_ahead: bool = False
    platter_holds: int | None = None
    names: tuple[str, ...] = ()
    allergy_state: str = "not_asked"
    allergies: str = ""
    deposit_paid: bool = False
    budget: Decimal | None = None
    own_price: Decimal | None = None
    asked_at: datetime | None = field(default=None, compare=False)
    their_words: str = ""
    note: str = ""

    @property
    def quantity(self) -> int:
        return sum(line.quantity for line in self.lines)


def differences(one: OrderData, other: OrderData) -> list[str]:
    """The names of the fields in which two versions of an order differ."""
    compared = (f.name for f in fields(OrderData) if f.compare)
    return [name for name in compared if getattr(one, name) != getattr(other, name)]
