"""A drawing for paper: black on white, colours left to the cookies."""

import re

from .svg import COLOURS

BLACK = {
    "ink": "#000", "ink-2": "#333", "wet": "#000", "wet-2": "#000", "crust": "#555", "no": "#000",
    "rule": "#999", "edge": "#333", "line": "#999", "night": "#f1f1f1",
}  # fmt: skip
_WHITE = "#fff"
_MAP = {hex: BLACK.get(name, _WHITE) for name, hex in COLOURS.items()}
_COLOUR = re.compile(r'(?<==")#[0-9a-f]{6}(?=")')


def in_black(drawing: str) -> str:
    """The same drawing with our own colours as blacks, greys and white. Other colours stay."""
    return _COLOUR.sub(lambda found: _MAP.get(found[0], found[0]), drawing)
