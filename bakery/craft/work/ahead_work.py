"""What things made ahead change in the work of one order: lines begin later, thawing is a job."""

from collections.abc import Sequence
from dataclasses import replace

from .ahead import Use
from .counting import whole
from .kinds import shop_minutes
from .pieces import Job
from .spec import OrderSpec, Shop

__all__ = ["aged_minutes", "thawing_minutes", "thaws_of", "transfers_there", "with_blanks"]


def with_blanks(order: OrderSpec, uses: Sequence[Use]) -> OrderSpec:
    """The order with the lines baked already for which there are blanks."""
    items: dict[str, list] = {}
    for use in uses:
        if use.item.what == "blank":
            items.setdefault(use.line, []).append(use.item)
    lines = []
    for line in order.lines:
        mine = items.get(line.id)
        if mine and line.stage in ("nothing", "dough"):
            outside = [item.counts_as_made for item in mine if not item.frozen]
            line = replace(line, stage="baked", stage_at=None, baked_at=min(outside, default=None))
        lines.append(line)
    return replace(order, lines=tuple(lines))


def thaws_of(order: OrderSpec, uses: Sequence[Use], shop: Shop) -> tuple[dict[str, Job], Job | None]:
    """Thaw jobs: of blanks by line, and of dough."""
    blanks: dict[str, Job] = {}
    for line in order.lines:
        count = sum(
            u.quantity for u in uses if u.line == line.id and u.item.what == "blank" and u.item.frozen
        )
        if count and line.stage in ("baked", "nothing", "dough"):
            blanks[line.id] = _thaw(f"{order.id}.{line.id}.thaw", order, line.id, count, "blanks", shop)
    batches = sum(use.quantity for use in uses if use.item.what == "dough" and use.item.frozen)
    dough = _thaw(f"{order.id}.dough.thaw", order, "", 0, "dough", shop) if batches else None
    return blanks, dough


def _thaw(name, order, line, count, what, shop) -> Job:
    minutes = thawing_minutes(shop)
    parts = ((line, count),) if line else ()
    title = f"Take {what} out to thaw"
    return Job(name, "thaw", title, order.id, line=line, cookies=count, minutes=minutes, attended=minutes,
               parts=parts)  # fmt: skip


def thawing_minutes(shop: Shop) -> int:
    """Minutes to take something out or put it in: padded it must stay within a waking hour's ten."""
    return min(8, whole(shop_minutes(shop, "thaw")))


def transfers_there(steps, uses: Sequence[Use]) -> set[str]:
    """Ids of the making of transfers that lie there already."""
    lines = {use.line for use in uses if use.item.what == "transfer"}
    return {
        step.made_ahead.id for name in lines for step in steps.get(name, ()) if step.made_ahead is not None
    }


def aged_minutes(uses: Sequence[Use]) -> int:
    """How old the oldest frozen blanks were when they went into the freezer."""
    ages = [use.item.aged_days for use in uses if use.item.what == "blank" and use.item.frozen]
    return int(max(ages, default=0) * 1440)
