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
