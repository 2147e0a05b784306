"""How much of everything: for tonight, an order, a day, a week. Screen, day sheet and cupboard share it."""

from .books import Cupboard, cupboard
from .chosen import Chosen, for_day, for_order, for_tonight, for_week, of_rows
from .groups import groups_of
from .materials import ItemNeed, materials_now, needs_of_items

__all__ = [
    "Chosen",
    "Cupboard",
    "ItemNeed",
    "cupboard",
    "for_day",
    "for_order",
    "for_tonight",
    "for_week",
    "groups_of",
    "materials_now",
    "needs_of_items",
    "of_rows",
]
