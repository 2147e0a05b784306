"""The airbrush colours and the cleaning between them, as the core wants them."""

from typing import TYPE_CHECKING

from .models import CleaningTime, Colour

if TYPE_CHECKING:
    from bakery.craft.airbrush import Cleaning, Paint


def airbrush() -> dict:
    """`paints` by name and her `cleaning` for the core's Shop; two queries."""
    return {"paints": paints(), "cleaning": cleaning()}


def paints() -> "dict[str, Paint]":
    """Every airbrush colour with its dried shade and the drops it is mixed from."""
    from bakery.craft.airbrush import Paint

    rows = Colour.objects.filter(medium=Colour.Medium.AIRBRUSH).values_list(
        "name", "hex", "parts__item_id", "parts__drops"
    )
    drops: dict[tuple[str, str], dict[str, float]] = {}
    for name, shade, item, count in rows.order_by("name", "parts__item_id"):
        mine = drops.setdefault((name, shade), {})
        if item is not None:
            mine[str(item)] = float(count)
    return {name: Paint(name, shade, mine) for (name, shade), mine in drops.items()}


def cleaning() -> "Cleaning":
    """What her timings say, those that count; the usual figures without any. Where drops were only added to
    the cup nothing was cleaned, so nothing is learnt.
    """
    from bakery.craft.airbrush import CLEANING, learn

    rows = list(CleaningTime.objects.filter(refused=False))
    told = [timing(row) for row in rows]
    return learn([one for one in told if not one[1].made_from(one[0])]) if told else CLEANING


def timing(row: CleaningTime) -> "tuple[Paint, Paint, float]":
    from bakery.craft.airbrush import Paint

    before = Paint("before", row.before_hex, _drops(row.before_drops))
    return before, Paint("after", row.after_hex, _drops(row.after_drops)), float(row.minutes)


def _drops(said) -> dict[str, float]:
    return {str(item): float(count) for item, count in said.items()} if isinstance(said, dict) else {}


def cup_colours() -> list[Colour]:
    """The airbrush colours with their bottles, also those put away; three queries."""
    rows = Colour.objects.filter(medium=Colour.Medium.AIRBRUSH)
    return list(rows.prefetch_related("parts__item"))
