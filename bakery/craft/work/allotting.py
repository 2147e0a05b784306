"""Who uses what of things made ahead, decided before any work is worked out; nothing is given twice."""

from collections.abc import Collection, Iterable, Sequence
from datetime import datetime, timedelta

from .ahead import Ahead, Use
from .counting import batches_for, cut_of
from .icing import steps_of
from .kinds import shop_minutes
from .spec import LineSpec, OrderSpec, Shop

__all__ = ["allot", "shape_of"]


def allot(
    orders: Sequence[OrderSpec],
    items: Iterable[Ahead],
    shop: Shop,
    now: datetime,
    *,
    claimed: Iterable[Use] = (),
    begun: Collection[str] = (),
) -> tuple[Use, ...]:
    """Who uses what: first what was claimed before, then by hand-over; nothing is given twice.

    Blanks and transfers are used for a line when there are enough for all of it, spares included, of one or
    several items; dough by whole batches. What would be too old at the hand-over is left where it is.
    Orders that are `begun` have their own blanks by now: they keep what they claimed and get no more.
    """
    items = [item for item in items if item.quantity > 0]
    left = {item.id: item.quantity for item in items}
    by_id = {item.id: item for item in items}
    specs = {order.id: order for order in orders}
    found: list[Use] = []
    for use in claimed:
        item = by_id.get(use.item.id)
        if item and use.order in specs and 0 < use.quantity <= left[item.id]:
            left[item.id] -= use.quantity
            found.append(Use(item, use.order, use.line, use.quantity))
    known = {(use.order, use.line, use.item.what) for use in found}
    for order in sorted(orders, key=lambda order: (order.leaves, order.id)):
        if order.id in begun:
            continue
        for line in order.lines:
            for what, wanted in (("blank", _blanks(line, shop)), ("transfer", _transfers(order, line, shop))):
                if wanted and (order.id, line.id, what) not in known:
                    found += _take(order, line, what, wanted, items, left, shop, now)
        batches = _batches(order, shop, found)
        if batches and (order.id, "", "dough") not in known:
            found += _take(order, None, "dough", batches, items, left, shop, now)
    return tuple(found)


def _blanks(line: LineSpec, shop: Shop) -> int:
    return cut_of(line, shop) if line.stage in ("nothing", "dough", "baked") else 0


def _transfers(order, line, shop) -> int:
    if line.stage in ("decorated", "packed"):
        return 0
    return sum(step.made_ahead.cookies for step in steps_of(order, line, shop) if step.made_ahead)


def _batches(order, shop, uses) -> int:
    """Batches of dough the order still wants, after the blanks it gets."""
    covered = {use.line for use in uses if use.order == order.id and use.item.what == "blank"}
    fresh = [line for line in order.lines if line.stage == "nothing" and line.id not in covered]
    area = sum(cut_of(line, shop) * line.area_cm2 for line in fresh)
    return min(sum(cut_of(line, shop) for line in fresh), batches_for(area, shop))


def _take(order, line, what, wanted, items, left, shop, now) -> list[Use]:
    """What is kept for this very order first, then what keeps shortest."""
    fits = [item for item in items if left[item.id] and _fits(item, order, line, what, shop, now)]
    fits.sort(key=lambda item: (item.order == "", item.keeps_until or item.counts_as_made, item.id))
    if what != "dough" and sum(left[item.id] for item in fits) < wanted:
        return []
    found = []
    for item in fits:
        count = min(left[item.id], wanted)
        if count:
            left[item.id] -= count
            wanted -= count
            found.append(Use(item, order.id, line.id if line else "", count))
    return found


def _fits(item: Ahead, order: OrderSpec, line, what, shop: Shop, now: datetime) -> bool:
    if item.what != what or item.order not in ("", order.id):
        return False
    if item.order and item.line and line is not None and item.line != line.id:
        return False
    if line is not None and line.stage == "baked" and not (item.order and item.frozen):
        return False  # those are baked and where they are known to be; only a freezer adds work to them
    if not item.order and line is not None and item.shape != shape_of(line, what):
        return False
    if item.order and item.shape and line is not None and shape_of(line, what) not in ("", item.shape):
        return False
    return _keeps(item, order, shop, now)


def shape_of(line: LineSpec, what: str) -> str:
    """What a free item must be called to fit this line."""
    return line.shape if what == "blank" else line.title


def _keeps(item: Ahead, order: OrderSpec, shop: Shop, now: datetime) -> bool:
    """Whether it can still be used for this hand-over."""
    if item.frozen:
        thawed = now + timedelta(minutes=shop_minutes(shop, "thaw_wait"))
        return (item.keeps_until is None or item.keeps_until > now) and thawed < order.leaves
    if item.keeps_until is not None and item.keeps_until <= now:
        return False
    if item.what == "blank":
        return item.counts_as_made + timedelta(days=shop.keeps_days) >= order.leaves
    if item.what == "transfer":
        dry = item.made + timedelta(minutes=shop_minutes(shop, "transfer_dry"))
        return dry <= now and (item.keeps_until is None or item.keeps_until >= order.leaves)
    # Dough has to become cookies before it is too old, so it must nearly last until they are wanted.
    until = item.keeps_until or item.counts_as_made + timedelta(minutes=shop_minutes(shop, "dough_keeps"))
    return until >= order.leaves - timedelta(days=1)
