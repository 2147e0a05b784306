"""What goes into a mixed colour, by its drops and by the usual icing: what she need not type."""

from decimal import Decimal

from .models import Colour, Recipe, StockItem


def parts_of(colour: Colour, quantity: Decimal) -> list[tuple[StockItem, Decimal]]:
    """Pairs of item and amount for so many grams of icing, or drops of an airbrush colour.

    Gel counts by the drop in 100 g, paste by the gram; the icing itself by the usual recipe, where all its
    parts are weighed and found in the cupboard. What is not known is left out: the books then cost it too
    little, never by a guess.
    """
    parts = list(colour.parts.select_related("item"))
    if colour.medium == Colour.Medium.AIRBRUSH:
        total = sum(part.drops for part in parts)
        return [(part.item, quantity * part.drops / total) for part in parts if total]
    found = [
        (part.item, part.drops * quantity / 100) for part in parts if part.item.unit == "drop" and part.drops
    ]
    found += [
        (part.item, part.grams * quantity / 100) for part in parts if part.item.unit == "g" and part.grams
    ]
    return found + _icing(quantity)


def _icing(quantity: Decimal) -> list[tuple[StockItem, Decimal]]:
    recipe = Recipe.objects.filter(what=Recipe.What.ICING, usual=True).prefetch_related("parts__item").first()
    parts = list(recipe.parts.all()) if recipe else []
    if not parts or any(part.grams is None for part in parts):
        return []
    batch = sum(part.grams for part in parts)
    if not batch:
        return []
    return [
        (part.item, part.grams * quantity / batch) for part in parts if part.item_id and part.item.unit == "g"
    ]
