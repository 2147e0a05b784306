"""Rectangles cut from a strip of least height, or from as few sheets as can be, with 90-degree turns.

A greedy skyline in several seeded orders, then an exact search with a budget of steps for small numbers. What
meets the bound by area is proved least, and said to be.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil
from random import Random

from .skyline import EPS, Placed, greedy, search

ORDERS = 24
NODES = 120_000
MOST_SEARCHED = 24
LEAST_OFFCUT = 25.0  # mm: a narrower strip is not worth keeping (common practice, no source)


@dataclass(frozen=True)
class Strip:
    """height: mm used. proved: none is lower, for it meets the area bound. placed: one for each piece."""

    height: float
    placed: tuple[Placed, ...]
    proved: bool


@dataclass(frozen=True)
class Offcut:
    """A rectangle left whole. mm from the sheet's lower left corner."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class Sheet:
    """What is cut from one sheet. used: share of its area that becomes pieces. part: which offcut it is."""

    width: float
    height: float
    placed: tuple[Placed, ...]
    offcuts: tuple[Offcut, ...]
    used: float
    part: int | None = None


@dataclass(frozen=True)
class Cuts:
    """too_big: pieces that no sheet holds. least: by area no fewer sheets can do."""

    sheets: tuple[Sheet, ...]
    too_big: tuple[int, ...] = ()
    least: int = 0


def pack_strip(sizes, width: float, *, turn: bool = True, seed: int = 1, nodes: int = NODES) -> Strip:
    """All rectangles `sizes` [(width, height)] in a strip of `width`, as low as it finds.

    Raises ValueError when a piece is wider than the strip whichever way, or has no size.
    """
    sizes = _checked(sizes)
    if not sizes:
        return Strip(0.0, (), True)
    for w, h in sizes:
        if w > width + EPS and not (turn and h <= width + EPS):
            raise ValueError(f"a piece of {w:g} x {h:g} is wider than the strip")
    bound = max(sum(w * h for w, h in sizes) / width, max(_least_rise(w, h, width, turn) for w, h in sizes))
    if all(float(side).is_integer() for size in sizes for side in size):
        bound = ceil(bound - EPS)
    best = min((_greedy_all(sizes, order, width, turn) for order in _orders(sizes, seed)), key=_top)
    if len(sizes) <= MOST_SEARCHED:
        best = _searched(sizes, width, bound, best, turn, nodes)
    return Strip(_top(best), tuple(best), _top(best) <= bound + 1e-6)


def _searched(sizes, width, bound, best, turn, nodes):
    """The bound itself first; then ever lower between it and the best one known, while the steps last."""
    low, tries = bound, 0
    while _top(best) > low + 1e-6 and tries < 5:
        target = low if tries == 0 else (low + _top(best)) / 2
        found = search(sizes, width, target, turn, nodes)
        if found:
            best = found
        elif tries:
            low = target
        tries += 1
    return best


def pack_sheets(
    sizes, width: float, height: float, *, gap: float = 0.0, margin: float = 0.0, turn: bool = True,
    seed: int = 1, parts=(),
) -> Cuts:  # fmt: skip
    """All rectangles cut from sheets of width x height mm, as few as it finds; `parts` are used first.

    `gap` lies between two pieces, `margin` around the sheet stays empty. Parts are (width, height) of offcuts
    that are there already; they have no margin. Raises ValueError for sizes that are not positive.
    """
    sizes = _checked(sizes)
    wide, high = width - 2 * margin, height - 2 * margin
    if wide <= 0 or high <= 0:
        raise ValueError("nothing of the sheet is left inside its margin")
    fits = [_fits(size, wide, high, turn) for size in sizes]
    left = [at for at, fine in enumerate(fits) if fine]
    least = ceil(sum(sizes[at][0] * sizes[at][1] for at in left) / (wide * high) - EPS)
    sheets = []
    for number in sorted(range(len(parts)), key=lambda at: parts[at][0] * parts[at][1]):
        if left:
            sheet = _one_sheet(sizes, left, *parts[number], gap, 0.0, turn, seed)
            if sheet.placed:
                sheets.append(replace(sheet, part=number))
                left = _without(left, sheet)
    while left:
        sheet = _one_sheet(sizes, left, width, height, gap, margin, turn, seed)
        sheets.append(sheet)
        left = _without(left, sheet)
    return Cuts(tuple(sheets), tuple(at for at, fine in enumerate(fits) if not fine), least)


def _without(left, sheet):
    gone = {one.piece for one in sheet.placed}
    return [at for at in left if at not in gone]


def _one_sheet(sizes, left, width, height, gap, margin, turn, seed) -> Sheet:
    """The filling with the most area in it; among equals the one that leaves the largest offcut."""
    grown = [(w + gap, h + gap) for w, h in sizes]
    wide, high = width - 2 * margin + gap, height - 2 * margin + gap
    options = []
    for order in _orders([grown[at] for at in left], seed):
        chosen = [left[at] for at in order]
        options.append(greedy(grown, chosen, wide, high, turn))
        flipped = greedy([(h, w) for w, h in grown], chosen, high, wide, turn)
        options.append([Placed(p.piece, p.y, p.x, p.height, p.width, p.turned) for p in flipped])
    options += _blocks(grown, left, wide, high, turn)
    area = lambda placed: round(sum(sizes[p.piece][0] * sizes[p.piece][1] for p in placed), 3)  # noqa: E731
    most = max(map(area, options))
    best = min((o for o in options if area(o) == most), key=lambda o: (_top(o) * _right(o), _top(o)))
    placed = tuple(
        Placed(p.piece, p.x + margin, p.y + margin, p.width - gap, p.height - gap, p.turned) for p in best
    )
    return Sheet(width, height, placed, offcuts(placed, width, height, gap, margin), most / (width * height))


def _blocks(grown, left, wide, high, turn):
    """For pieces all alike: two blocks side by side, the second one turned."""
    if not turn or len({grown[at] for at in left}) != 1:
        return []
    w, h = grown[left[0]]
    found = []
    for a, b, turned in ((w, h, False), (h, w, True)):
        for cols in range(int((wide + EPS) / a) + 1):
            spots = _grid(0.0, cols, a, int((high + EPS) / b), b, turned)
            rest = wide - cols * a
            spots += _grid(cols * a, int((rest + EPS) / b), b, int((high + EPS) / a), a, not turned)
            found.append([Placed(piece, *spot) for piece, spot in zip(left, spots, strict=False)])
    return found


def _grid(x, cols, a, rows, b, turned):
    return [(x + c * a, r * b, a, b, turned) for c in range(cols) for r in range(rows)]


def offcuts(placed, width, height, gap=0.0, margin=0.0, least=LEAST_OFFCUT) -> tuple[Offcut, ...]:
    """Rectangles of the sheet that stay whole, largest first, none over another, no side under `least` mm."""
    free, kept = [(0.0, 0.0, width, height)], []
    for p in placed:
        free = _cut(free, p.x - gap, p.y - gap, p.x + p.width + gap, p.y + p.height + gap)
    while free:
        x0, y0, x1, y1 = max(free, key=lambda r: ((r[2] - r[0]) * (r[3] - r[1]), -r[0], -r[1]))
        kept.append(Offcut(x0, y0, x1 - x0, y1 - y0))
        free = _cut(free, x0, y0, x1, y1)
        free = [r for r in free if min(r[2] - r[0], r[3] - r[1]) >= least]
    return tuple(cut for cut in kept if min(cut.width, cut.height) >= least)


def _cut(free, x0, y0, x1, y1):
    """The maximal empty rectangles once a block is taken out of them."""
    out = []
    for a0, b0, a1, b1 in free:
        if x0 >= a1 - EPS or x1 <= a0 + EPS or y0 >= b1 - EPS or y1 <= b0 + EPS:
            out.append((a0, b0, a1, b1))
            continue
        out += [(a0, b0, x0, b1)] if x0 > a0 + EPS else []
        out += [(x1, b0, a1, b1)] if x1 < a1 - EPS else []
        out += [(a0, b0, a1, y0)] if y0 > b0 + EPS else []
        out += [(a0, y1, a1, b1)] if y1 < b1 - EPS else []
    out = list(dict.fromkeys(out))
    return [r for r in out if not any(r != s and _holds(s, r) for s in out)]


def _holds(outer, inner) -> bool:
    return outer[0] <= inner[0] and outer[1] <= inner[1] and outer[2] >= inner[2] and outer[3] >= inner[3]


def _checked(sizes):
    sizes = [(float(w), float(h)) for w, h in sizes]
    if any(not (w > 0 and h > 0) for w, h in sizes):
        raise ValueError("a piece has a width and a height")
    return sizes


def _fits(size, wide, high, turn) -> bool:
    w, h = size
    return (w <= wide + EPS and h <= high + EPS) or (turn and h <= wide + EPS and w <= high + EPS)


def _least_rise(w, h, width, turn) -> float:
    return min(h, w) if turn and h <= width + EPS and w <= width + EPS else (h if w <= width + EPS else w)


def _greedy_all(sizes, order, width, turn):
    return greedy(sizes, order, width, float("inf"), turn)


def _orders(sizes, seed: int):
    """Largest first by area, longest side, each side; then those shuffled a little."""
    every = range(len(sizes))
    keys = (
        lambda i: -sizes[i][0] * sizes[i][1],
        lambda i: -max(sizes[i]),
        lambda i: -sizes[i][0],
        lambda i: -sizes[i][1],
    )
    first = [sorted(every, key=key) for key in keys]
    kinds = len(set(sizes))
    alike, random = kinds == 1, Random(seed)
    yield from first[:1] if alike else first
    for at in range(0 if alike else min(ORDERS, 3 * kinds)):
        order = list(first[at % len(first)])
        for _ in range(1 + len(order) // 4):
            i, j = random.randrange(len(order)), random.randrange(len(order))
            order[i], order[j] = order[j], order[i]
        yield order


def _top(placed) -> float:
    return max((p.y + p.height for p in placed), default=0.0)


def _right(placed) -> float:
    return max((p.x + p.width for p in placed), default=0.0)
