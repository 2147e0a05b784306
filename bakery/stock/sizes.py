"""Sizes that she has written into a name: "Box, 20 x 20 x 5 cm", "Wafer paper, A4", "Wafer, 8 x 10 in"."""

import re

from .models import StockItem

MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, '"': 25.4, "inch": 25.4}
_NUMBER = r"(\d{1,4}(?:[.,]\d{1,2})?)"
_SIZE = re.compile(
    rf"{_NUMBER}\s*[x×]\s*{_NUMBER}(?:\s*[x×]\s*{_NUMBER})?\s*(mm|cm|inch|in|\")?(?![a-z])", re.IGNORECASE
)
PAPER = {"a4": (210.0, 297.0), "a5": (148.0, 210.0), "a3": (297.0, 420.0), "letter": (215.9, 279.4)}


def sizes_in(name: str) -> tuple[float, ...]:
    """The two or three measures in a name, in mm; () without any. Without a unit they are centimetres."""
    found = _SIZE.search(name)
    if found is None:
        words = re.findall(r"\b[a-z]+\d?\b", name.lower())
        return next((PAPER[word] for word in words if word in PAPER), ())
    unit = MM[(found[4] or "cm").lower()]
    sizes = [float(number.replace(",", ".")) * unit for number in found.groups()[:3] if number]
    return tuple(sizes) if all(0 < size <= 3000 for size in sizes) else ()


def boxes_in_the_cupboard() -> list[tuple[str, tuple[float, ...]]]:
    """Packing whose name says three inner sizes: (name, mm); one query."""
    names = StockItem.objects.filter(group=StockItem.Group.PACKING).values_list("name", flat=True)
    return [(name, sizes) for name in names if len(sizes := sizes_in(name)) == 3]


def wafer_sheet() -> tuple[float, ...]:
    """The size of the wafer sheets in the cupboard, where a name says one."""
    names = StockItem.objects.filter(group=StockItem.Group.WAFER).values_list("name", flat=True)
    return next((sizes for name in names if len(sizes := sizes_in(name)) == 2), ())
