"""What the cupboard asks of the rooms above it."""

from dataclasses import dataclass
from datetime import datetime

from django.dispatch import Signal


@dataclass(frozen=True)
class Need:
    """Something that open orders will use: a colour in a medium, or an item by its name."""

    name: str
    at: datetime
    what_for: str
    medium: str = ""  # "icing", "airbrush", or "" for an item
    amount: float = 0
    unit: str = ""


# Receivers return a list of Need. Arguments: now (aware datetime).
needs_asked = Signal()


def needs(now: datetime) -> list[Need]:
    """All that is wanted, soonest first."""
    found = [need for _, said in needs_asked.send(sender=None, now=now) for need in said]
    return sorted(found, key=lambda need: (need.at, need.name))


@dataclass(frozen=True)
class Choices:
    """What a thing made ahead can be for: orders and cutters and designs, each as (key, words)."""

    orders: tuple[tuple[str, str], ...] = ()
    shapes: tuple[tuple[str, str], ...] = ()
    designs: tuple[tuple[str, str], ...] = ()


# Sent when something made ahead came, went or moved: the plan may change.
ahead_changed = Signal()
# Receivers return a Choices.
choices_asked = Signal()


def choices() -> Choices:
    """All that the rooms above know, together."""
    said = [answer for _, answer in choices_asked.send(sender=None)]
    return Choices(
        tuple(one for answer in said for one in answer.orders),
        tuple(one for answer in said for one in answer.shapes),
        tuple(one for answer in said for one in answer.designs),
    )


# Receivers return {key of an order: (its name, its address)}. Arguments: orders (a set of keys).
names_asked = Signal()


def names_of(orders: set[str]) -> dict[str, tuple[str, str]]:
    """What the orders of these keys are called, and where they are shown."""
    found: dict[str, tuple[str, str]] = {}
    if orders:
        for _, answer in names_asked.send(sender=None, orders=orders):
            found |= answer
    return found
