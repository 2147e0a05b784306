"""Dough by the batch and baking by the oven load, for all lines of an order together."""

from dataclasses import dataclass
from math import ceil

from .counting import batches_for, cut_of, shares, shares_by_size, whole
from .kinds import shop_minutes, thawing
from .pieces import Job, Place, Wait
from .spec import STAGES, OrderSpec, Shop

__all__ = ["Baking", "baking_of"]

THAWED = "thawed, closed, at room temperature"


@dataclass(frozen=True)
class Baking:
    """Jobs, waits and places up to the cold blanks; `loads` maps a line to the bakes its cookies are in."""

    jobs: tuple[Job, ...]
    waits: tuple[Wait, ...]
    places: tuple[Place, ...]
    loads: dict[str, tuple[tuple[str, int, int], ...]]


def baking_of(order: OrderSpec, shop: Shop, *, ready: int = 0, thaw: Job | None = None) -> Baking:
    """Dough and bakes of the lines not baked yet. Batches and loads run on from line to line.

    The first `ready` batches were made ahead; what is baked from them waits for `thaw` where they are frozen.
    """
    raw = [line for line in order.lines if line.stage == "nothing"]
    to_bake = raw + [line for line in order.lines if line.stage == "dough"]
    dough, waits, places, loads = [], [], [], {line.id: [] for line in to_bake}
    total = sum(cut_of(line, shop) for line in to_bake)
    batches = _batches(raw, shop)
    for i, (start, end) in enumerate(batches[ready:], 1 + ready):
        minutes = whole(shop_minutes(shop, "dough" if i == 1 + ready else "dough_more"))
        dough.append(
            Job(
                f"{order.id}.dough.{i}",
                "dough",
                "Mix a batch of dough",
                order.id,
                cookies=end - start,
                minutes=minutes,
                attended=minutes,
            )
        )
    bakes = []
    for j, (start, end) in enumerate(_spans(total, ceil(total / _load(shop))), 1):
        bake = _bake(order, shop, j, start, end, to_bake)
        bakes.append(bake)
        places.append(
            Place(
                "rack",
                min(shop.rack_places, _sheets(end - start, shop)),
                bake.id,
                minutes=int(shop_minutes(shop, "bake_cool")),
            )
        )
        for job, (first, last) in zip(dough, batches[ready:], strict=True):
            if first < end and start < last:
                waits.append(_chill(job, bake, shop))
        if thaw and batches[:ready] and start < batches[:ready][-1][1]:
            span = thawing(shop)
            keeps = max(span.slow, int(shop_minutes(shop, "dough_keeps")))
            waits.append(Wait(thaw.id, bake.id, "thaw", span.usual, span.slow, keeps, THAWED))
    at = 0
    for line in to_bake:
        size = cut_of(line, shop)
        for bake, (start, end) in zip(bakes, _spans(total, len(bakes)), strict=True):
            low, high = max(start, at), min(end, at + size)
            if low < high:
                loads[line.id].append((bake.id, low - at, high - at))
        at += size
    return Baking(
        (*dough, *bakes), tuple(waits), tuple(places), {name: tuple(found) for name, found in loads.items()}
    )


def reached(stage: str) -> int:
    """The stage as a number, later is larger."""
    return STAGES.index(stage)


def _load(shop: Shop) -> int:
    return shop.cookies_per_sheet * shop.sheets_in_oven


def _sheets(cookies: int, shop: Shop) -> int:
    return min(shop.sheets_in_oven, ceil(cookies / shop.cookies_per_sheet))


def _spans(total: int, parts: int) -> list[tuple[int, int]]:
    spans, at = [], 0
    for size in shares(total, parts) if parts else []:
        spans.append((at, at + size))
        at += size
    return spans


def _batches(lines, shop: Shop) -> list[tuple[int, int]]:
    """Which cookies each batch of dough is for: as many batches as their cutters' sizes take."""
    sizes = [line.area_cm2 for line in lines for _ in range(cut_of(line, shop))]
    spans, at = [], 0
    for size in shares_by_size(sizes, min(len(sizes), batches_for(sum(sizes), shop))):
        spans.append((at, at + size))
        at += size
    return spans


def _bake(order, shop, number, start, end, lines) -> Job:
    attended = whole(
        shop_minutes(shop, "bake_set") + shop_minutes(shop, "bake_roll") * (end - start),
    )
    parts, at = [], 0
    for line in lines:
        size = cut_of(line, shop)
        inside = min(end, at + size) - max(start, at)
        if inside > 0:
            parts.append((line.id, inside))
        at += size
    return Job(
        f"{order.id}.bake.{number}",
        "bake",
        "Roll and bake",
        order.id,
        line=parts[0][0] if len(parts) == 1 else "",
        cookies=end - start,
        minutes=attended + whole(shop_minutes(shop, "bake_oven")),
        attended=attended,
        uses={"oven": _sheets(end - start, shop)},
        parts=tuple(parts),
    )


def _chill(dough: Job, bake: Job, shop: Shop) -> Wait:
    chill = int(shop_minutes(shop, "dough_chill"))
    keeps = max(chill, int(shop_minutes(shop, "dough_keeps")))
    return Wait(dough.id, bake.id, "chill", chill, chill, keeps, "dough chilled, and not older than it keeps")
