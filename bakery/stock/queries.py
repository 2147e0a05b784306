"""Reads about the cupboard: what there is, and what of it is wanted soon but low or out."""

from dataclasses import dataclass
from datetime import datetime

from .models import Colour, Level, StockItem
from .signals import Need


@dataclass(frozen=True)
class Short:
    """A thing that is low or out while an open order needs it."""

    item: StockItem
    needs: tuple[Need, ...]

    @property
    def at(self) -> datetime:
        return self.needs[0].at

    @property
    def what_for(self) -> str:
        return _and(dict.fromkeys(need.what_for for need in self.needs))

    @property
    def drops(self) -> int:
        return round(sum(need.amount for need in self.needs if need.unit == "drops"))


@dataclass(frozen=True)
class Shelf:
    key: str
    title: str
    items: tuple[StockItem, ...]


def shelves() -> tuple[Shelf, ...]:
    """The whole cupboard by group, in one query; groups with nothing in them are left out."""
    by_group: dict[str, list[StockItem]] = {}
    for item in StockItem.objects.all():
        by_group.setdefault(item.group, []).append(item)
    return tuple(
        Shelf(value, label, tuple(by_group[value]))
        for value, label in StockItem.Group.choices
        if value in by_group
    )


def colour_bottles() -> dict[tuple[str, str], list[tuple[StockItem, float]]]:
    """The bottles of each colour with their drops, by lower-case name and medium; bounded at two queries."""
    colours = Colour.objects.prefetch_related("parts__item")
    return {
        (colour.name.lower(), colour.medium): [(part.item, float(part.drops)) for part in colour.parts.all()]
        for colour in colours
    }


def wanted_items(needs) -> dict[int, list[Need]]:
    """Needs by the stock item they draw on: a colour draws on its bottles, a staple on its packet."""
    needs = list(needs)
    if not needs:
        return {}
    bottles, items = colour_bottles(), list(StockItem.objects.all())
    found: dict[int, list[Need]] = {}
    for need in needs:
        for item in _items_of(need, bottles, items):
            found.setdefault(item.pk, []).append(need)
    return found


COLOUR_SHELVES = {
    Colour.Medium.AIRBRUSH: (StockItem.Group.AIRBRUSH,),
    Colour.Medium.ICING: (StockItem.Group.GEL,),
    "": (StockItem.Group.DRY, StockItem.Group.FRESH, StockItem.Group.WAFER, StockItem.Group.PACKING),
}


def _items_of(need: Need, bottles, items) -> list[StockItem]:
    name = need.name.lower()
    parts = bottles.get((name, need.medium)) if need.medium else None
    if parts:
        return [item for item, _ in parts]
    shelves = COLOUR_SHELVES[need.medium]
    whole = need.medium != ""
    return [item for item in items if item.group in shelves and _called(item.name.lower(), name, whole)]


def _called(item: str, name: str, whole: bool) -> bool:
    """A colour's bottle has the colour's name; a staple's packet has it somewhere ("Eggs" for egg)."""
    return item == name if whole else name in item


def short_items(needs) -> tuple[Short, ...]:
    """What is low or out and wanted, soonest first; out before low at the same moment."""
    wanted = wanted_items(needs)
    items = StockItem.objects.filter(pk__in=wanted).exclude(level=Level.HAVE)
    found = [Short(item, tuple(sorted(wanted[item.pk], key=lambda need: need.at))) for item in items]
    return tuple(sorted(found, key=lambda short: (short.at, short.item.level != Level.OUT, short.item.name)))


def _and(words) -> str:
    words = list(words)
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
