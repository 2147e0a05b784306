"""What the lists hold, row by row."""

from collections.abc import Iterator

from django.utils import timezone

from .. import ledger
from ..ledger_queries import titles_of
from ..models import Move, StockItem

CUPBOARD = ("name", "shelf", "unit", "level", "amount", "pack size", "pack price", "supplier",
            "days to get it", "days to spare", "allergens", "edible")  # fmt: skip
MOVES = ("when", "packet", "what", "what happened", "amount", "unit", "cost", "order", "reason", "taken back")
SHOPPING = ("shop", "what", "packs", "amount", "unit", "about", "order by", "why")
CHUNK = 2000


def cupboard_rows() -> Iterator[tuple]:
    """The cupboard as it can be read in again; an amount only where amounts are kept."""
    yield CUPBOARD
    left = ledger.on_hand()
    for item in StockItem.objects.all():
        yield (
            item.name, item.get_group_display(), item.get_unit_display(), item.level,
            figure(left.get(item.pk, 0)) if item.measured else "", figure(item.pack_size),
            "" if item.pack_price is None else item.pack_price, item.supplier, item.lead_days,
            item.margin_days, item.allergens, "yes" if item.edible else "no",
        )  # fmt: skip


def move_rows() -> Iterator[tuple]:
    """Every line of the books from the first; names of orders are looked up a few hundred at a time."""
    yield MOVES
    rows = Move.objects.select_related("packet__item", "packet__colour", "undone_by").order_by("at", "pk")
    batch = []
    for move in rows.iterator(chunk_size=CHUNK):
        batch.append(move)
        if len(batch) == CHUNK:
            yield from _told(batch)
            batch = []
    yield from _told(batch)


def _told(moves) -> Iterator[tuple]:
    titles = titles_of({move.order for move in moves if move.order})
    for move in moves:
        undone = getattr(move, "undone_by", None)
        yield (
            f"{timezone.localtime(move.at):%Y-%m-%d %H:%M}", move.packet.code,
            str(move.packet.item or move.packet.colour), move.get_kind_display(), figure(move.quantity),
            move.packet.unit, move.cost, titles.get(move.order, (move.order,))[0], move.reason,
            "yes" if undone else "",
        )  # fmt: skip


def shopping_rows(found) -> Iterator[tuple]:
    yield SHOPPING
    for shop in found.shops:
        for line in shop.lines:
            yield (
                shop.name, line.item.name, "" if line.packs is None else line.packs, figure(line.quantity),
                line.item.get_unit_display(), "" if line.cost is None else line.cost, line.by or "", line.why,
            )  # fmt: skip


def figure(quantity) -> str:
    text = f"{quantity:.3f}"
    return text.rstrip("0").rstrip(".")
