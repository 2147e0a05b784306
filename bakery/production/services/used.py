"""What done work used, booked from the cupboard; and put back when it is said not to be done after all.

A job is booked once for what was done of it: the token says which job, how many cookies, and how often it was
taken back before. Only items whose amounts are kept, or that have packets, are booked.
"""

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from hashlib import sha256

from django.db.models import Q
from django.utils import timezone

from bakery.craft.amounts import amounts, materials_of
from bakery.craft.work import Job as CoreJob
from bakery.craft.work import work_of
from bakery.orders.adapters import order_spec
from bakery.orders.models import Order
from bakery.orders.queries import with_lines
from bakery.stock import ledger
from bakery.stock.models import Move, Packet, StockItem
from bakery.studio import adapters as studio

from ..amounts import Cupboard, cupboard, needs_of_items
from ..models import Job

THOUSANDTH = Decimal("0.001")
KINDS = ("dough", "mix", "spray", "wafer", "pack")
"""Jobs that take something from the cupboard; icing is booked where it is mixed."""


@dataclass(frozen=True)
class Booking:
    """What is to happen for one job: live moves that go back, uses that are booked under a token."""

    back: tuple[int, ...]
    uses: tuple[ledger.Use, ...]
    token: str
    at: datetime


def tracked() -> set[int]:
    """Items whose amounts are kept or that ever had a packet; two queries."""
    kept = StockItem.objects.filter(measured=True).values_list("pk", flat=True)
    held = Packet.objects.filter(item__isnull=False).order_by().values_list("item", flat=True).distinct()
    return {*kept, *held}


def bookings_for(keys) -> tuple[Booking, ...]:
    """What the books still lack for these jobs (by key); reads only, bounded queries."""
    kept = tracked()
    if not kept or not keys:
        return ()
    rows = list(
        Job.objects.filter(key__in=keys, kind__in=KINDS)
        .select_related("order", "line")
        .prefetch_related("shares__order")
        .order_by("key")
    )
    orders = {order.pk for row in rows for order in row.served}
    known = _moves_of(orders)
    works = _works(orders)
    books, found = cupboard(), []
    left = dict(books.left)
    for row in rows:
        booking = _booking(row, known.get(_sign(row), ()), works, books, kept, left)
        if booking is not None:
            found.append(booking)
    return tuple(found)


def book(bookings) -> None:
    """Write them down; each is safe to repeat."""
    for one in bookings:
        for move in Move.objects.filter(pk__in=one.back).order_by("pk"):
            ledger.put_back(move=move, reason="not done after all")
        if one.uses:
            ledger.use_many(uses=one.uses, at=one.at, token=one.token)


def _booking(row: Job, moves, works, books: Cupboard, kept, left) -> Booking | None:
    """Live moves must be those of what is done now; anything else goes back first."""
    live = [move for move in moves if not move.put_back]
    done = _done(row)
    wanted = f"{_sign(row)}:{done}:"
    if done and live and all(move.token.startswith(wanted) for move in live):
        return None
    uses = _uses(row, done, works, books, kept, left) if done else ()
    if not live and not uses:
        return None
    before = len({move.token.split("/")[0] for move in moves})
    at = row.done_at or timezone.now()
    return Booking(tuple(move.pk for move in live), uses, f"{wanted}{before}", at)


def _done(row: Job) -> int:
    """Cookies of it that were done, 1 for a job without; 0 where nothing was, or she has not said so."""
    if row.state != Job.State.DONE or not row.said:
        return 0
    return max(1, row.cookies if row.done_count is None else row.done_count)


def _uses(row: Job, done: int, works, books: Cupboard, kept, left) -> tuple[ledger.Use, ...]:
    """What it took: leftover tubs first, as the list of amounts said; `left` is what is still in them."""
    mine = [works[order.key] for order in row.served if order.key in works]
    if not mine:
        return ()
    job, tubs = core_of(row), dict(left)
    found = materials_of(mine, [job], book=books.book, icing="mixes", tubs=tubs)
    needs, _ = needs_of_items(found, books)
    share = _share(row, done, mine)
    return (*_from_tubs(mine, job, books, tubs, left), *_of_items(needs, kept, share))


def _from_tubs(works, job, books: Cupboard, tubs, left):
    """Leftover icing that went into a mixing, shared among its orders by what each of them takes."""
    for bag in amounts(works, [job], icing="mixes", tubs=tubs).icing:
        if bag.tub <= 0:
            continue
        name = bag.colour.lower()
        left[name] = max(0.0, left[name] - bag.tub)
        whole = sum(grams for _, grams in bag.orders)
        for order, grams in bag.orders:
            quantity = Decimal(bag.tub * grams / whole).quantize(THOUSANDTH)
            yield ledger.Use(books.tubs[name][0].colour, quantity, order)


def _of_items(needs, kept, share: Decimal) -> tuple[ledger.Use, ...]:
    return tuple(
        ledger.Use(need.item, quantity, order)
        for need in needs
        if need.item.pk in kept
        for order, part in sorted(need.orders.items())
        if (quantity := (part * share).quantize(THOUSANDTH)) > 0
    )


def _share(row: Job, done: int, works) -> Decimal:
    """How much of the reckoned amount this row stands for: packing is reckoned for the whole order."""
    if row.kind == "pack":
        return min(Decimal(1), Decimal(done) / sum(work.quantity for work in works))
    return Decimal(done) / row.cookies if row.cookies else Decimal(1)


def core_of(row: Job) -> CoreJob:
    """A row as the core's job, from what it was when it was done."""
    return CoreJob(
        row.key,
        row.kind,
        row.title,
        row.order.key,
        line=f"l{row.line.position}" if row.line else "",
        layer=row.layer,
        cookies=row.cookies,
        colours=tuple(row.colours),
        grams=row.grams,
        shared=tuple((share.order.key, share.cookies) for share in row.shares.all()),
    )


def _works(orders) -> dict:
    """Work of these orders as they came in, whatever has become of them; bounded queries."""
    shop = studio.shop()
    rows = with_lines(Order.objects.filter(pk__in=orders))
    return {order.key: work_of(_from_scratch(order_spec(order)), shop) for order in rows}


def _from_scratch(spec):
    """Every layer counts: what was done before is only not booked because no row stands for it."""
    return replace(spec, lines=tuple(replace(line, stage="nothing", stage_at=None) for line in spec.lines))


def _moves_of(orders) -> dict[str, list[Move]]:
    """Uses booked for jobs of these orders, by the sign of the job; one query."""
    keys = Order.objects.filter(pk__in=orders).values_list("number", flat=True)
    rows = (
        Move.objects.filter(
            Q(order__in=[f"o{number}" for number in keys]), kind=Move.Kind.USE, token__startswith="j"
        )
        .exclude(order="")
        .select_related("undone_by")
    )
    found: dict[str, list[Move]] = defaultdict(list)
    for move in rows:
        move.put_back = getattr(move, "undone_by", None) is not None
        found[move.token.split(":")[0]].append(move)
    return found


def _sign(row: Job) -> str:
    """A short name of the job that fits into a token."""
    return "j" + sha256(row.key.encode()).hexdigest()[:20]
