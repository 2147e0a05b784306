"""What is sprayed, piped or laid on the icing: each motif drawn 100 high around (0, 0), in one or two
colours.
"""

from collections.abc import Callable
from math import cos, exp, pi, sin

from .svg import num

Motif = Callable[[str, str], str]
MOTIFS: dict[str, Motif] = {}


def motif(name: str) -> Callable[[Motif], Motif]:
    def put(function: Motif) -> Motif:
        MOTIFS[name] = function
        return function

    return put


def _fill(d: str, colour: str) -> str:
    return f'<path d="{d}" fill="{colour}"/>'


def _stroke(d: str, colour: str, width: float) -> str:
    return (
        f'<path d="{d}" fill="none" stroke="{colour}" stroke-width="{width:g}" stroke-linecap="round" '
        'stroke-linejoin="round"/>'
    )


def _lens(x: float, y: float, angle: float, length: float, half: float) -> str:
    """A slim leaf from (x, y): two curves that meet at its tip."""
    dx, dy = cos(angle), sin(angle)
    tip = f"{num(x + dx * length)} {num(y + dy * length)}"
    mx, my = x + dx * length * 0.45, y + dy * length * 0.45
    a = f"{num(mx - dy * half * 2)} {num(my + dx * half * 2)}"
    b = f"{num(mx + dy * half * 2)} {num(my - dx * half * 2)}"
    return f"M{num(x)} {num(y)}Q{a} {tip}Q{b} {num(x)} {num(y)}Z"


@motif("fern")
def fern(colour: str, second: str) -> str:
    leaves = ""
    for i in range(12):
        t = i / 11
        y = 31 - 76 * t
        x = 4.4 * t * t - 1
        length = 27 * (1 - t) ** 0.62 * (0.66 + 0.34 * min(t * 4, 1)) + 4.5
        rise = 0.5 + 0.3 * t
        leaves += _lens(x, y, -rise, length, 1.6) + _lens(x, y, pi + rise, length, 1.6)
    foot = _lens(-0.6, 40, -0.5, 8, 2) + _lens(-0.6, 40, pi + 0.5, 8, 2)
    return _fill(leaves + foot, colour) + _stroke("M0 50C-2 22 0-14 3.4-46", colour, 2)


@motif("leaf")
def leaf(colour: str, second: str) -> str:
    veins = "".join(
        f"M0 {y}q{9 + i * 1.2:g}-3 {15 - abs(i - 2) * 2}-12M0 {y}q-{9 + i * 1.2:g}-3-{15 - abs(i - 2) * 2}-12"
        for i, y in enumerate((26, 12, -2, -16, -28))
    )
    body = "M0-46C26-26 34 10 0 40C-34 10-26-26 0-46Z"
    return _fill(body, colour) + _stroke("M0 50V-34" + veins, second, 2)


@motif("star")
def star(colour: str, second: str) -> str:
    points = []
    for i in range(16):
        r = (50 if i % 4 == 0 else 22) if i % 2 == 0 else 10.5
        a = -pi / 2 + pi * i / 8
        points.append(f"{num(r * cos(a))} {num(r * sin(a))}")
    return _fill("M" + "L".join(points) + "Z", colour)


@motif("rook")
def rook(colour: str, second: str) -> str:
    return _fill(
        "M-30-50h12v8h10v-8h16v8h10v-8h12v20l-9 8c1 16 5 32 12 44l5 5v13H-38V27l5-5c7-12 11-28 12-44l-9-8Z",
        colour,
    )


@motif("knight")
def knight(colour: str, second: str) -> str:
    return (
        _fill(
            "M-30 50V38c4-20 24-26 22-40l-22 10-10-8 14-26c0-10 8-18 16-20l2-6 8 6c22 2 34 26 30 84v12Z",
            colour,
        )
        + f'<circle cx="-8" cy="-28" r="3.2" fill="{second}"/>'
    )


@motif("ammonite")
def ammonite(colour: str, second: str) -> str:
    """A log spiral with ribs. `colour` is the dark line, `second` the shell."""
    grow = 0.165

    def at(turn: float) -> tuple[float, float]:
        r = 50 * exp(grow * (turn - 2.72 * 2 * pi))
        return r * cos(turn + 0.32), r * sin(turn + 0.32)

    last = 2.72 * 2 * pi
    steps = [last - i * pi / 14 for i in range(66)]
    spiral = "M" + "L".join(f"{num(x)} {num(y)}" for x, y in map(at, steps))
    shell = "M" + "L".join(f"{num(x)} {num(y)}" for x, y in map(at, steps[:29])) + "Z"
    ribs = ""
    for i in range(64):
        turn = last - i * 2 * pi / 30
        (x1, y1), (x2, y2) = at(turn), at(turn - 2 * pi + 0.16)
        ribs += (
            f"M{num(x1)} {num(y1)}Q{num((x1 + x2) / 2 * 1.04)} {num((y1 + y2) / 2 * 1.04)} {num(x2)} "
            f"{num(y2)}"
        )
    mouth_a, mouth_b = at(last), at(last - 2 * pi)
    mouth = f"M{num(mouth_a[0])} {num(mouth_a[1])}L{num(mouth_b[0])} {num(mouth_b[1])}"
    return (
        '<g transform="translate(-8 -8) rotate(133)">'
        + _fill(shell, second)
        + _stroke(ribs, colour, 2.1)
        + _stroke(spiral, colour, 3.2)
        + _stroke(mouth, colour, 3.2)
        + "</g>"
    )


@motif("knot")
def knot(colour: str, second: str) -> str:
    """A reef knot: two bights through each other, drawn over and under."""
    left = "M-48-13H-8C16-13 16 13-8 13H-48"
    right = "M48-13H8C-16-13-16 13 8 13H48"
    over = "M-16-13H-8C6-13 11-6 11 0"
    return (
        _stroke(right, second, 13)
        + _stroke(right, colour, 9)
        + _stroke(left, second, 13)
        + _stroke(left, colour, 9)
        + _stroke("M4-12.5C-10-12-10-6-10-1", second, 13)
        + _stroke("M12-13H8C-6-13-10-6-10 0", colour, 9)
        + _stroke(over, colour, 0.1)
    )


@motif("shell")
def shell(colour: str, second: str) -> str:
    """A scallop."""
    ribs = "".join(
        f"M0 38L{num(46 * sin(a))} {num(34 - 74 * cos(a))}" for a in (-0.9, -0.56, -0.19, 0.19, 0.56, 0.9)
    )
    rim = (
        "M-12 36C-50 10-54-14-44-18C-44-34-30-40-24-36C-16-48-4-46 0-42C4-46 16-48 24-36C30-40 44-34 "
        "44-18C54-14 50 10 12 36V46H-12Z"
    )
    return _fill(rim, colour) + _stroke(ribs, second, 2.6)


@motif("lighthouse")
def lighthouse(colour: str, second: str) -> str:
    tower = "M-13-20H13L21 42H-21Z"
    band = "M-15.4-4H15.4L17.6 12H-17.6Z M-19.6 28H19.6L21 42H-21Z"
    top = "M-11-36H11V-20H-11ZM-14-36L0-48L14-36Z"
    beams = "M16-31L46-40V-22ZM-16-31L-46-40V-22Z"
    return (
        _fill("M-34 42H34V50H-34Z" + top, colour)
        + _fill(tower, second)
        + _fill(band, colour)
        + f'<path d="{beams}" fill="{second}" fill-opacity=".8"/>'
        + _fill("M-6-33H6V-23H-6Z", second)
    )


@motif("anchor")
def anchor(colour: str, second: str) -> str:
    return (
        _stroke("M0-30V42M-20-22H20M-38 12C-36 32-22 42 0 44C22 42 36 32 38 12", colour, 7)
        + _stroke("M0-46a8 8 0 1 0 .1 0Z", colour, 5.5)
        + _fill("M-46 20L-38 2L-26 18ZM46 20L38 2L26 18Z", colour)
    )


@motif("snowflake")
def snowflake(colour: str, second: str) -> str:
    arm = ""
    for i in range(6):
        a = pi * i / 3 - pi / 2
        c, s = cos(a), sin(a)
        arm += f"M0 0L{num(48 * c)} {num(48 * s)}"
        for r, long in ((20, 12), (33, 11)):
            for side in (-0.9, 0.9):
                arm += f"M{num(r * c)} {num(r * s)}l{num(long * cos(a + side))} {num(long * sin(a + side))}"
    return _stroke(arm, colour, 4)


@motif("daisy")
def daisy(colour: str, second: str) -> str:
    petals = "".join(_lens(0, 0, 2 * pi * i / 13, 48, 4.6) for i in range(13))
    return _fill(petals, colour) + f'<circle r="12" fill="{second}"/>'


@motif("wheat")
def wheat(colour: str, second: str) -> str:
    grains = _lens(0, -24, -pi / 2, 26, 4)
    for i in range(5):
        y = -20 + i * 11
        grains += _lens(0, y, -1.02, 22, 3.6) + _lens(0, y, pi + 1.02, 22, 3.6)
    return _stroke("M0 50V-24", colour, 2.4) + _fill(grains, colour)


@motif("holly")
def holly(colour: str, second: str) -> str:
    one = (
        "M0 8C8 2 10-2 18 0C20-8 26-10 32-6C34-14 40-16 46-16C44-10 44-4 38-2C40 4 36 10 28 10C26 16 18 "
        "18 12 14C8 16 4 14 0 8Z"
    )
    return (
        _fill(one, colour)
        + f'<g transform="scale(-1 1)">{_fill(one, colour)}</g>'
        + f'<g transform="rotate(90)">{_fill(one, colour)}</g>'
        + "".join(f'<circle cx="{x}" cy="{y}" r="7" fill="{second}"/>' for x, y in ((-6, 2), (7, 3), (0, -8)))
    )


@motif("lantern")
def lantern(colour: str, second: str) -> str:
    return (
        _stroke("M-12-34C-12-48 12-48 12-34", colour, 4)
        + _fill("M-20-34H20L26-22H-26ZM-24 36H24V46H-24Z", colour)
        + _fill("M-21-20H21V34H-21Z", second)
        + _stroke("M-21-20V34M21-20V34M0-20V2M0 26V34", colour, 4)
        + _fill("M0-6C8 6 9 12 6 18C3 22-3 22-6 18C-9 12-8 6 0-6Z", colour)
    )


@motif("gull")
def gull(colour: str, second: str) -> str:
    return _stroke("M-48-6C-36-26-16-24 0 2C16-24 36-26 48-6", colour, 7) + _stroke(
        "M-24 30C-18 20-8 20 0 32C8 20 18 20 24 30", second, 5
    )


@motif("heart")
def heart(colour: str, second: str) -> str:
    return _fill("M0 44C-62 2-44-44-20-42C-8-41-2-32 0-24C2-32 8-41 20-42C44-44 62 2 0 44Z", colour)


@motif("bee")
def bee(colour: str, second: str) -> str:
    wings = _lens(0, -14, -0.9, 46, 9) + _lens(0, -14, pi + 0.9, 46, 9)
    return (
        f'<path d="{wings}" fill="{second}" fill-opacity=".75"/>'
        + _fill("M0-24C24-24 24 20 0 46C-24 20-24-24 0-24Z", colour)
        + _stroke("M-15-6H15M-17 8H17M-12 22H12", second, 5)
        + f'<circle cy="-32" r="11" fill="{colour}"/>'
    )
