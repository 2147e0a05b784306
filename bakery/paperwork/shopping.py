"""The shopping list on paper: a shop after the other, a box to tick for each thing."""

from datetime import datetime

from bakery.production import words
from bakery.stock.runout.shopping import Line, Shop, shopping_list
from bakery.studio.queries import the_studio


def shopping_sheet(now: datetime) -> dict:
    """The list as it stands now; bounded queries."""
    found = shopping_list(now)
    studio = the_studio()
    return {
        "title": "To buy",
        "made": f"As the cupboard stood on {words.day_month(now)}, {words.clock(now)}.",
        "shops": [_shop(shop) for shop in found.shops],
        "also": ", ".join(f"{item.name} ({item.get_level_display()})" for item in found.also),
        "total": f"{found.total:.2f}" if len(found.shops) > 1 else "",
        "foot": f"{studio}, for you. Packs are rounded up; prices are those of the last time.",
    }


def _shop(shop: Shop) -> dict:
    besides = f", besides {shop.unpriced} without a price" if shop.unpriced else ""
    return {
        "name": shop.name,
        "lines": [_line(line) for line in shop.lines],
        "total": f"{shop.total:.2f}{besides}",
    }


def _line(line: Line) -> dict:
    by = "at once" if line.late else f"by {line.by:%A} {line.by.day} {line.by:%B}" if line.by else ""
    return {
        "what": line.item.name,
        "much": line.amount,
        "by": by,
        "cost": "" if line.cost is None else str(line.cost),
    }
