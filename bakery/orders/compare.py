"""Two versions of one order side by side, in words."""

from __future__ import annotations

from django.utils import timezone

from bakery.designs.models import Design

from .data import OrderData, differences
from .kinds import kind_rows
from .models import Order, OrderLine
from .moments import short
from .text import plural

LABELS = {
    "who": "Who", "title": "Event", "phone": "Phone", "email": "E-mail", "event_at": "Event starts",
    "hand_over_at": "Hand-over", "way": "How", "place": "Where to", "travel_minutes": "Minutes there",
    "distance_km": "Kilometres there",
    "transit_days": "Days in the post", "for_stock": "Made for stock",
    "bake_ahead": "Baked ahead and frozen", "names": "Names", "lines": "What",
    "platter_holds": "Cookies on one platter",
    "allergy_state": "Allergies", "allergies": "What they told us", "deposit_paid": "Deposit paid",
    "budget": "Their budget", "own_price": "Your own price",
    "their_words": "What they wrote", "note": "Wishes",
}  # fmt: skip


def differing(*, mine: OrderData, saved: OrderData) -> list[dict]:
    """A row for each field that differs: its label, this tab's version, the saved one."""
    return [
        {
            "label": LABELS[name],
            "mine": _words(name, getattr(mine, name)),
            "saved": _words(name, getattr(saved, name)),
        }
        for name in differences(mine, saved)
    ]


def _words(name: str, value) -> str:
    if name == "lines":
        return "; ".join(line_words(line) for line in value)
    if name in ("event_at", "hand_over_at"):
        return short(timezone.localtime(value), now=timezone.localtime()) if value else "not said"
    if name in ("for_stock", "bake_ahead", "deposit_paid"):
        return "yes" if value else "no"
    if name == "names":
        return f"{plural(len(value), 'name')}: {', '.join(value[:12])}{' …' if len(value) > 12 else ''}"
    if name == "way":
        return Order.Way(value).label
    if name == "allergy_state":
        return Order.Allergy(value).label
    return str(value if value not in (None, "") else "empty")


def line_words(line) -> str:
    """`24 Stencil with detail, 2 designs, 3 colours`."""
    if line.design:
        name = Design.objects.filter(pk=line.design).values_list("name", flat=True).first() or "a design"
    else:
        name = kind_rows()[line.kind].name
    stage = "" if line.stage == "nothing" else f", {OrderLine.Stage(line.stage).label}"
    simpler = ", made simpler" if line.ways else ""
    return (
        f"{line.quantity} {name}, {plural(line.designs, 'design')}, {plural(line.colours, 'colour')}"
        f"{simpler}{stage}"
    )
