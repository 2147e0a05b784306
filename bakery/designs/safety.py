"""What is not to be eaten, where a design would put it on a cookie. A warning, never a bar.

"Non-toxic" is not edible: food colours and dusts say edible and list their ingredients, or name their
E-numbers and "for food"; metal dusts have poisoned people. Local food law goes first.
"""

from bakery.stock.models import ColourPart


def inedible_in(layers) -> list[str]:
    """A sentence for each colour that comes from something not marked edible; one query."""
    colours = {row.colour_id: row.colour.name for layer in layers for row in layer.layer_colours.all()}
    if not colours:
        return []
    parts = ColourPart.objects.filter(colour__in=colours, item__edible=False).select_related("item")
    found = sorted({(colours[part.colour_id], part.item.name) for part in parts})
    return [
        f"{colour} comes from {item}, which is not marked edible: keep it off what is eaten. "
        "“Non-toxic” is not edible; its label must say edible and list what is in it."
        for colour, item in found
    ]
