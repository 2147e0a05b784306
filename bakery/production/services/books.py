"""The cupboard's books follow the work: asked for in the change's own transaction, kept in the background."""

from bakery.background.services import enqueue
from bakery.stock.models import Packet, Reserve, StockItem

BOOKS = "cupboard_books"
MOST_KEYS = 2000


def ask_for_books(keys=()) -> None:
    """Book what these jobs used, and bring the reserves up to date. Nothing to do without anything kept.

    Keys that wait already are not lost to a later call.
    """
    if not _kept():
        return
    from bakery.background.models import Computation

    waiting = Computation.objects.filter(kind=BOOKS, key="", state__in=Computation.ACTIVE).first()
    known = []
    if waiting:
        # What runs now may have read its jobs before this was said: it takes them once more.
        known = (waiting.rerun_args or waiting.args or {}).get("keys", [])
    wanted = list(dict.fromkeys([*known, *keys]))[-MOST_KEYS:]
    enqueue(BOOKS, "", {"keys": wanted})


def _kept() -> bool:
    return (
        Packet.objects.filter(item__isnull=False).exists()
        or StockItem.objects.filter(measured=True).exists()
        or Reserve.objects.exists()
    )
