"""Small sums shared by the builders: spares, trays, even shares, whole minutes."""

from dataclasses import dataclass
from math import ceil

from .kinds import layers_of
from .spec import LineSpec, Shop

__all__ = ["Tray", "cut_of", "names_of", "shares", "spares_of", "trays_of", "whole"]


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
