"""What a platter comes to: counts, the tray with its cookies, boxes, one price."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from functools import lru_cache

from django.utils import timezone

from bakery.craft.packing import Box, Item, boxes_that_fit, count_for, evenly, mix, on_trays
from bakery.craft.packing.platter import SHARES
from bakery.designs.adapters import drawing_of, drawing_of_kind
from bakery.drawing.platter import platter as draw
from bakery.orders.adapters import spec_of
from bakery.orders.data import LineData, OrderData
from bakery.orders.forms import USUAL_COLOURS, colours_of
from bakery.orders.pricing import panel
from bakery.orders.text import plural
from bakery.stock.sizes import boxes_in_the_cupboard

from .choices import OCCASIONS, PLAIN_MM, USUAL_BOXES, tray_words

ROLES = ("feature", "colours", "plain")
A_FORTNIGHT = timedelta(days=14)  # a price without rush
MOST_COOKIES = 5000


@dataclass(frozen=True)
class Part:
    """So many of one look. `code` is what New order reads."""

    role: str
    name: str
    title: str
    quantity: int
    item: Item
    look: dict
    line: LineData
    code: str


@dataclass(frozen=True)
class PlatterView:
    count: int
    headline: str
    lead: str
    parts: tuple[Part, ...]
    picture: str
    tray: str
    boxes: tuple[str, ...]
    price: object
    lines: str
    holds: int | None
    note: str
    problem: str = ""


def view_of(form) -> PlatterView | None:
    """Everything the page says about a form that is right; None where it is not."""
    if not form.is_valid():
        return None
    said = form.cleaned_data
    occasion = next(one for one in OCCASIONS if one.key == said["occasion"])
    each = said["each"] or occasion.each
    parts = _parts(form, count_for(said["guests"], each))
    count = sum(part.quantity for part in parts)
    guests = plural(said["guests"], "guest")
    if not 0 < count <= MOST_COOKIES:
        problem = (
            "Nothing is on the platter yet." if not count else f"One order holds {MOST_COOKIES:,} cookies."
        )
        return PlatterView(count, problem, "", (), "", "", (), None, "", None, "", problem)
    laid = on_trays(_counts(parts), form.trays, said["how"])
    holds = -(-count // laid.trays) if laid else None
    return PlatterView(
        count=count,
        headline=f"{plural(count, 'cookie')} for {guests}.",
        lead=_lead(parts),
        parts=parts,
        picture=_picture(laid, parts),
        tray=_tray_words(laid, count, said["how"]),
        boxes=_boxes(parts, count),
        price=panel(_spec(parts, holds), savings=False),
        lines=",".join(part.code for part in parts),
        holds=holds,
        note=_note(laid, guests, occasion.name, said["how"]),
    )


def _parts(form, count: int) -> tuple[Part, ...]:
    """The mix, by her own figures where she gave some; the rest of the count is parted as usual."""
    said = form.cleaned_data
    picked = {role: form.designs.get(said[role] or 0) for role in ROLES}
    roles = [role for role in ROLES if role == "plain" or picked[role]]
    own = {role: said[f"n_{role}"] for role in roles if said[f"n_{role}"] is not None}
    free = [role for role in roles if role not in own]
    counts = own | (
        mix(max(0, count - sum(own.values())), {role: SHARES[role] for role in free}) if free else {}
    )
    found = []
    for role in roles:
        bases = int(said["bases"]) if role == "colours" else 0
        found += _of(role, picked[role], counts[role], bases)
    return tuple(part for part in found if part.quantity)


def _of(role: str, design, count: int, bases: int):
    if design is None:
        item = Item("plain", PLAIN_MM, PLAIN_MM, True)
        line = LineData(kind="plain", quantity=max(count, 1), packaging="platter")
        return [
            Part(
                role,
                "Plain flood",
                "Plain flood",
                count,
                item,
                drawing_of_kind("plain"),
                line,
                f"kplainx{count}",
            )
        ]
    variations = list(design.variations.all())[:bases] or [None]
    return [
        _design_part(role, design, variation, quantity)
        for variation, quantity in zip(variations, evenly(count, len(variations)), strict=True)
    ]


def _design_part(role, design, variation, quantity) -> Part:
    base = f"v{variation.pk}" if variation else ""
    size = (float(design.width_mm), float(design.height_mm))
    is_round = design.shape == "round" and size[0] == size[1]
    line = LineData(
        kind=design.kind.key,
        quantity=max(quantity, 1),
        colours=colours_of(design) or USUAL_COLOURS.get(design.kind.key, 1),  # as New order reckons
        design=design.pk,
        variation=variation.pk if variation else None,
        packaging="platter",
    )
    return Part(
        role,
        design.name,
        f"{design.name}, {variation.base.name}" if variation else design.name,
        quantity,
        Item(f"d{design.pk}{base}", *size, is_round),
        drawing_of(design, variation),
        line,
        f"d{design.pk}{base}x{quantity}",
    )


def _counts(parts) -> dict[Item, int]:
    counts: dict[Item, int] = {}
    for part in parts:
        counts[part.item] = counts.get(part.item, 0) + part.quantity
    return counts


def _spec(parts, holds: int | None):
    """What is priced: the order that this becomes, with as many platters as trays were laid."""
    lines = tuple(part.line for part in parts)
    return spec_of(OrderData(timezone.now() + A_FORTNIGHT, lines, platter_holds=holds))


def _lead(parts) -> str:
    said = []
    for role in ROLES:
        mine = [part for part in parts if part.role == role]
        if not mine:
            continue
        number, name = sum(part.quantity for part in mine), mine[0].name
        on = f" on {plural(len(mine), 'base colour')}" if len(mine) > 1 else ""
        said.append(f"{number} {name if role != 'plain' else name.lower()}{on}")
    return f"{', '.join(said)}."


def _picture(laid, parts) -> str:
    if laid is None:
        return ""
    looks = {part.item.key: part.look for part in parts}
    label = f"{plural(len(laid.spots), 'cookie')} on a {tray_words(laid.tray)}, seen from above"
    return draw(laid.tray, laid.items, laid.spots, looks, label=label)


def _tray_words(laid, count: int, how: str) -> str:
    if laid is None:
        return "Not one of these lies on that tray. A larger one?"
    way = "overlapping" if how == "overlap" else "flat, side by side"
    if laid.trays == 1:
        return f"All on one {tray_words(laid.tray)}, {way}."
    if not laid.fits:
        return f"About {laid.trays} trays like this one: {tray_words(laid.tray)}, {way}."
    few = f"{plural(laid.trays, 'tray')} like this one, up to {len(laid.spots)} on each"
    return f"{few}: {tray_words(laid.tray)}, {way}."


def _note(laid, guests: str, occasion: str, how: str) -> str:
    if laid is None:
        return f"Platter for {guests}."
    trays = tray_words(laid.tray) if laid.trays == 1 else f"{laid.trays} trays: {tray_words(laid.tray)}"
    return f"Platter for {guests} ({occasion.lower()}): {trays}{', overlapping' if how == 'overlap' else ''}."


def _boxes(parts, count: int) -> tuple[str, ...]:
    """The two best boxes in a sentence each; the largest cookie of the mix decides."""
    own = [Box(name, *sizes) for name, sizes in boxes_in_the_cupboard()]
    wide = max(min(part.item.width, part.item.height) for part in parts)
    long = max(max(part.item.width, part.item.height) for part in parts)
    return _box_words(count, wide, long, tuple(own) or USUAL_BOXES)


@lru_cache(maxsize=256)
def _box_words(count, wide, long, boxes) -> tuple[str, ...]:
    said = []
    for one in boxes_that_fit(count, wide, long, boxes)[:2]:
        how = (
            f"flat in {plural(one.layers, 'layer')} of {one.in_layer}"
            if one.way == "flat"
            else f"on edge in {plural(one.layers, 'row')} of {one.in_layer}"
        )
        said.append(f"{plural(one.boxes, 'box', 'boxes')} {one.box.name}: {one.each} in each, {how}.")
    return tuple(said)
