"""The few lines every drawing shares: escaping, numbers, colours by name, text and the frame.

Each colour stands twice: as a class, which the page's style sheet colours for day, night and print, and as an
attribute with the day value, which a PDF renderer uses. Nothing here needs a style attribute.
"""

from html import escape

# The day colours; tests/test_contrast.py holds them equal to static/css/settings.css.
COLOURS = {
    "ink": "#14263a",
    "on-ink": "#fffefa",
    "ink-2": "#32465a",
    "sheet": "#fffefa",
    "paper": "#b3c7d7",
    "night": "#d0dce5",
    "mist": "#e8eff4",
    "dough": "#f7ead6",
    "biscuit": "#f1d6ab",
    "crust": "#7a430f",
    "wet": "#1f5a8e",
    "wet-2": "#44719a",
    "yes": "#174b30",
    "yes-t": "#dcebdd",
    "no": "#851b13",
    "no-t": "#f9e2dd",
    "ask": "#664600",
    "ask-t": "#f8eac0",
    "line": "#c3d0da",
    "rule": "#8fa5b7",
    "edge": "#5f7487",
}

FONT = "Ysabeau Office, Gill Sans, sans-serif"


def clean(text: str) -> str:
    """Any text made safe inside SVG: escaped, and without characters that XML forbids."""
    kept = (
        c if c >= " " and c not in "\ufffe\uffff" and not "\ud800" <= c <= "\udfff" else " "
        for c in str(text)
    )
    return escape("".join(kept), quote=True).replace("  ", " \u00a0")  # two blanks stay two


def num(value: float) -> str:
    """A coordinate with at most one decimal, as short as it goes."""
    rounded = round(float(value), 1)
    return str(int(rounded)) if rounded == int(rounded) else f"{rounded}"


def paint(fill: str = "", stroke: str = "", width: float = 0, extra: str = "") -> str:
    """Class and attributes for a named fill and stroke; an empty fill is none."""
    names = [f"d-{fill}"] if fill else []
    parts = [f'fill="{COLOURS[fill]}"' if fill else 'fill="none"']
    if stroke:
        names.append(f"s-{stroke}")
        parts.append(f'stroke="{COLOURS[stroke]}" stroke-width="{width:g}"')
    cls = f'class="{" ".join(names)}" ' if names else ""
    return cls + " ".join(parts) + (f" {extra}" if extra else "")


def rect(x: float, y: float, w: float, h: float, look: str, *, r: float = 3, title: str = "") -> str:
    """A block; its title, when given, is what a pointer shows and a reader says."""
    body = f'x="{num(x)}" y="{num(y)}" width="{num(max(w, 0.1))}" height="{num(h)}" rx="{r:g}" {look}'
    return f"<rect {body}><title>{clean(title)}</title></rect>" if title else f"<rect {body}/>"


def line(x1: float, y1: float, x2: float, y2: float, look: str) -> str:
    return f'<path d="M{num(x1)} {num(y1)}L{num(x2)} {num(y2)}" {look}/>'


def text(
    x: float,
    y: float,
    words: str,
    *,
    size: float = 17,
    weight: int = 500,
    anchor: str = "start",
    colour: str = "ink",
    fill: str = "",
    turn: bool = False,
) -> str:
    """Words at a baseline. `colour` is a token; `fill` a plain colour that dark mode must not repaint.

    `turn` writes upwards, for blocks too narrow for a level line.
    """
    ink = f'fill="{clean(fill)}"' if fill else f'class="d-{colour}" fill="{COLOURS[colour]}"'
    place = f'transform="translate({num(x)} {num(y)}) rotate(-90)"' if turn else f'x="{num(x)}" y="{num(y)}"'
    end = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return (
        f'<text {place} font-family="{FONT}" font-size="{size:g}" font-weight="{weight}"{end} {ink}>'
        f"{clean(words)}</text>"
    )


_NARROW = frozenset("iljtfrI.,:;'!|()[] ")
_WIDE = frozenset("mwMWOQGCDNHU@%&")


def width_of(words: str, size: float) -> float:
    """About how wide words stand, in the unit of `size`; a little more rather than less."""
    total = 0.0
    for c in words:
        total += 0.3 if c in _NARROW else 0.76 if c in _WIDE else 0.54 if ord(c) < 0x2E80 else 1.0
    return total * size


def frame(width: float, height: float, body: str, *, title: str = "", cls: str = "d", view: str = "") -> str:
    """The svg element. With a title it is an image with a name; without, it is only ornament beside words."""
    box = view or f"0 0 {num(width)} {num(height)}"
    said = f'role="img" aria-label="{clean(title)}"' if title else 'aria-hidden="true"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="{cls}" width="{num(width)}" height="{num(height)}" '
        f'viewBox="{box}" {said} focusable="false">{body}</svg>'
    )
