"""What the cupboard knows of prices: the packet in use, else what a full one costs, by costing's names."""

import re
from decimal import Decimal
from fractions import Fraction

from django.db.models import F

from bakery.craft.costing import Bottle, Rate
from bakery.craft.recipes import DOUGH, ICING
from bakery.craft.units import UnitError, grams, substance

from .models import Colour, Packet, RecipePart, StockItem
from .recipes import usuals

SAME = {"meringue powder": "egg white powder", "plain flour": "flour", "white powder": "egg white powder"}
"""Names of the trade that weigh alike but are bought under another name."""
PIECES = {"egg": "large"}
PACKING = tuple(
    (thing, re.compile(rf"\b{thing}(e?s)?\b", re.I)) for thing in ("bag", "box", "platter", "carton")
)
HOLDS = re.compile(r"\b(\d{1,3})\b")
SPOONS = Decimal("0.0001")


def known_prices() -> dict:
    """`rates`, `gels`, `sprays` and her usual `dough` and `icing` for the core's Prices; bounded queries."""
    items = list(StockItem.objects.all())
    in_use = packets_in_use()
    rates = packing_rates(items, in_use)
    rates |= ingredient_rates(items, in_use)
    gels, sprays = bottles(in_use)
    return {"rates": rates, "gels": gels, "sprays": sprays} | usuals()


def packets_in_use() -> dict[int, Packet]:
    """The packet of each item that goes out first and of which something is left, with what it cost her."""
    left = Packet.objects.filter(item__isnull=False, left__gt=0, cost__gt=0, quantity__gt=0)
    known: dict[int, Packet] = {}
    for packet in left.order_by(F("use_by").asc(nulls_last=True), "came_on", "pk").only(
        "item_id", "code", "quantity", "cost"
    ):
        known.setdefault(packet.item_id, packet)
    return known


def rate_of(item: StockItem, in_use: dict[int, Packet]) -> Rate | None:
    """The price of an item in its own unit; None where nobody said."""
    packet = in_use.get(item.pk)
    if packet is not None:
        return Rate(packet.cost, packet.quantity, item.unit, f"{item.name}, packet {packet.code}")
    if item.pack_price is None:
        return None
    return Rate(item.pack_price, item.pack_size, item.unit, item.name)


def in_grams(rate: Rate, item: StockItem, name: str) -> Rate | None:
    """The same price by weight; None where what it weighs is not known."""
    if item.unit == StockItem.Unit.GRAM:
        return rate
    measures = {StockItem.Unit.MILLILITRE: "ml", StockItem.Unit.PIECE: PIECES.get(same(name), "")}
    unit = measures.get(item.unit, "")
    try:
        weight = grams(rate.size, unit, same(name)) if unit else Fraction(0)
    except UnitError:
        return None
    size = (Decimal(weight.numerator) / Decimal(weight.denominator)).quantize(SPOONS)
    return Rate(rate.price, size, "g", rate.name) if size > 0 else None


def same(name: str) -> str:
    """The name under which weights know it: "Caster sugar" is sugar, "Eggs" is egg."""
    text = " ".join(name.lower().split())
    text = SAME.get(text, text)
    try:
        return substance(text).name
    except UnitError:
        return text


def ingredient_rates(items, in_use) -> dict[str, Rate]:
    """By the ingredient's name in a recipe: the item it is linked to, else the one that is called alike."""
    food = [item for item in items if item.group in (StockItem.Group.DRY, StockItem.Group.FRESH)]
    by_name = {same(item.name): item for item in reversed(food)}
    by_key = {item.pk: item for item in items}
    wanted = {part.name: by_name.get(same(part.name)) for part in (*DOUGH.ingredients, *ICING.ingredients)}
    for part in RecipePart.objects.only("name", "item_id"):
        wanted[part.name] = by_key.get(part.item_id) or by_name.get(same(part.name))
    found = {}
    for name, item in wanted.items():
        rate = item and rate_of(item, in_use)
        weighed = rate and in_grams(rate, item, name)
        if weighed:
            found[name] = weighed
    return found


def packing_rates(items, in_use) -> dict[str, Rate]:
    """Bags, boxes, platters, cartons and wafer paper by their names; of several boxes that for a dozen. Each
    by its own name as well.
    """
    found: dict[str, Rate] = {}
    packing = [item for item in items if item.group == StockItem.Group.PACKING]
    for thing, pattern in PACKING:
        mine = [item for item in packing if pattern.search(item.name) and rate_of(item, in_use)]
        if mine:
            found[thing] = rate_of(min(mine, key=_far_from_a_dozen), in_use)
    for item in packing:
        if rate := rate_of(item, in_use):
            found.setdefault(item.name, rate)
    for item in items:
        paper = item.group == StockItem.Group.WAFER
        sheets = item.unit in (StockItem.Unit.SHEET, StockItem.Unit.PIECE)
        if paper and sheets and "wafer" not in found and (rate := rate_of(item, in_use)):
            found["wafer"] = rate
    return found


def _far_from_a_dozen(item: StockItem):
    holds = HOLDS.search(item.name)
    return (abs(int(holds[1]) - 12) if holds else 0, item.name)


def bottles(in_use) -> tuple[dict, dict]:
    """The bottles of each icing colour and each airbrush colour, by the drop; unpriced ones left out."""
    gels: dict[str, tuple[Bottle, ...]] = {}
    sprays: dict[str, tuple[Bottle, ...]] = {}
    for colour in Colour.objects.prefetch_related("parts__item"):
        found = []
        for part in colour.parts.all():
            rate = rate_of(part.item, in_use)
            by_drop = rate and in_drops(rate, part.item)
            if by_drop is None:
                break
            found.append(Bottle(part.item.name, part.drops, by_drop))
        else:
            if found:
                (gels if colour.medium == Colour.Medium.ICING else sprays)[colour.name.lower()] = tuple(found)
    return gels, sprays


def in_drops(rate: Rate, item: StockItem) -> Rate | None:
    """The price by the drop of what is kept in drops or millilitres."""
    if item.unit == StockItem.Unit.DROP:
        return rate
    if item.unit == StockItem.Unit.MILLILITRE:
        return Rate(rate.price, rate.size * item.drops_per_ml, "drop", rate.name)
    return None
