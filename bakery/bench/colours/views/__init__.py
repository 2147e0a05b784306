from .book import colour, colour_add, colour_away, colour_change, colours
from .bottles import bottle, bottle_anew
from .mix import mix
from .photo import photo, photo_point
from .swatches import swatch, swatch_add, swatch_refuse, swatches

__all__ = [
    "bottle",
    "bottle_anew",
    "colour",
    "colour_add",
    "colour_away",
    "colour_change",
    "colours",
    "mix",
    "photo",
    "photo_point",
    "swatch",
    "swatch_add",
    "swatch_refuse",
    "swatches",
]
