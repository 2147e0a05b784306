"""Equal round cookies on a round, oval or rectangular tray, and the smallest round for so many.

Greedy patterns first (rows of a honeycomb or a chessboard, rings), then local improvement from seeded starts:
overlapping discs push each other away until nothing overlaps.
"""

from __future__ import annotations

from functools import lru_cache
from math import cos, floor, pi, sin, sqrt

import numpy as np

from .tray import Tray, tangents

STEPS = 260
SLACK = 1e-6  # of a diameter: closer than that counts as touching
MOST, MOST_PUSHED = 400, 60  # discs on a tray; discs that are still pushed about


def fit_circles(
    tray: Tray, diameter: float, *, count: int | None = None, tries: int = 4, seed: int = 1
) -> tuple[tuple[float, float], ...]:
    """Middles (x, y) in mm of discs of `diameter` mm lying flat on the tray, none over another or the rim.

    As many as it finds room for, or `count` of them when that many fit (else fewer). Heuristic: what is found
    always is a layout, but a tighter one may exist. Raises ValueError for a diameter that is not positive.
    """
    if not diameter > 0:
        raise ValueError("a cookie has a diameter")
    best = _greedy(tray, diameter)
    if len(best) < (MOST if count is None else count):
        best = _most(tray, diameter, tries, seed)
    return tuple((float(x), float(y)) for x, y in best[: MOST if count is None else count])


@lru_cache(maxsize=128)
def _greedy(tray: Tray, diameter: float) -> np.ndarray:
    return _middle_first(max(_patterns(tray, diameter), key=len))


@lru_cache(maxsize=128)
def _most(tray: Tray, diameter: float, tries: int, seed: int) -> np.ndarray:
    """The best pattern, and one disc more as long as some start ends without overlaps."""
    best, rng = _greedy(tray, diameter), np.random.default_rng(seed)
    bound = floor(tray.area / (pi * diameter**2 / 4) * 0.9069) + 2
    while len(best) < min(bound, MOST_PUSHED):
        more = _one_more(tray, diameter, best, rng, tries)
        if more is None:
            break
        best = more
    return _middle_first(best)


def overlaps(points, diameter: float, tray: Tray) -> float:
    """The deepest overlap of two discs, or of a disc with the rim, in mm; 0 or less when none does."""
    p = np.asarray(points, float).reshape(-1, 2)
    if not len(p):
        return 0.0
    normals, reach = tangents(tray)
    over = float((p @ normals.T + diameter / 2 - reach).max())
    if len(p) > 1:
        far = np.linalg.norm(p[:, None] - p[None], axis=2)[np.triu_indices(len(p), 1)]
        over = max(over, diameter - float(far.min()))
    return over


def enclosing_radius(count: int, *, seed: int = 1, tries: int = 12) -> tuple[float, tuple]:
    """Radius of a small circle around `count` circles of radius 1, and their middles.

    Seeded starts are relaxed, then polished by linear programmes (each disc may move a little; the radius is
    the least that holds them all) until the radius stands still.
    """
    if count < 1:
        raise ValueError("at least one circle")
    if count == 1:
        return 1.0, ((0.0, 0.0),)
    rng, best = np.random.default_rng(seed), (np.inf, ())
    for start in _starts(count, rng, tries):
        radius, points = _polish(start)
        if radius < best[0]:
            best = radius, tuple(map(tuple, (points * 2 / _closest(points)).tolist()))
    return best


def _starts(count: int, rng, tries: int):
    """Rings around the middle, and scattered discs pushed apart in a circle they nearly fill."""
    reach = sqrt(count / 0.78)
    for inner in range(min(count, 8)):
        yield _rings(count, inner)
    for _ in range(tries):
        yield _relaxed(Tray("round", 2 * reach), 2.0, rng.uniform(-reach / 2, reach / 2, (count, 2)))


def _rings(count: int, inner: int) -> np.ndarray:
    """`inner` discs about the middle (and one in it, when they leave room), the rest around them."""
    rings, left, radius = [], count, 0.0
    sizes = [inner] if inner else []
    while sum(sizes) < count:
        sizes.append(max(1, min(left - sum(sizes), 6 * len(sizes) + 1 + inner)))
    for size in sizes:
        radius = max(radius, 1 / sin(pi / size) if size > 1 else 0.0)
        rings += [(radius * cos(2 * pi * k / size), radius * sin(2 * pi * k / size)) for k in range(size)]
        radius += 1.8
    return np.array(rings[:count], float) + 1e-3 * np.arange(2 * count).reshape(-1, 2) % 0.01


def _polish(points: np.ndarray, rounds: int = 40) -> tuple[float, np.ndarray]:
    step, radius = 0.5, _needs(points)
    for _ in range(rounds):
        moved = _small_moves(points, step)
        if moved is None or _needs(moved) > radius - 1e-12:
            step /= 3
            if step < 1e-7:
                break
        else:
            radius, points = _needs(moved), moved
    return radius, points


def _closest(points: np.ndarray) -> float:
    """The least distance of two middles."""
    far = np.linalg.norm(points[:, None] - points[None], axis=2)[np.triu_indices(len(points), 1)]
    return max(float(far.min()), 1e-9)


def _needs(points: np.ndarray) -> float:
    """The radius once everything is blown up until no two unit discs overlap."""
    return float(np.linalg.norm(points, axis=1).max() * 2 / _closest(points) + 1)


def _small_moves(points: np.ndarray, step: float) -> np.ndarray | None:
    """The linear programme: least radius with every disc moved by at most `step` each way."""
    from ortools.linear_solver import pywraplp

    points = points * (2 / max(_closest(points), 0.2))
    solver = pywraplp.Solver.CreateSolver("GLOP")
    moves = [(solver.NumVar(-step, step, ""), solver.NumVar(-step, step, "")) for _ in points]
    radius = solver.NumVar(0, solver.infinity(), "")
    for (x, y), (dx, dy) in zip(points, moves, strict=True):
        away = np.hypot(x, y)
        nearest = np.arctan2(y, x) if away > 1e-9 else 0.0
        for turn in (0, -0.15, 0.15, -0.5, 0.5):
            c, s = cos(nearest + turn), sin(nearest + turn)
            solver.Add(c * (x + dx) + s * (y + dy) <= radius)
    for i in range(len(points)):
        for j in range(i):
            vx, vy = points[i] - points[j]
            apart = np.hypot(vx, vy)
            if apart < 2 + 3 * step:
                ux, uy = vx / apart, vy / apart
                gap = ux * (moves[i][0] - moves[j][0]) + uy * (moves[i][1] - moves[j][1])
                solver.Add(apart + gap >= 2)
    solver.Minimize(radius)
    if solver.Solve() != pywraplp.Solver.OPTIMAL:
        return None
    return points + np.array([(dx.solution_value(), dy.solution_value()) for dx, dy in moves])


def _patterns(tray: Tray, d: float):
    """Honeycomb and chessboard rows at several offsets, both ways round, and rings on a round tray."""
    for turned in (False, True):
        box = Tray(tray.shape, tray.height, tray.width) if turned else tray
        for rise in (sqrt(3) / 2, 1.0):
            for shift in (0, 0.25, 0.5, 0.75):
                for first in (0, 0.5):
                    found = _row_pattern(box, d, rise * d, first, shift * rise * d, rise < 1)
                    yield found[:, ::-1] if turned else found
        yield (_full_rows(box, d)[:, ::-1] if turned else _full_rows(box, d))


def _row_pattern(tray: Tray, d, rise, first, shift, staggered) -> np.ndarray:
    rows = int(tray.height / rise) + 2
    cols = int(tray.width / d) + 2
    points = [
        ((k + first + (0.5 if staggered and row % 2 else 0)) * d, row * rise + shift)
        for row in range(-rows, rows + 1)
        for k in range(-cols, cols + 1)
    ]
    return _inside(tray, d, np.array(points))


def _full_rows(tray: Tray, d: float) -> np.ndarray:
    """Rows of touching discs, each as long as the tray is there, rows a whole diameter apart."""
    rows = int(tray.height / d + 1e-9)
    points = []
    for row in range(rows):
        y = (row - (rows - 1) / 2) * d
        wide = 2 * min(tray.half_width(abs(y)), tray.half_width(abs(y) + d / 2 - 1e-9))
        count = int(wide / d + 1e-9)
        points += [((k - (count - 1) / 2) * d, y) for k in range(count)]
    return _inside(tray, d, np.array(points).reshape(-1, 2))


def _inside(tray: Tray, d: float, points: np.ndarray) -> np.ndarray:
    if not len(points):
        return points
    normals, reach = tangents(tray)
    return points[(points @ normals.T + d / 2 <= reach + SLACK * d).all(axis=1)]


def _one_more(tray: Tray, d: float, points: np.ndarray, rng, tries: int) -> np.ndarray | None:
    """One disc more than there are, from a few starts; None when no start ends without overlaps."""
    half = np.array([tray.width, tray.height]) / 2
    for attempt in range(tries):
        fresh = rng.uniform(-0.6, 0.6, (1, 2)) * half
        start = (
            np.vstack([points, fresh]) if attempt < 2 else rng.uniform(-0.7, 0.7, (len(points) + 1, 2)) * half
        )
        found = _relaxed(tray, d, start)
        if overlaps(found, d, tray) <= SLACK * d * 100:
            return _squeezed(tray, d, found)
    return None


def _squeezed(tray: Tray, d: float, points: np.ndarray) -> np.ndarray | None:
    """Relaxed a little wider than needed, so that what is left over is no overlap at all."""
    found = _relaxed(tray, d * 1.0005, points)
    return found if overlaps(found, d, tray) <= SLACK * d else None


def _relaxed(tray: Tray, d: float, points: np.ndarray) -> np.ndarray:
    """Overlapping discs push apart, the rim pushes back: gradient steps with momentum."""
    normals, reach = tangents(tray)
    p, pace = points.copy(), np.zeros_like(points)
    for step in range(STEPS):
        apart = p[:, None] - p[None]
        far = np.linalg.norm(apart, axis=2) + 1e-9
        deep = np.maximum(0, d - far)
        np.fill_diagonal(deep, 0)
        push = (apart * (deep / far)[:, :, None]).sum(axis=1)
        out = np.maximum(0, p @ normals.T + d / 2 - reach)
        worst = out.argmax(axis=1)
        push -= normals[worst] * out[np.arange(len(p)), worst][:, None]
        if step > 20 and max(deep.max(initial=0), out.max(initial=0)) < SLACK * d:
            break
        pace = 0.8 * pace + 0.3 * push
        p = p + pace
    return p


def _middle_first(points: np.ndarray) -> np.ndarray:
    """Nearest to the middle first: when fewer are wanted than fit, they lie together."""
    return points[np.argsort(np.round(np.linalg.norm(points, axis=1), 3), kind="stable")]
