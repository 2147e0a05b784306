"""Reads for the colour pages, each with a bounded number of queries."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Count, Q

from bakery.orders.models import Order
from bakery.stock import ledger_words
from bakery.stock.models import Colour, Packet, StockItem, Swatch
from bakery.stock.signals import Need, needs
from bakery.stock.swatches import kind_of

from . import words

TONIGHT = timedelta(hours=18)
MOST_ORDERS = 12


@dataclass(frozen=True)
class PartRow:
    item: StockItem
    amounts: str
    drops: int

    @property
    def picture_hex(self) -> str:
        return self.item.hex or "#8fa5b7"


def overview() -> dict:
    """Everything on the Colours page; five queries."""
    bottles = list(StockItem.objects.filter(group=StockItem.Group.AIRBRUSH))
    sprayed = list(Swatch.objects.filter(refused=False).values_list("drops", flat=True))
    colours = list(Colour.objects.prefetch_related("parts__item"))
    return {
        "bottles": [_bottle_row(item, sprayed) for item in bottles],
        "icing": [_colour_row(one) for one in colours if one.medium == "icing" and not one.put_away],
        "airbrush": [_colour_row(one) for one in colours if one.medium == "airbrush" and not one.put_away],
        "put_away": [_colour_row(one) for one in colours if one.put_away],
        "swatch_count": len(sprayed),
        "tubs": tubs(),
    }


def _bottle_row(item: StockItem, sprayed) -> dict:
    seen = sum(1 for drops in sprayed if str(item.pk) in drops)
    facts = [words.covers(item, kind_of(item)), f"{words.number(item.drops_per_ml)} drops a ml"]
    if seen:
        facts.append(f"{seen} swatch{'es' if seen > 1 else ''}")
    return {"item": item, "facts": ", ".join(facts), "short": item.name.removesuffix(", airbrush"),
            "marks": [m for m, has in (("shake first", item.shake_first), ("alcohol", item.alcohol)) if has],
            "bare": not item.hex}  # fmt: skip


def _colour_row(colour: Colour) -> dict:
    parts = list(colour.parts.all())
    said = ", ".join(f"{part_amount(part)} {_short(part.item)}" for part in parts)
    return {"colour": colour, "parts": said or "no recipe yet"}


def _short(item: StockItem) -> str:
    return item.name.removesuffix(", airbrush").removesuffix(" gel")


def part_amount(part, times: float = 1.0) -> str:
    found = [words.number(float(part.drops) * times)] if part.drops else []
    if part.grams:
        found.append(f"{words.number(float(part.grams) * times)} g")
    return " or ".join(found)


def part_rows(colour: Colour, times: float) -> list[PartRow]:
    """The recipe so many times over, to the half drop and the tenth of a gram."""
    rows = []
    for part in colour.parts.all():
        drops = max(0.5, round(2 * float(part.drops) * times) / 2) if part.drops else 0
        unit = "" if not part.drops else " drop" if drops == 1 else " drops"
        said = f"{words.number(drops)}{unit}" if part.drops else ""
        if part.grams:
            said += f"{' or ' if said else ''}{words.number(max(0.1, round(float(part.grams) * times, 1)))} g"
        rows.append(PartRow(part.item, said, round(drops)))
    return rows


def wanted_of(colour: Colour, now: datetime) -> list[Need]:
    """What open orders will use of it, soonest first."""
    name = colour.name.lower()
    return [need for need in needs(now) if need.medium == colour.medium and need.name.lower() == name]


def wanted_tonight(found: list[Need], now: datetime) -> float:
    """Grams or drops of tonight; of the next time where tonight wants none."""
    if not found:
        return 0
    soon = max(now + TONIGHT, found[0].at + timedelta(hours=6))
    return float(sum(need.amount for need in found if need.at <= soon))


def planned_sprays(now: datetime) -> list[dict]:
    """What is to be sprayed, by colour: drops in all and whose."""
    shades = {one.name.lower(): one for one in Colour.objects.filter(medium=Colour.Medium.AIRBRUSH)}
    found: dict[str, list[Need]] = {}
    for need in needs(now):
        if need.medium == Colour.Medium.AIRBRUSH:
            found.setdefault(need.name.lower(), []).append(need)
    return [
        {"name": mine[0].name, "hex": shades[name].hex if name in shades else "", "at": mine[0].at,
         "drops": round(sum(need.amount for need in mine)), "what_for": words.names(n.what_for for n in mine)}
        for name, mine in found.items()
    ]  # fmt: skip


def tubs(colour: Colour | None = None) -> list[dict]:
    """What is left over, soonest to be used first; one query."""
    rows = Packet.objects.filter(left__gt=0, colour__isnull=False).select_related("colour")
    if colour is not None:
        rows = rows.filter(colour=colour)
    return [{"packet": row, "left": ledger_words.left(row)} for row in rows[:30]]


def orders_with(colour: Colour) -> list[Order]:
    """Orders whose lines are of a design with it, and those that packets of it went into; newest first."""
    layered = Q(lines__design__layers__layer_colours__colour=colour)
    based = Q(lines__variation__base=colour) if colour.medium == Colour.Medium.ICING else Q(pk=None)
    based |= Q(lines__variation__motif=colour) | Q(lines__variation__detail=colour)
    keys = set(colour.tubs.exclude(moves__order="").values_list("moves__order", flat=True)[:200])
    numbers = [int(key[1:]) for key in keys if key and key[0] == "o" and key[1:].isdigit()]
    rows = Order.objects.filter(layered | based | Q(number__in=numbers)).distinct()
    return list(rows.order_by("-hand_over_at", "-pk")[:MOST_ORDERS])


def used_in(colour: Colour) -> int:
    from bakery.designs.models import LayerColour

    return LayerColour.objects.filter(colour=colour).aggregate(n=Count("layer__design", distinct=True))["n"]
