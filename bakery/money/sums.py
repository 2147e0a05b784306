"""One order's sums from its rows: what was asked, what came in, what it took. Reads only."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from django.db.models import Prefetch, Sum
from django.utils import timezone

from bakery.craft import earning
from bakery.craft.costing import left_of
from bakery.designs.models import Design
from bakery.designs.queries import with_layers
from bakery.orders.models import Order, OrderLine, Payment, Quote, State
from bakery.orders.pricing import house
from bakery.orders.quotes import balance_day
from bakery.stock.models import Colour, Move, StockItem
from bakery.studio.queries import the_studio

from .models import LineSum, OrderSum, WorkSum
from .thought import MATERIALS, Thought, last_quote, thought_of
from .timing import Timing, timings

GROUPS = {
    "airbrush": "colour", "gel": "colour", "dust": "colour", "dry": "food", "fresh": "food", "wafer": "wafer",
    "packing": "packaging",
}  # fmt: skip
OWING = (State.BOOKED, State.APPROVED, State.KITCHEN, State.READY, State.HANDED_OVER)


@dataclass(frozen=True)
class Sums:
    """The rows that stand for one order."""

    order: OrderSum
    lines: list[LineSum]
    work: list[WorkSum]


def sums_of(pks) -> list[Sums]:
    """The sums of these orders, in a bounded number of queries."""
    pks = list(pks)
    orders = list(_orders(pks))
    studio = the_studio()
    shop, prices = house(studio)
    said, spared = timings(pks)
    books, kept = _books(order.key for order in orders), _kept()
    found = []
    for order in orders:
        quote = last_quote(order)
        thought = thought_of(order, quote, shop, prices) if _is_made(order) else Thought({}, 0, {})
        row = _order_row(order, quote, studio)
        _times(row, thought, said[order.pk], spared[order.pk])
        _costs(row, thought, books[order.key], kept, prices)
        found.append(Sums(row, _lines(row, order, thought, said[order.pk]), _work(row, said[order.pk])))
    return found


def _is_made(order: Order) -> bool:
    """All its work is behind her, and there was some."""
    return order.state in (State.HANDED_OVER, State.READY) and bool(order.lines.all())


def _orders(pks):
    designs = Prefetch("design", with_layers(Design.objects.all()))
    lines = OrderLine.objects.select_related(
        "kind", "variation__base", "variation__motif", "variation__detail"
    )
    return (
        Order.objects.filter(pk__in=pks)
        .select_related("customer")
        .prefetch_related(Prefetch("lines", lines.prefetch_related(designs)), "names", "payments",
                          Prefetch("quotes", Quote.objects.order_by("version")))
        .order_by("pk")
    )  # fmt: skip


def _order_row(order: Order, quote: Quote | None, studio) -> OrderSum:
    """What was asked and what came in. An order for the stall is paid for at the stall."""
    on = timezone.localdate(order.hand_over_at)
    asked = quote.total if quote else order.own_price
    asked = None if asked is None or order.for_stock else earning.whole_pence(asked)
    back = Payment.What.REFUND
    payments = list(order.payments.all())
    came_in = sum(earning.whole_pence(p.amount) for p in payments if p.what != back)
    given = sum(earning.whole_pence(p.amount) for p in payments if p.what == back)
    made = order.state == State.HANDED_OVER or (order.for_stock and order.state == State.READY)
    kept = order.state in (State.CANCELLED, State.MOVED) and came_in > given  # a deposit that stays
    brought = earning.brought(asked if made else None, came_in, given) if made or kept else None
    owes = earning.owed(asked, came_in) if order.state in OWING else 0
    return OrderSum(
        order=order, on=on, month=on.replace(day=1), made=made or kept, for_stock=order.for_stock,
        cookies=sum(line.quantity for line in order.lines.all()) if made else 0, asked=asked, came_in=came_in,
        given_back=given, brought=brought, owed=owes,
        due_on=balance_day(order, quote, studio.balance_days) if owes else None,
    )  # fmt: skip


def _times(row: OrderSum, thought: Thought, said: list[Timing], spared: float) -> None:
    """As it took: as thought, longer or shorter by what was timed, less what sharing spared."""
    if not _is_made(row.order):
        took = sum(one.took for one in said)
        row.thought = row.timed = round(sum(one.thought for one in said))
        row.took = round(took)
        return
    row.thought = thought.seconds
    row.timed = min(thought.seconds, round(sum(one.thought for one in said)))
    row.took = max(0, round(thought.seconds + sum(one.took - one.thought for one in said) - spared))


def _costs(row: OrderSum, thought: Thought, books: dict[str, int], kept: set[str], prices) -> None:
    """Material as it was, rent by the time it took, power and road as thought, fee and tax of what came."""
    used = earning.used_up(thought.materials, books, kept)
    if not _is_made(row.order):  # it came to nothing: only what the books say
        used, plain, rent, row.material_thought, row.cost_thought = dict(books), 0, 0, 0, 0
    else:
        plain = thought.parts.get("energy", 0) + thought.parts.get("delivery", 0)
        rent = thought.parts.get("overhead", 0)
        rent = round(rent * row.took / row.thought) if row.thought else rent
        row.material_thought, row.cost_thought = sum(thought.materials.values()), thought.cost
    row.material = sum(used.values())
    row.cost = row.material + plain + rent + _charges(row.brought, prices)
    row.cost_thought += _charges(row.asked, prices) if row.cost_thought else 0


def _charges(amount: int | None, prices) -> int:
    """Fee and tax in what the customer pays."""
    if not amount or amount < 0:
        return 0
    total = earning.money(amount)
    return earning.whole_pence(total - left_of(total, prices))


def _lines(row: OrderSum, order: Order, thought: Thought, said: list[Timing]) -> list[LineSum]:
    """Shares of the order by the work in each line; what was timed for a line is that line's."""
    lines = list(order.lines.all())
    if not row.made or not lines:
        return []
    weights = [max(0.0, float(thought.weights.get(f"l{line.position}", 0))) for line in lines]
    apart = defaultdict(float)
    for one in said:
        if one.line is not None:
            apart[one.line] += one.took - one.thought
    planned = earning.share_out(row.thought, weights)
    common = row.took - row.thought - sum(apart[line.pk] for line in lines)
    every = sum(weights) or 1.0
    took = [
        max(0.0, first + apart[line.pk] + common * weight / every)
        for line, weight, first in zip(lines, weights, planned, strict=True)
    ]
    parts = zip(
        lines, earning.share_out(row.brought or 0, weights), earning.share_out(row.cost, weights), planned,
        earning.share_out(row.took, took), strict=True,
    )  # fmt: skip
    return [
        LineSum(
            order=order, key=f"{order.key}.l{line.position}", on=row.on, made=row.made,
            known=row.brought is not None or row.for_stock, design_id=line.design_id, kind_id=line.kind_id,
            cookies=line.quantity if row.cookies else 0, brought=in_, cost=cost, thought=first, took=last,
        )
        for line, in_, cost, first, last in parts
    ]  # fmt: skip


def _work(row: OrderSum, said: list[Timing]) -> list[WorkSum]:
    sums: dict[str, list] = {}
    for one in said:
        so_far = sums.setdefault(one.work, [0.0, 0.0, one.on])
        so_far[0] += one.thought
        so_far[1] += one.took
        so_far[2] = max(so_far[2], one.on)
    return [
        WorkSum(order=row.order, on=on, work=work, thought=round(thought), took=round(took))
        for work, (thought, took, on) in sums.items()
    ]


def _books(keys) -> dict[str, dict[str, int]]:
    """Pence that the cupboard's moves say went into each order, by group."""
    moves = Move.objects.filter(order__in=list(keys)).exclude(order="")
    rows = moves.values("order", "packet__item__group", "packet__colour__medium").annotate(cost=Sum("cost"))
    found: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for row in rows.order_by():
        medium = row["packet__colour__medium"]
        group = GROUPS.get(row["packet__item__group"]) or (
            "food" if medium == Colour.Medium.ICING else "colour"
        )
        found[row["order"]][group] -= earning.whole_pence(row["cost"])
    return defaultdict(
        dict, {key: {g: max(0, cost) for g, cost in costs.items()} for key, costs in found.items()}
    )


def _kept() -> set[str]:
    """Groups of material of which every amount is kept."""
    measured: dict[str, list[bool]] = {group: [] for group in MATERIALS}
    for group, one in StockItem.objects.values_list("group", "measured"):
        measured[GROUPS[group]].append(one)
    return {group for group, all_of in measured.items() if all_of and all(all_of)}
