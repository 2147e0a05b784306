"""Dough, blanks and transfers made ahead, and what an order takes of them.

What lies in the freezer does not age; it is taken out in a few minutes at any waking hour and thaws for some
hours before it can be used. What there is too little of is made new, whole.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

__all__ = ["PLACES", "WHATS", "Ahead", "Use"]

WHATS = ("dough", "blank", "transfer")
PLACES = ("counter", "tin", "fridge", "freezer")
FREEZER = "freezer"


@dataclass(frozen=True)
class Ahead:
    """Something made ahead. `quantity` counts batches of dough, cookies, or transfers.

    `what` is dough, blank or transfer; `shape` the cookie's shape (blanks) or the design's title (transfers),
    "" where it is kept for one order anyway. `order` is the only order it is for, "" when anybody may have
    it. It came to its place at `since` (when it was `made` where None) and was `aged_days` old by then: days
    in the freezer do not count.
    """

    id: str
    what: str
    quantity: int
    place: str
    made: datetime
    keeps_until: datetime | None = None
    shape: str = ""
    order: str = ""
    line: str = ""
    since: datetime | None = None
    aged_days: float = 0.0

    def __post_init__(self):
        if self.what not in WHATS:
            raise ValueError(f"Nothing called {self.what!r} is made ahead.")
        if self.place not in PLACES:
            raise ValueError(f"There is no place called {self.place!r}.")
        if self.quantity < 0:
            raise ValueError("There cannot be less than nothing.")

    @property
    def frozen(self) -> bool:
        """True while it lies in the freezer."""
        return self.place == FREEZER

    @property
    def counts_as_made(self) -> datetime:
        """When it would have been made had it never been frozen: what keeping is reckoned from."""
        return (self.since or self.made) - timedelta(days=self.aged_days)


@dataclass(frozen=True)
class Use:
    """So much of something made ahead goes into an order: `line` is "" for dough, which serves them all."""

    item: Ahead
    order: str
    line: str
    quantity: int
