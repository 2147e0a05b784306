"""Small sums shared by the builders: spares, trays, even shares, whole minutes."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import TYPE_CHECKING

from .kinds import layers_of
from .spec import LineSpec, Shop

if TYPE_CHECKING:
    from .pieces import Work

__all__ = [
    "Tray",
    "batches_for",
    "cut_of",
    "mean_area",
    "names_of",
    "shares",
    "shares_by_size",
    "spares_of",
    "trays_of",
    "whole",
]


@dataclass(frozen=True)
class Tray:
    """One drying tray: its number from 1, its cookies, and which base colour of the line it holds."""

    number: int
    cookies: int
    variation: int


def whole(minutes: float) -> int:
    """Minutes to the nearest whole one, at least 1: a job is never nothing."""
    return max(1, int(minutes + 0.5))


def shares(total: int, parts: int) -> list[int]:
    """`total` in `parts` whole shares as even as can be, larger ones first."""
    small, extra = divmod(total, parts)
    return [small + (i < extra) for i in range(parts)]


def batches_for(area_cm2: float, shop: Shop) -> int:
    """Whole batches of dough for cookies of so much area altogether."""
    return ceil(area_cm2 / shop.dough_cm2 - 1e-9)


def shares_by_size(sizes: Sequence[float], parts: int) -> list[int]:
    """So many things in `parts` shares, each at least one, of as much size as can be; `sizes` in their order.

    Of one size all, they are shared by number. Raises ValueError for more shares than things.
    """
    if parts > len(sizes):
        raise ValueError("A share holds at least one.")
    if len(set(sizes)) <= 1:
        return shares(len(sizes), parts) if parts else []
    whole_size, so_far, ends = sum(sizes), 0.0, []
    for at, size in enumerate(sizes, 1):
        so_far += size
        left, number = len(sizes) - at, len(ends) + 1
        full = so_far >= whole_size * number / parts - 1e-9
        if number == parts:
            break
        if left >= parts - number and (full or left == parts - number):
            ends.append(at)
    bounds = [0, *ends, len(sizes)]
    return [end - start for start, end in pairwise(bounds)]


def mean_area(work: "Work") -> float:
    """Area [cm2] of the cookies that dough is still made for, else of all of them, by their number."""
    lines, shop = work.order.lines, work.shop
    there = {use.line for use in work.uses if use.item.what == "blank"}
    raw = [line for line in lines if line.stage == "nothing" and line.id not in there] or lines
    return sum(line.area_cm2 * cut_of(line, shop) for line in raw) / sum(cut_of(line, shop) for line in raw)


def spares_of(line: LineSpec, shop: Shop) -> int:
    """Cookies cut beyond the order against loss: the shop's share, at least one for each design."""
    if line.spares is not None:
        return line.spares
    return max(min(line.designs, line.quantity), ceil(line.quantity * shop.spare_share - 1e-9))


def cut_of(line: LineSpec, shop: Shop) -> int:
    """Cookies to cut: ordered and spare."""
    return line.quantity + spares_of(line, shop)


def names_of(line: LineSpec) -> int:
    """Cookies to letter: as many as there are names, or every ordered one when none are given yet."""
    return min(line.names or line.quantity, line.quantity)


def variations_of(line: LineSpec) -> int:
    """How many base colours share the line's cookies: those of its first many-coloured flood."""
    for layer in layers_of(line):
        if layer.kind == "flood" and len(layer.colours) > 1:
            return min(len(layer.colours), line.quantity)
    return 1


def trays_of(line: LineSpec, shop: Shop) -> list[Tray]:
    """The line's drying trays: no tray mixes base colours, and those of one colour are evenly filled."""
    trays: list[Tray] = []
    for variation, cookies in enumerate(shares(cut_of(line, shop), variations_of(line))):
        for count in shares(cookies, ceil(cookies / shop.cookies_per_tray)):
            trays.append(Tray(len(trays) + 1, count, variation))
    return trays
