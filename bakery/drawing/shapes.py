"""Outlines of cutters, in millimetres around (0, 0): the biscuit and, set in from it, the icing.

A shape knows its size, draws its outline at any inset, and says where a motif, words and dots may stand.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, hypot, pi, sin, sqrt

from .svg import num

Point = tuple[float, float]


@dataclass(frozen=True)
class Shape:
    """One cutter: size in mm, outline(inset) as SVG path data, and the place for what goes on it."""

    width: float
    height: float
    outline: Callable[[float], str]
    motif: tuple[float, float, float] = (0, 0, 56)  # middle x, middle y, height of a motif
    words: float = 54  # width for lettering
    dots: Callable[[], list[tuple[float, float, float]]] = list  # x, y, radius of piped dots
    lower: Callable[[float], tuple[str, str]] | None = (
        None  # icing below a height: start, and the way back round
    )
    frame: Callable[[], str] | None = None  # a piped inner line of its own shape
    middle: Point = (0, 0)  # where lettering is centred


def _poly(points: list[Point], inset: float, corner: float = 0) -> str:
    """A closed polygon set in by `inset`, its corners rounded by `corner`."""
    n = len(points)
    lines = []
    for i in range(n):
        (x1, y1), (x2, y2) = points[i], points[(i + 1) % n]
        length = hypot(x2 - x1, y2 - y1)
        nx, ny = -(y2 - y1) / length, (x2 - x1) / length  # inward for points given clockwise on screen
        lines.append((x1 + nx * inset, y1 + ny * inset, x2 - x1, y2 - y1))
    moved = []
    for i in range(n):
        x1, y1, dx1, dy1 = lines[i - 1]
        x2, y2, dx2, dy2 = lines[i]
        cross = dx1 * dy2 - dy1 * dx2
        t = ((x2 - x1) * dy2 - (y2 - y1) * dx2) / cross if abs(cross) > 1e-9 else 1.0
        moved.append((x1 + dx1 * t, y1 + dy1 * t))
    if not corner:
        return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in moved) + "Z"
    path = ""
    for i in range(n):
        (px, py), (x, y), (qx, qy) = moved[i - 1], moved[i], moved[(i + 1) % n]
        a = min(corner / (hypot(px - x, py - y) or 1), 0.5)
        b = min(corner / (hypot(qx - x, qy - y) or 1), 0.5)
        path += f"{'L' if path else 'M'}{num(x + (px - x) * a)} {num(y + (py - y) * a)}"
        path += f"Q{num(x)} {num(y)} {num(x + (qx - x) * b)} {num(y + (qy - y) * b)}"
    return path + "Z"


def _ellipse(rx: float, ry: float) -> Callable[[float], str]:
    def outline(inset: float) -> str:
        a, b = rx - inset, ry - inset
        return f"M{num(-a)} 0a{num(a)} {num(b)} 0 1 1 {num(2 * a)} 0a{num(a)} {num(b)} 0 1 1 {num(-2 * a)} 0Z"

    return outline


def _ellipse_lower(rx: float, ry: float) -> Callable[[float], tuple[str, str]]:
    def lower(y: float) -> tuple[str, str]:
        half = rx * sqrt(max(1 - (y / ry) ** 2, 0.01))
        big = 1 if y < 0 else 0
        return (
            f"{num(-half)} {num(y)}",
            f"{num(half)} {num(y)}A{num(rx)} {num(ry)} 0 {big} 1 {num(-half)} {num(y)}Z",
        )

    return lower


def _box_lower(hx: float, hy: float) -> Callable[[float], tuple[str, str]]:
    def lower(y: float) -> tuple[str, str]:
        return f"{num(-hx)} {num(y)}", f"{num(hx)} {num(y)}V{num(hy)}H{num(-hx)}Z"

    return lower


def _scooped(hx: float, hy: float, radius: float = 6.6, shoulder: float = 1.6) -> Callable[[float], str]:
    """A plaque: each corner scooped out by an arc, with small shoulders on the biscuit's own edge."""

    def outline(inset: float) -> str:
        w, h, r = hx - inset, hy - inset, radius + inset
        off = shoulder - inset  # the arc's centre, seen from the corner of the inset box
        if off > 0:
            near, far, r = num(off), off + radius, num(radius)
            turn = f"{r} {r} 0 0 0 "
            return (
                f"M{num(-w + far)} {num(-h)}H{num(w - far)}v{near}a{turn}{r} {r}h{near}"
                f"V{num(h - far)}h-{near}a{turn}-{r} {r}v{near}H{num(-w + far)}v-{near}a{turn}-{r} "
                f"-{r}h-{near}"
                f"V{num(-h + far)}h{near}a{turn}{r} -{r}Z"
            )
        cut = off + sqrt(max(r * r - off * off, 0))
        c, rr = num(cut), num(r)
        turn = f"a{rr} {rr} 0 0 0 "
        return (
            f"M{num(-w + cut)} {num(-h)}H{num(w - cut)}{turn}{c} {c}V{num(h - cut)}"
            f"{turn}-{c} {c}H{num(-w + cut)}{turn}-{c} -{c}V{num(-h + cut)}{turn}{c} -{c}Z"
        )

    return outline


def _squared(half: float, corner: float) -> Callable[[float], str]:
    def outline(inset: float) -> str:
        a, r = half - inset, max(corner - inset * 0.5, 1.5)
        s = 2 * (a - r)
        arc = f"a{num(r)} {num(r)} 0 0 1"
        return (
            f"M{num(-a + r)} {num(-a)}h{num(s)}{arc} {num(r)} {num(r)}v{num(s)}{arc} {num(-r)} {num(r)}"
            f"h{num(-s)}{arc} {num(-r)} {num(-r)}v{num(-s)}{arc} {num(r)} {num(-r)}Z"
        )

    return outline


def _curve(points: Callable[[float], list[Point]]) -> Callable[[float], str]:
    """A smooth closed curve given as points for an inset."""

    def outline(inset: float) -> str:
        pts = points(inset)
        return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in pts) + "Z"

    return outline


def _heart(inset: float) -> list[Point]:
    k = (41 - inset) / 41
    out = []
    for i in range(48):
        t = 2 * pi * i / 48
        x = 16 * sin(t) ** 3
        y = 13 * cos(t) - 5 * cos(2 * t) - 2 * cos(3 * t) - cos(4 * t)
        out.append((x * 2.56 * k, (-y * 2.45 - 2) * k + 1 - k))
    return out


def _star(inset: float) -> str:
    points = []
    for i in range(10):
        r = 44 if i % 2 == 0 else 24
        a = -pi / 2 + pi * i / 5
        points.append((r * cos(a), r * sin(a) + 2))
    return _poly(points, inset, 7)


def _hexagon(inset: float) -> str:
    return _poly([(42 * cos(pi * i / 3), 42 * sin(pi * i / 3)) for i in range(6)], inset, 5)


def _leaf(inset: float) -> str:
    w, h = 31 - inset, 47 - inset * 1.5
    return (
        f"M0 {num(-h)}C{num(w * 0.9)} {num(-h * 0.62)} {num(w * 1.25)} {num(h * 0.25)} 0 {num(h)}"
        f"C{num(-w * 1.25)} {num(h * 0.25)} {num(-w * 0.9)} {num(-h * 0.62)} 0 {num(-h)}Z"
    )


def _house(inset: float) -> str:
    return _poly([(0, -46), (34, -16), (34, 44), (-34, 44), (-34, -16)], inset, 3)


def _burgee(inset: float) -> str:
    return _poly([(-45, -27.5), (45, -15.5), (27, 0), (45, 15.5), (-45, 27.5)], inset, 2)


def _ring(rx: float, ry: float, count: int, radius: float) -> Callable[[], list[tuple[float, float, float]]]:
    def dots() -> list[tuple[float, float, float]]:
        return [
            (rx * cos(2 * pi * i / count - pi / 2), ry * sin(2 * pi * i / count - pi / 2), radius)
            for i in range(count)
        ]

    return dots


def _heart_dots() -> list[tuple[float, float, float]]:
    return [(x * 0.72, y * 0.72 - 1, 1.3) for x, y in _heart(0)[::2] if abs(x) > 3]


def _plaque_dots() -> list[tuple[float, float, float]]:
    corners = [(x, y, 1.9) for x in (-19.2, 19.2) for y in (-29.5, 29.5)]
    return corners + [(x, -15.6 + 7.8 * i, 1.1) for x in (-25.2, 25.2) for i in range(5)]


def _box_dots(
    hx: float, hy: float, nx: int, ny: int, r: float = 1.2
) -> Callable[[], list[tuple[float, float, float]]]:
    def dots() -> list[tuple[float, float, float]]:
        out = [(-hx + 2 * hx * i / nx, y, r) for y in (-hy, hy) for i in range(nx + 1)]
        return out + [(x, -hy + 2 * hy * i / ny, r) for x in (-hx, hx) for i in range(1, ny)]

    return dots


SHAPES: dict[str, Shape] = {
    "round": Shape(
        80, 80, _ellipse(40, 40), (0, 0, 54), 52, _ring(30.4, 30.4, 28, 1.35), _ellipse_lower(34, 34)
    ),
    "plaque": Shape(
        70,
        95,
        _scooped(35, 47.5),
        (0, 1.5, 66),
        46,
        _plaque_dots,
        _box_lower(29.6, 42),
        lambda: _scooped(25, 37.5, 4, 0)(0),
    ),
    "card": Shape(
        95,
        62,
        _scooped(47.5, 31),
        (0, 0, 40),
        62,
        _box_dots(36, 20, 12, 7),
        _box_lower(42, 25.6),
        lambda: _scooped(38, 21.5, 4.5, 0)(0),
    ),
    "burgee": Shape(90, 55, _burgee, (-14, 0, 30), 46, list, None, lambda: _burgee(6.9), (-13, 0)),
    "square": Shape(
        78, 78, _squared(39, 4.5), (0, 1, 44), 56, _box_dots(27.5, 27.5, 10, 10), _box_lower(33, 33)
    ),
    "oval": Shape(74, 98, _ellipse(37, 49), (0, 0, 52), 48, _ring(27, 39, 40, 1.25), _ellipse_lower(31, 43)),
    "heart": Shape(82, 78, _curve(_heart), (0, -5, 36), 46, _heart_dots),
    "star": Shape(86, 82, _star, (0, 2, 34), 36),
    "hexagon": Shape(84, 73, _hexagon, (0, 0, 44), 50, _ring(28, 28, 24, 1.3)),
    "leaf": Shape(62, 94, _leaf, (0, 2, 70), 34),
    "house": Shape(68, 90, _house, (0, 8, 50), 46),
}
ALIASES = {
    "circle": "round",
    "place card": "card",
    "place_card": "card",
    "flag": "burgee",
    "pennant": "burgee",
}


def shape(name: str) -> Shape:
    """The cutter of that name; a name nobody drew is a round one."""
    return SHAPES.get(ALIASES.get(name, name), SHAPES["round"])
