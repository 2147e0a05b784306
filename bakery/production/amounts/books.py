"""What the cupboard knows that amounts need: recipes, the bottles of each colour, leftover tubs."""

from collections import defaultdict
from dataclasses import dataclass, field

from django.db.models import Q
from django.utils import timezone

from bakery.craft.amounts import Book
from bakery.stock import recipes
from bakery.stock.models import Colour, Packet, StockItem
from bakery.stock.offcuts import kept_offcuts
from bakery.stock.queries import colour_bottles


@dataclass(frozen=True)
class Cupboard:
    """`bottles` by lower-case colour and medium, `items` by pk, `tubs` by lower-case colour: open packets of
    mixed icing, the first to use up first, none that is past its date. `offcuts` of wafer paper, mm.
    """

    book: Book
    bottles: dict
    items: dict[int, StockItem]
    tubs: dict[str, list[Packet]] = field(default_factory=dict)
    offcuts: tuple[tuple[float, float], ...] = ()

    @property
    def left(self) -> dict[str, float]:
        """Grams left over of each icing colour."""
        return {name: float(sum(tub.left for tub in tubs)) for name, tubs in self.tubs.items()}


def cupboard() -> Cupboard:
    """Read it once; nine queries at most, however much there is."""
    bottles = colour_bottles()
    keyed = {
        key: tuple((str(item.pk), drops) for item, drops in parts) for key, parts in bottles.items() if parts
    }
    tubs: dict[str, list[Packet]] = defaultdict(list)
    fresh = Q(use_by=None) | Q(use_by__gte=timezone.localdate())
    rows = Packet.objects.filter(fresh, colour__medium=Colour.Medium.ICING, left__gt=0)
    for tub in rows.select_related("colour"):
        tubs[tub.colour.name.lower()].append(tub)
    made = recipes.usuals()
    return Cupboard(
        Book(made["dough"], made["icing"], keyed),
        bottles,
        {item.pk: item for item in StockItem.objects.all()},
        dict(tubs),
        tuple((cut.width, cut.height) for cut in kept_offcuts()),
    )
