"""Sizes that she has written into a name: "Box, 20 x 20 x 5 cm", "Wafer paper, A4", "Wafer, 8 x 10 in"."""

import re
from typing import TYPE_CHECKING

from .models import Recipe, StockItem

if TYPE_CHECKING:
    from bakery.craft.work import Pack

MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, '"': 25.4, "inch": 25.4}
_NUMBER = r"(\d{1,4}(?:[.,]\d{1,2})?)"
_SIZE = re.compile(
    rf"{_NUMBER}\s*[x×]\s*{_NUMBER}(?:\s*[x×]\s*{_NUMBER})?\s*(mm|cm|inch|in|\")?(?![a-z])", re.IGNORECASE
)
PACKS = {thing: re.compile(rf"\b{thing}(e?s)?\b", re.I) for thing in ("box", "platter")}
HOLDS = re.compile(r"\b(?:of|for|holds)\s+(\d{1,3})\b", re.I)
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


def packs_and_sheet() -> dict:
    """`packs`, boxes and platters by what their names say, and `sheet_mm` of wafer paper for the core's Shop,
    and `batch_cm2` of the usual dough; two queries.
    """
    shelves = (StockItem.Group.PACKING, StockItem.Group.WAFER)
    items = list(StockItem.objects.filter(group__in=shelves).only("name", "group"))
    packs = tuple(pack for item in items if item.group == StockItem.Group.PACKING and (pack := pack_of(item)))
    found = {"packs": packs, "batch_cm2": _usual_batch()}
    papers = (sizes_in(item.name) for item in items if item.group == StockItem.Group.WAFER)
    sheet = next((sizes for sizes in papers if len(sizes) == 2), None)
    return found | ({"sheet_mm": sheet} if sheet else {})


def pack_of(item: StockItem) -> "Pack | None":
    """A box or platter of which the name says how many it takes ("Boxes of 24") or how large it is inside."""
    from bakery.craft.work import Pack

    thing = next((thing for thing, pattern in PACKS.items() if pattern.search(item.name)), "")
    if not thing:
        return None
    sizes, holds = sizes_in(item.name), HOLDS.search(item.name)
    if len(sizes) == 3:
        return Pack(thing, item.name, size_mm=sizes, key=str(item.pk))
    if holds and int(holds[1]):
        return Pack(thing, item.name, int(holds[1]), key=str(item.pk))
    return None


def _usual_batch() -> float:
    """Area of the cookies from one batch of her usual dough, cm2; 0 where she has none."""
    usual = Recipe.objects.filter(what=Recipe.What.DOUGH, usual=True).values_list("cookies", "area_cm2")
    return next((float(cookies) * float(area) for cookies, area in usual), 0.0)


def wafer_sheet() -> tuple[float, ...]:
    """The size of the wafer sheets in the cupboard, where a name says one."""
    names = StockItem.objects.filter(group=StockItem.Group.WAFER).values_list("name", flat=True)
    return next((sizes for name in names if len(sizes := sizes_in(name)) == 2), ())
