"""Which boxes hold so many cookies: lying flat in layers, or standing on edge in rows."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

THICK = 9.0  # mm: a cookie of 6 mm with its icing (common practice, no source)
LINER = 1.0  # mm of paper between two layers
AIR = 2.0  # mm beside each cookie, and under the lid


@dataclass(frozen=True)
class Box:
    """Inner sizes in mm."""

    name: str
    width: float
    depth: float
    height: float

    @property
    def volume(self) -> float:
        return self.width * self.depth * self.height


@dataclass(frozen=True)
class Boxed:
    """How a box takes them. each: cookies a box holds, in so many layers ("flat") or rows ("edge")."""

    box: Box
    boxes: int
    each: int
    way: str
    layers: int
    in_layer: int


def boxes_that_fit(
    count: int, width: float, height: float, boxes, *, thick: float = THICK, most_layers: int = 3
) -> tuple[Boxed, ...]:
    """For every box that takes the cookie, its better way; fewest boxes first, then the least room left.

    `width`, `height`: the cookie, or the largest of a mix, in mm. At most `most_layers` lie on each other.
    Raises ValueError for sizes or counts that are not positive.
    """
    if count < 1 or not (width > 0 and height > 0 and thick > 0):
        raise ValueError("a count and sizes above nothing, please")
    found = []
    for box in boxes:
        ways = [
            way
            for way in (_flat(box, width, height, thick, most_layers), _edge(box, width, height, thick))
            if way
        ]
        if ways:
            way, layers, in_layer = max(ways, key=lambda one: (one[1] * one[2], one[0] == "flat"))
            each = layers * in_layer
            found.append(Boxed(box, ceil(count / each), each, way, layers, in_layer))
    return tuple(sorted(found, key=lambda one: (one.boxes, one.boxes * one.box.volume, one.box.name)))


def _flat(box: Box, width, height, thick, most):
    layers = min(most, int((box.height - AIR + LINER) // (thick + LINER)))
    in_layer = _grid(box.width, box.depth, width + AIR, height + AIR)
    return ("flat", layers, in_layer) if layers > 0 and in_layer else None


def _edge(box: Box, width, height, thick):
    """Standing in rows like records: a row is as long as the box, each cookie as deep as it is thick."""
    best = None
    for across, up in ((width, height), (height, width)):
        if up + AIR > box.height:
            continue
        for long, wide in ((box.depth, box.width), (box.width, box.depth)):
            rows, in_row = int(wide // (across + AIR)), int((long - AIR) // (thick + LINER))
            if rows > 0 and in_row > 0 and (best is None or rows * in_row > best[1] * best[2]):
                best = ("edge", rows, in_row)
    return best


def _grid(wide: float, deep: float, a: float, b: float) -> int:
    """How many rectangles a x b lie in wide x deep: one block upright, beside it one turned."""
    best = 0
    for w, h in ((a, b), (b, a)):
        for cols in range(int(wide // w) + 1):
            rest = wide - cols * w
            best = max(best, cols * int(deep // h) + int(rest // h) * int(deep // w))
    return best
