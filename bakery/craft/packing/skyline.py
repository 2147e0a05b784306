"""Rectangles laid from below on a skyline: a quick greedy filling and an exact search for small numbers.

The skyline is a tuple of (x, width, height) steps from left to right. The next piece goes into the lowest
step, leftmost first; what is too narrow for any piece is filled up as waste.
"""

from __future__ import annotations

from dataclasses import dataclass

EPS = 1e-9


@dataclass(frozen=True)
class Placed:
    """A piece at its place: lower left corner, size as laid, whether it was turned by 90 degrees. mm."""

    piece: int
    x: float
    y: float
    width: float
    height: float
    turned: bool = False


def lowest(sky) -> int:
    return min(range(len(sky)), key=lambda at: (sky[at][2], sky[at][0]))


def laid(sky, at: int, width: float, height: float):
    """The skyline with a block of that size at the left end of a step."""
    x, wide, low = sky[at]
    parts = [*sky[:at], (x, width, low + height)]
    if wide - width > EPS:
        parts.append((x + width, wide - width, low))
    return _joined(parts + list(sky[at + 1 :]))


def raised(sky, at: int):
    """The skyline with a step filled up to its lower neighbour, and the area wasted; None if it has none."""
    x, wide, low = sky[at]
    beside = [sky[k][2] for k in (at - 1, at + 1) if 0 <= k < len(sky)]
    if not beside:
        return None
    level = min(beside)
    return _joined([*sky[:at], (x, wide, level), *sky[at + 1 :]]), wide * (level - low)


def _joined(parts):
    out = [parts[0]]
    for x, wide, high in parts[1:]:
        if abs(high - out[-1][2]) < EPS:
            out[-1] = (out[-1][0], out[-1][1] + wide, out[-1][2])
        else:
            out.append((x, wide, high))
    return tuple(out)


def ways(size, turn: bool):
    """(width, height, turned) of each way to lay a piece."""
    width, height = size
    yield width, height, False
    if turn and abs(width - height) > EPS:
        yield height, width, True


def greedy(sizes, order, width: float, ceiling: float, turn: bool) -> list[Placed]:
    """Best fit into the lowest step, over pieces in the order given; what does not fit is left out."""
    groups: dict[tuple, list[int]] = {}
    for piece in order:
        groups.setdefault(sizes[piece], []).append(piece)
    queue = [(size, pieces[::-1]) for size, pieces in groups.items()]  # each size once, as it first comes
    sky, out = ((0.0, width, 0.0),), []
    while queue:
        at = lowest(sky)
        x, wide, low = sky[at]
        best = None
        for rank, (size, _) in enumerate(queue):
            for w, h, turned in ways(size, turn):
                if w <= wide + EPS and low + h <= ceiling + EPS:
                    score = (_snug(sky, at, w, h), -rank)
                    if best is None or score > best[0]:
                        best = score, rank, w, h, turned
        if best is None:
            higher = raised(sky, at)
            if higher is None:
                break
            sky = higher[0]
            continue
        _, rank, w, h, turned = best
        out.append(Placed(queue[rank][1].pop(), x, low, w, h, turned))
        if not queue[rank][1]:
            queue.pop(rank)
        sky = laid(sky, at, w, h)
    return out


def _snug(sky, at: int, w: float, h: float) -> int:
    """How well a block closes its step: exactly as wide, and level with the step beside it."""
    _, wide, low = sky[at]
    exact = abs(w - wide) < 1e-6
    level = any(abs(low + h - sky[k][2]) < 1e-6 for k in (at - 1, at + 1) if 0 <= k < len(sky))
    return 2 * exact + level


def search(sizes, width: float, height: float, turn: bool, nodes: int) -> list[Placed] | None:
    """All pieces within width x height; None when there is no way, or none was found in `nodes` steps.

    Complete up to its budget: every lowest step is tried with every different piece, both ways round, and as
    waste while the area to spare lasts.
    """
    spare = width * height - sum(w * h for w, h in sizes)
    if spare < -EPS:
        return None
    kinds: dict[tuple, list[int]] = {}
    for piece, (w, h) in enumerate(sizes):
        kinds.setdefault((max(w, h), min(w, h)) if turn else (w, h), []).append(piece)
    groups = sorted(kinds.items(), key=lambda kind: -kind[0][0] * kind[0][1])
    budget, out, seen = [nodes], [], set()

    def go(sky, spare, left) -> bool:
        if not left:
            return True
        budget[0] -= 1
        state = (sky, tuple(len(pieces) for _, pieces in groups))
        if budget[0] < 0 or (state in seen):
            return False
        at = lowest(sky)
        x, wide, low = sky[at]
        for size, pieces in groups:
            if not pieces:
                continue
            for w, h, turned in ways(size, turn):
                if w > wide + EPS or low + h > height + EPS:
                    continue
                piece = pieces.pop()
                flipped = turned != (turn and sizes[piece][0] < sizes[piece][1])
                out.append(Placed(piece, x, low, w, h, flipped))
                if go(laid(sky, at, w, h), spare, left - 1):
                    return True
                out.pop()
                pieces.append(piece)
                if budget[0] < 0:
                    return False
        higher = raised(sky, at)
        if higher and higher[1] <= spare + EPS and go(higher[0], spare - higher[1], left):
            return True
        if len(seen) < 400_000:
            seen.add(state)
        return False

    return out if go(((0.0, width, 0.0),), spare, len(sizes)) else None
