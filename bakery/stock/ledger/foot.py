"""Above or below the label's foot? One look at a bottle bounds what is in it, and asks for nothing more."""

from datetime import datetime
from decimal import Decimal

from ..models import Level, Move, StockItem
from ..services import mark_level
from .amounts import on_hand
from .booking import STEP
from .count import count_item

FOOT = Decimal("0.3")
"""How much of a bottle stands below the foot of its label, as it is drawn; hers may differ: a rough bound."""


def foot_amount(item: StockItem) -> Decimal:
    return (item.pack_size * FOOT).quantize(STEP)


def say_foot(*, item: StockItem, above: bool, at: datetime | None = None, token: str = "") -> list[Move]:
    """Above: at least that much is there. Below: at most that much, and it is low.

    Where amounts are kept, books that say otherwise are put right as far as the look can tell.
    """
    mark_level(item=item, level=Level.HAVE if above else Level.LOW, at=at)
    said, foot = on_hand([item])[item.pk], foot_amount(item)
    if not item.measured or (said >= foot if above else said <= foot):
        return []
    return count_item(item=item, quantity=foot, at=at, token=token)
