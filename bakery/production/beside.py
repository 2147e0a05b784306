"""Small things beside the fields of New order: kinds with their minutes, counts, cookies for the band."""

from __future__ import annotations

from django.utils import timezone

from bakery.craft.costing import price_of
from bakery.craft.work import KIND_TITLES, LineSpec, OrderSpec, cut_of
from bakery.designs.adapters import drawing_of, drawing_of_kind
from bakery.orders.adapters import drawing_of_line, spec_of
from bakery.orders.forms import USUAL_COLOURS
from bakery.studio.adapters import prices, shop
from bakery.studio.queries import the_studio


def together(form) -> str:
    """`48 together, 56 to cut with spares`."""
    data = form.order_data(hand_over=timezone.now())
    if data is None:
        return ""
    own = shop()
    cut = sum(cut_of(line, own) for line in spec_of(data).lines)
    return f"{data.quantity:,} together, {cut:,} to cut with spares"


def tiles(form) -> list[dict]:
    """The six kinds: picture, name, minutes of work a cookie, and whether a line is of it."""
    said = {line.said_kind for line in form.lines}
    minutes = minutes_per_cookie()
    return [
        {"key": key, "name": kind.name, "minutes": minutes.get(key), "drawing": drawing_of_kind(key),
         "picked": key in said}
        for key, kind in form.picks.kinds.items()
    ]  # fmt: skip


_minutes: dict = {}


def minutes_per_cookie(quantity: int = 24) -> dict[str, int]:
    """Minutes of work a cookie, from dough to bag, for two dozen of each kind in this kitchen."""
    own, costs = shop(), prices()
    key = repr((own, quantity))
    if key not in _minutes:
        _minutes.clear()
        _minutes[key] = {kind: _all_in(kind, quantity, own, costs) for kind in KIND_TITLES}
    return _minutes[key]


def _all_in(kind, quantity, own, costs) -> int:
    line = LineSpec("l1", kind, kind, quantity, colours=USUAL_COLOURS[kind])
    order = OrderSpec("tile", kind, (line,), timezone.now())
    price = price_of(order, None, own, costs)
    talk_and_door = sum(
        part.minutes for part in price.part("time").parts if part.key in ("talk", "door", "drive")
    )
    return max(1, round((price.minutes - talk_and_door) / quantity))


def deposit_words() -> str:
    """`Half holds the date`."""
    percent = the_studio().deposit_percent
    return {0: "No deposit asked", 50: "Half holds the date", 100: "All of it holds the date"}.get(
        percent, f"{percent} % holds the date"
    )


def drawings_of(form) -> list[dict]:
    """Up to two cookies for the band: what is being asked for."""
    found = []
    for line in form.filled_lines:
        design = line.design_row
        names = form.cleaned_data.get("names") if hasattr(form, "cleaned_data") else ()
        text = names[0][:12] if names and line.kind_key == "lettered" else ""
        data = line.line_data()
        if data and data.ways:
            found.append(drawing_of_line(data, design, text=text))
            continue
        found.append(drawing_of(design, text=text) if design else drawing_of_kind(line.kind_key, text=text))
    return found[:2]
