"""What open orders will want of the cupboard: softly from the quote on, firmly once they are booked.

Of everything on the shelves, once the amounts of anything are kept; before that all is have, low or out.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from bakery.craft.amounts import materials_of
from bakery.craft.work import work_of
from bakery.orders.adapters import order_spec
from bakery.orders.models import PLANNED_STATES, Order, State
from bakery.orders.queries import with_lines
from bakery.stock import ledger
from bakery.stock.models import Reserve
from bakery.studio import adapters as studio

from ..amounts import materials_now, needs_of_items
from .used import tracked

FIRM = tuple(state for state in PLANNED_STATES if state != State.HELD)
SOFT = (State.QUOTED, State.HELD)


@dataclass(frozen=True)
class Wanted:
    """What one order wants, by item."""

    order: str
    wants: tuple[ledger.Want, ...]
    firm: bool


def changed_wants(now: datetime) -> tuple[Wanted, ...]:
    """Orders whose reserves are not what they want now; those that want nothing any more have no wants.

    Reads only, bounded queries.
    """
    kept = tracked()
    known: dict[str, dict] = defaultdict(dict)
    for row in Reserve.objects.all():
        known[row.order][row.item_id] = (row.quantity, row.wanted_at, row.firm, row.days)
    if not kept and not known:
        return ()
    wants = _wants(now) if kept else {}
    states = dict(Order.objects.filter(state__in=(*FIRM, *SOFT)).values_list("number", "state"))
    firm = {f"o{number}": state in FIRM for number, state in states.items()}
    found = []
    for order in sorted({*known, *wants}):
        mine = wants.get(order, ()) if order in firm else ()
        now_wanted = {want.item.pk: (want.quantity, want.at, firm[order], want.days) for want in mine}
        if now_wanted != known.get(order, {}):
            found.append(Wanted(order, tuple(mine), firm.get(order, False)))
    return tuple(found)


def save_wants(changed) -> None:
    """Put them in place of what was reserved before."""
    for one in changed:
        if one.wants:
            ledger.reserve(order=one.order, wants=one.wants, firm=one.firm)
        else:
            ledger.release(order=one.order)


def _wants(now: datetime) -> dict[str, list]:
    found, books = materials_now(now)
    quoted = _quoted(books)
    by_order: dict[str, dict] = defaultdict(dict)
    for need in needs_of_items((*found, *quoted), books)[0]:
        for order, quantity in need.orders.items():
            takes = tuple((at, part) for key, at, part in need.takes if key == order)
            by_order[order][need.item.pk] = ledger.Want(need.item, quantity, need.begins(order), takes)
    return {order: list(items.values()) for order, items in by_order.items()}


def _quoted(books):
    """All that quotes still open would take: nothing of them is planned."""
    rows = with_lines(Order.objects.filter(state=State.QUOTED))
    shop = studio.shop()
    works = [work_of(order_spec(order), shop) for order in rows]
    if not works:
        return ()
    starts = {job.id: work.order.leaves for work in works for job in work.jobs}
    # Each by itself: what they would share is known only once they are booked.
    return tuple(one for work in works for one in materials_of(work, book=books.book, starts=starts))
