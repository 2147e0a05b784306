"""The cupboard: what there is, the packets it lies in, the colours and doughs made from it."""

from .ahead import AheadUse, MadeAhead, StallDay, StallLine
from .bench import CleaningTime, Swatch
from .colours import Colour, ColourPart
from .items import HEX, Level, LevelMark, StockItem
from .ledger import Delivery, Move, Packet, Reserve
from .recipes import Recipe, RecipePart

__all__ = [
    "HEX",
    "AheadUse",
    "CleaningTime",
    "Colour",
    "ColourPart",
    "Delivery",
    "Level",
    "LevelMark",
    "MadeAhead",
    "Move",
    "Packet",
    "Recipe",
    "RecipePart",
    "Reserve",
    "StallDay",
    "StallLine",
    "StockItem",
    "Swatch",
]
