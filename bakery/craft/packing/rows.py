"""Cookies of any shape in rows on a tray: from the middle row outwards, flat or lapping over each other."""

from __future__ import annotations

from dataclasses import dataclass

from .circles import fit_circles
from .tray import Tray

GAP = 3.0  # mm between cookies that lie flat (common practice, no source)
RIM = 6.0  # mm of the tray's edge that stay free
LAP, ROW_LAP = 2 / 3, 0.85  # what shows of a cookie along its row, and of a row under the next: about half as
# many again fit (common practice, no source)
HOW = ("flat", "overlap")


@dataclass(frozen=True)
class Item:
    """One cookie: what it is (any key), its size in mm, and whether it is round."""

    key: str
    width: float
    height: float
    round: bool = False


@dataclass(frozen=True)
class Spot:
    """Where a cookie lies: its place in the list of items, its middle in mm, turned by 90 degrees or not."""

    item: int
    x: float
    y: float
    turned: bool = False


def lay(items, tray: Tray, how: str = "flat", *, seed: int = 1) -> tuple[Spot, ...]:
    """As many of the items as lie on the tray, the first ones nearest its middle; drawn in the order given.

    Flat: nothing touches. "overlap": each laps over the one before. Raises ValueError for another way.
    """
    if how not in HOW:
        raise ValueError(f"flat or overlap, not {how}")
    items = list(items)
    if not items or min(tray.width, tray.height) <= 2 * RIM:
        return ()
    inside = tray.less(RIM)
    options = [
        _rows(items, inside, how, turned, shift, down)
        for turned in (False, True)
        for shift in (0.0, 0.5)
        for down in (False, True)
    ]
    if how == "flat" and all(item.round for item in items) and len({item.width for item in items}) == 1:
        options.append(_discs(items, inside, seed))
    return max(options, key=len)


def capacity(item: Item, tray: Tray, how: str = "flat") -> int:
    """How many of one cookie the tray holds."""
    size = item.width * item.height * (LAP if how == "overlap" else 1)
    return len(lay([item] * (int(tray.area / size) + 4), tray, how))


def _discs(items, tray: Tray, seed: int) -> tuple[Spot, ...]:
    """Discs with the gap between them but not to the rim: both grow by it."""
    around = Tray(tray.shape, tray.width + GAP, tray.height + GAP)
    points = fit_circles(around, items[0].width + GAP, count=len(items), tries=2, seed=seed)
    return tuple(Spot(at, x, y) for at, (x, y) in enumerate(points))


def _rows(items, tray: Tray, how: str, turned: bool, shift: float, down: bool) -> tuple[Spot, ...]:
    """`shift` 0: one row through the middle; 0.5: two beside it. `down`: rows run down, not across."""
    box = Tray(tray.shape, tray.height, tray.width) if down else tray
    size = [(item.height, item.width) if turned != down else (item.width, item.height) for item in items]
    left, spots = list(range(len(items))), []
    half = _between(size[0][1], how) / 2
    edge = {1: half, -1: half}  # how far from the middle the next row on each side begins
    if shift == 0:
        high = size[0][1]
        taken, spots = _row(left, size, box, -high / 2, high / 2, how, items)
        left = left[taken:]
        edge = {1: high / 2 + _between(high, how), -1: high / 2 + _between(high, how)}
    side, closed = 1, set()
    while left and len(closed) < 2:
        high = size[left[0]][1]
        low = edge[side] if side > 0 else -edge[side] - high
        taken, row = _row(left, size, box, low, low + high, how, items)
        if taken:
            spots, left = spots + row, left[taken:]
            edge[side] += high + _between(high, how)
        else:
            closed.add(side)
        side = side if -side in closed else -side
    middle = _middle(spots, size)
    if _all_in(spots, size, box, middle, items):
        spots = [(at, x, y - middle) for at, x, y in spots]
    return tuple(Spot(at, y, x, turned) if down else Spot(at, x, y, turned) for at, x, y in spots)


def _row(left, size, box: Tray, low: float, top: float, how: str, items):
    """As many of the next items as the row between two heights holds, centred."""
    wide, taken, xs, reach = 0.0, 0, [], float("inf")
    for at in left:
        w, h = size[at]
        step = w if not xs else (w * LAP if how == "overlap" else w + GAP)
        reach = min(reach, _reach(box, (low + top) / 2, w, h, items[at].round))
        if h > top - low + 1e-9 or wide + step > 2 * reach + 1e-9:
            break
        wide += step
        xs.append(wide - w / 2)
        taken += 1
    return taken, [(at, x - wide / 2, (low + top) / 2) for at, x in zip(left[:taken], xs, strict=True)]


def _reach(box: Tray, y: float, w: float, h: float, is_round: bool) -> float:
    """How far to each side a cookie with its middle at a height may come."""
    if is_round:
        return box.disc_reach(y, w / 2)
    return min(box.half_width(y - h / 2), box.half_width(y + h / 2))


def _middle(spots, size) -> float:
    if not spots:
        return 0.0
    lows = [y - size[at][1] / 2 for at, _, y in spots]
    tops = [y + size[at][1] / 2 for at, _, y in spots]
    return (min(lows) + max(tops)) / 2


def _all_in(spots, size, box: Tray, middle: float, items) -> bool:
    """Whether everything still lies inside once it is moved to the middle."""
    return all(
        _reach(box, y - middle, *size[at], items[at].round) + 1e-9 >= abs(x) + size[at][0] / 2
        for at, x, y in spots
    )


def _between(high: float, how: str) -> float:
    """From one row to the next: a gap, or how far it laps."""
    return GAP if how == "flat" else -(1 - ROW_LAP) * high
