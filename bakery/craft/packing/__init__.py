"""Where things lie: cookies on a platter and in a box, pieces on a sheet. Lengths in millimetres."""

from .boxes import Box, Boxed, boxes_that_fit
from .circles import enclosing_radius, fit_circles
from .platter import Platter, count_for, evenly, mix, on_trays
from .rows import Item, Spot, capacity, lay
from .sheets import (
    A4_MM,
    GAP_MM,
    KEEP_MM,
    MARGIN_MM,
    SheetCount,
    count_sheets,
    cut_sheets,
    each_sheet,
    kept_of,
)
from .skyline import Placed
from .strip import Cuts, Offcut, Sheet, Strip, offcuts, pack_sheets, pack_strip
from .tray import Tray

__all__ = [
    "A4_MM",
    "GAP_MM",
    "KEEP_MM",
    "MARGIN_MM",
    "Box",
    "Boxed",
    "Cuts",
    "Item",
    "Offcut",
    "Placed",
    "Platter",
    "Sheet",
    "SheetCount",
    "Spot",
    "Strip",
    "Tray",
    "boxes_that_fit",
    "capacity",
    "count_for",
    "count_sheets",
    "cut_sheets",
    "each_sheet",
    "enclosing_radius",
    "evenly",
    "fit_circles",
    "kept_of",
    "lay",
    "mix",
    "offcuts",
    "on_trays",
    "pack_sheets",
    "pack_strip",
]
