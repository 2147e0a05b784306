"""The example's two recipes, as she would write them down."""

from bakery.craft.ingredients import parse_line
from bakery.stock.models import RecipePart, StockItem

DOUGH = ("375 g plain flour", "1 cup butter", "1 cup sugar", "1 egg", "1 tsp vanilla extract", "3 g salt")
ICING = ("454 g icing sugar", "82 g water", "25 g egg white powder")


def fill_recipes() -> None:
    """Saved through the same service as her own, so that each finds its packet in the cupboard."""
    from bakery.stock.recipes import name_packet, save_recipe

    lines = tuple(parse_line(text) for text in DOUGH)
    save_recipe(what="dough", name="Harbour vanilla dough", cookies=20, lines=lines)
    lines = tuple(parse_line(text) for text in ICING)
    save_recipe(what="icing", name="Royal icing", cookies=20, lines=lines)
    powder = RecipePart.objects.get(name="egg white powder")
    name_packet(part=powder, item=StockItem.objects.filter(name="Meringue powder").first())
