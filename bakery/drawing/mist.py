"""Drying, drawn: sprayed dots that thin out as the water leaves.

Dots per area follow the share of water left. They are placed by best-candidate sampling: of several random
places, the one farthest from its neighbours (D. P. Mitchell, "Spectrally optimal sampling for distribution
ray tracing", SIGGRAPH 1991; cited from memory), measured in units of the local spacing. The seed is fixed:
the same question always gives the same drawing.
"""

from bisect import bisect_left
from functools import lru_cache
from math import exp, sqrt
from random import Random

from .svg import COLOURS, num

# Share of water left at equal steps, when no drying model was asked.
USUAL = tuple(round(exp(-3.4 * i / 16), 3) for i in range(17))
DOT = 2.2
PEAK = 0.17  # dots per square pixel where all the water is still there
LIMIT = 3000  # dots a page may carry
_TRIES = 6


def _at(share: tuple[float, ...], t: float) -> float:
    place = min(max(t, 0.0), 1.0) * (len(share) - 1)
    i = min(int(place), len(share) - 2)
    return share[i] + (share[i + 1] - share[i]) * (place - i)


@lru_cache(maxsize=512)
def dots(
    width: int,
    height: int,
    *,
    seed: int,
    share: tuple[float, ...] = USUAL,
    peak: float = PEAK,
    limit: int = LIMIT,
) -> tuple[tuple[float, float], ...]:
    """Places of the dots in a box of `width` x `height` pixels, at most `limit` of them."""
    if width < 2 or height < 2 or limit < 1:
        return ()
    if len(share) < 2:
        share = (*share, *share) if share else USUAL
    share = tuple(min(max(float(s), 0.0), 1.0) for s in share)
    steps = max(16, min(200, width // 4))
    below = [0.0]
    for i in range(steps):
        below.append(below[-1] + _at(share, (i + 0.5) / steps) * width / steps)
    count = min(limit, round(peak * height * below[-1]))
    if count < 1:
        return ()
    thick = count / (height * below[-1])
    random = Random(f"{seed}:{width}:{height}")
    shelf = 8.0
    shelves: list[list[tuple[float, float]]] = [[] for _ in range(int(width / shelf) + 2)]
    placed: list[tuple[float, float]] = []
    for _ in range(count):
        best, farthest = (0.0, 0.0), -1.0
        for _ in range(_TRIES):
            aim = random.random() * below[-1]
            i = min(bisect_left(below, aim), steps) or 1
            part = (aim - below[i - 1]) / ((below[i] - below[i - 1]) or 1)
            x = (i - 1 + part) * width / steps
            y = 1 + random.random() * (height - 2)
            spacing = 1 / sqrt(thick * max(_at(share, x / width), 0.01))
            gap = _nearest(shelves, shelf, x, y, 2 * spacing) / spacing
            if gap > farthest:
                best, farthest = (x, y), gap
        placed.append(best)
        shelves[int(best[0] / shelf)].append(best)
    return tuple((round(x, 1), round(y, 1)) for x, y in sorted(placed))


def _nearest(
    shelves: list[list[tuple[float, float]]], shelf: float, x: float, y: float, reach: float
) -> float:
    nearest = reach * reach
    for i in range(max(0, int((x - reach) / shelf)), min(len(shelves) - 1, int((x + reach) / shelf)) + 1):
        for px, py in shelves[i]:
            d = (px - x) * (px - x) + (py - y) * (py - y)
            if d < nearest:
                nearest = d
    return sqrt(nearest)


@lru_cache(maxsize=1024)
def _drawn(width, height, seed, share, peak=PEAK, limit=LIMIT, down=False) -> str:
    """The dots as path data, kept: a page asks for the same mists again and again."""
    places = dots(width, height, seed=seed, share=share, peak=peak, limit=limit)
    return "".join(f"M{num(y)} {num(x)}h0" if down else f"M{num(x)} {num(y)}h0" for x, y in places)


def mist(
    width: float,
    height: float,
    *,
    seed: int = 1,
    share: tuple[float, ...] = USUAL,
    x: float = 0,
    y: float = 0,
    peak: float = PEAK,
    limit: int = LIMIT,
    colour: str = "wet",
) -> str:
    """One path of dots for a box at (x, y). `share` is the water left at equal steps along the width, 1 to 0.

    Returns an empty string where there is nothing to draw. About 14 bytes a dot.
    """
    d = _drawn(round(width), round(height), seed, tuple(share), peak, limit)
    if not d:
        return ""
    at = f' transform="translate({num(x)} {num(y)})"' if x or y else ""
    return (
        f'<path{at} d="{d}" class="s-{colour}" fill="none" stroke="{COLOURS[colour]}" stroke-width="{DOT}" '
        'stroke-linecap="round"/>'
    )


def mist_down(
    width: float, height: float, *, seed: int = 1, share: tuple[float, ...] = USUAL, colour: str = "wet"
) -> str:
    """The same, drying downwards: for the phone's chain."""
    d = _drawn(round(height), round(width), seed, tuple(share), down=True)
    return (
        f'<path d="{d}" class="s-{colour}" fill="none" stroke="{COLOURS[colour]}" stroke-width="{DOT}" '
        'stroke-linecap="round"/>'
    )
