"""A platter: from guests to a count, from a count to a mix, and the tray that holds it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

from .rows import Item, Spot, lay
from .tray import Tray

MOST_TRAYS = 99
SHARES = {"feature": Fraction(1, 5), "colours": Fraction(1, 2), "plain": Fraction(3, 10)}
"""The usual mix: a few that everybody looks at, one design on two or three base colours, plain ones between.
Common practice, no source."""


@dataclass(frozen=True)
class Platter:
    """trays: how many like this. tray: which. spots: where each of `items` lies on the fullest one.

    fits: False for more trays than anybody carries; then `trays` is only about right.
    """

    tray: Tray
    trays: int
    items: tuple[Item, ...]
    spots: tuple[Spot, ...]
    how: str
    fits: bool = True


def count_for(guests: int, each: Decimal) -> int:
    """Cookies for so many guests, rounded up. Raises ValueError below one guest or without a cookie each."""
    if guests < 1 or each <= 0:
        raise ValueError("at least one guest, and something to eat")
    return int((guests * Decimal(each)).to_integral_value(ROUND_CEILING))


def mix(count: int, shares: dict[str, Fraction] | None = None) -> dict[str, int]:
    """The count parted by shares with nothing lost: whole numbers, the largest remainders rounded up."""
    shares = SHARES if shares is None else shares
    whole = sum(shares.values())
    if not whole or count < 0:
        raise ValueError("a mix has a share of something")
    exact = {key: count * Fraction(share) / whole for key, share in shares.items()}
    found = {key: int(value) for key, value in exact.items()}
    rest = count - sum(found.values())
    for key in sorted(exact, key=lambda key: found[key] - exact[key])[:rest]:
        found[key] += 1
    return found


def evenly(count: int, parts: int) -> list[int]:
    """A count over so many parts, the first ones one more."""
    return [count // parts + (at < count % parts) for at in range(parts)]


def interleave(groups) -> list:
    """Lists mixed so that each is spread evenly over the whole, the first list's own first."""
    marked = [
        ((at + 0.5) / len(group), rank, thing)
        for rank, group in enumerate(groups)
        for at, thing in enumerate(group)
    ]
    return [thing for _, _, thing in sorted(marked, key=lambda one: one[:2])]


def on_trays(counts: dict[Item, int], trays, how: str = "flat") -> Platter | None:
    """The smallest of `trays` that holds all; where none does, as few of the one that takes most as it needs.

    `counts` in the order from the middle of the tray outwards. None when not one cookie lies on any tray.
    """
    trays, total = sorted(trays, key=lambda tray: tray.area), sum(counts.values())
    best = None
    for tray in trays:
        items = in_order(counts)
        spots = lay(items, tray, how)
        if len(spots) == total:
            return Platter(tray, 1, tuple(items), spots, how)
        if spots and (best is None or len(spots) > best[1]):
            best = tray, len(spots)
    if best is None:
        return None
    tray, held = best
    least = -(-total // held)
    for number in range(least, MOST_TRAYS + 1):
        fullest = in_order(share_of(counts, number))
        spots = lay(fullest, tray, how)
        if len(spots) == len(fullest):
            return Platter(tray, number, tuple(fullest), spots, how)
    few = in_order(share_of(counts, least))
    return Platter(tray, least, tuple(few), lay(few, tray, how), how, fits=False)


def share_of(counts: dict, parts: int) -> dict:
    """What the fullest of so many trays gets: of each its even share, and no tray two more than another."""
    found, so_far, given = {}, 0, 0
    for item, count in counts.items():
        so_far += count
        found[item] = -(-so_far // parts) - given
        given += found[item]
    return {item: count for item, count in found.items() if count}


def in_order(counts: dict[Item, int]) -> list[Item]:
    """Tallest in the middle; those of one height stand mixed, but what comes first stays together."""
    first = next(iter(counts), None)
    heights = sorted({item.height for item in counts}, reverse=True)
    out = []
    for height in heights:
        alike = [(item, count) for item, count in counts.items() if item.height == height]
        own = [[item] * count for item, count in alike if item is first]
        rest = [[item] * count for item, count in alike if item is not first]
        out += [item for group in own for item in group] + interleave([group for group in rest if group])
    return out
