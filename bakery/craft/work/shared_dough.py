"""One making of dough for several orders: whole batches over all of their cookies."""

from collections.abc import Mapping
from dataclasses import replace

from .counting import batches_for, shares_by_size, whole
from .kinds import shop_minutes
from .pieces import Job, Wait
from .spec import USUAL_CM2, Shop

__all__ = ["dough_of", "one_after_the_other"]


def dough_of(
    key: str, olds: list[Job], shop: Shop, areas: Mapping[str, float] | None = None
) -> tuple[list[Job], dict[str, tuple[str, ...]]]:
    """Batches KEY.1, KEY.2 ... in the place of the old ones, and which of them hold an old one's cookies.

    The cookies of all lie in a row; batches are rounded up over the whole row, so at most one is not full.
    `areas` is the mean area of each order's cookies [cm2].
    """
    areas = areas or {}
    each = [areas.get(job.order, USUAL_CM2) for job in olds for _ in range(job.cookies)]
    sizes = shares_by_size(each, min(len(each), max(1, batches_for(sum(each), shop))))
    spans, at = [], 0
    for job in olds:
        spans.append((job, at, at + job.cookies))
        at += job.cookies
    news, successors, at = [], {job.id: () for job in olds}, 0
    for number, size in enumerate(sizes, 1):
        inside = [
            (job, min(end, at + size) - max(start, at))
            for job, start, end in spans
            if start < at + size and at < end
        ]
        news.append(_batch(f"{key}.{number}", number, size, inside, olds[0], shop))
        for job, _ in inside:
            successors[job.id] += (news[-1].id,)
        at += size
    return news, successors


def one_after_the_other(news: list[Job]) -> list[Wait]:
    """Further batches cost less only when they are mixed right after the first, so they are tied to it."""
    most = 15 * len(news)
    why = "batches mixed one after the other"
    return [Wait(news[0].id, job.id, "next", 0, 0, most, why, strict=True) for job in news[1:]]


def _batch(name: str, number: int, size: int, inside, first: Job, shop: Shop) -> Job:
    minutes = whole(shop_minutes(shop, "dough" if number == 1 else "dough_more"))
    counts: dict[str, int] = {}
    for job, cookies in inside:
        counts[job.order] = counts.get(job.order, 0) + cookies
    return replace(
        first,
        id=name,
        cookies=size,
        minutes=minutes,
        attended=minutes,
        shared=tuple(counts.items()),
        stands_for=tuple(job.id for job, _ in inside),
    )
