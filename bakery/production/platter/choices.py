"""What a platter can be asked for: occasions, trays, boxes. Sizes and counts: common practice, no source."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from bakery.craft.packing import Box, Tray


@dataclass(frozen=True)
class Occasion:
    key: str
    name: str
    each: Decimal


OCCASIONS = (
    Occasion("party", "A party", Decimal(2)),
    Occasion("beside", "Beside a cake", Decimal(1)),
    Occasion("only", "The only sweet thing", Decimal(3)),
    Occasion("favour", "One each to take home", Decimal(1)),
)
INCH = 25.4
TRAYS = {
    "round12": ("Round, 30 cm", Tray("round", 12 * INCH)),
    "round15": ("Round, 38 cm", Tray("round", 15 * INCH)),
    "round18": ("Round, 46 cm", Tray("round", 18 * INCH)),
    "oval17": ("Oval, 43 x 28 cm", Tray("oval", 17 * INCH, 11 * INCH)),
    "long16": ("Rectangle, 40 x 30 cm", Tray("rectangle", 400, 300)),
    "long18": ("Rectangle, 46 x 33 cm", Tray("rectangle", 460, 330)),
}
ANY, OWN = "any", "own"
OWN_SHAPES = (("round", "Round"), ("oval", "Oval"), ("rectangle", "Rectangle"))
HOW = (("flat", "Flat, side by side"), ("overlap", "Overlapping"))
USUAL_BOXES = (
    Box("20 x 20 x 5 cm", 200, 200, 50),
    Box("30 x 20 x 5 cm", 300, 200, 50),
    Box("25 x 25 x 10 cm", 250, 250, 100),
    Box("40 x 30 x 10 cm", 400, 300, 100),
)
PLAIN_MM = 75  # a plain round without a design


def tray_words(tray: Tray) -> str:
    """`round tray, 38 cm across`, `oval tray, 43 x 28 cm`."""
    shape = {"rectangle": "rectangular"}.get(tray.shape, tray.shape)
    if tray.shape == "round":
        return f"{shape} tray, {_cm(tray.width)} cm across"
    return f"{shape} tray, {_cm(tray.width)} x {_cm(tray.height)} cm"


def _cm(mm: float) -> str:
    return f"{mm / 10:.0f}"
