"""The cookie, drawn from its layers at the stage it has reached.

All colours are the cookie's own (plain attributes), so that neither dark mode nor a PDF changes the icing.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from functools import lru_cache

from .motifs import MOTIFS
from .shapes import Shape, shape
from .svg import FONT, clean, frame, num, width_of

BISCUIT, BISCUIT_EDGE, DOUGH, DOUGH_EDGE = "#dca969", "#b4763a", "#efd9b0", "#cfae78"
INSET = 5.6  # mm from the biscuit's edge to the icing
GLOSS = "#ffffff"

# Stages, in order. The words of an order's "where is it now?" are understood as well.
STAGES = ("nothing", "dough", "blank", "wet", "dry", "motif", "done")
_SAME = {
    "baked": "blank",
    "flooded": "dry",
    "flood": "dry",
    "sprayed": "motif",
    "decorated": "done",
    "packed": "done",
}


@dataclass(frozen=True)
class Cookie:
    """What a cookie looks like: plain values, so that a design, a form or a test can give them.

    shape: a name of shapes.SHAPES. base: flood colour. motif: a name of motifs.MOTIFS, or "boat", "waves",
    "monogram", or "". motif_colour, motif_2: its colours. dots: a colour for the shape's piped dots, or "".
    frame: a colour for a piped inner line, or "". stitch: True makes that line a row of short stitches.
    text: lettering, one line or two; text_colour. stage: one of STAGES.
    """

    shape: str = "round"
    base: str = "#f3ead6"
    motif: str = ""
    motif_colour: str = "#2c4a2e"
    motif_2: str = "#e6d1a2"
    dots: str = ""
    frame: str = ""
    stitch: bool = False
    text: str = ""
    text_colour: str = "#33422b"
    stage: str = "done"


_FIELDS = {f.name for f in fields(Cookie)}


def as_cookie(spec: "Cookie | Mapping | None") -> Cookie:
    """A drawing spec from a dataclass or a plain mapping; unknown keys and empty values are left aside."""
    if isinstance(spec, Cookie):
        return spec
    given = {k: v for k, v in dict(spec or {}).items() if k in _FIELDS and v not in (None, "")}
    for key in ("base", "motif_colour", "motif_2", "dots", "frame", "text_colour"):
        if key in given:
            given[key] = _colour(given[key], getattr(Cookie, key))
    for key in ("shape", "motif", "text", "stage"):
        if key in given:
            given[key] = str(given[key])
    return Cookie(**given | {"stitch": bool(given.get("stitch"))})


def _colour(value: object, usual: str) -> str:
    """A hex colour, or the usual one: whatever stands in a database must not break a drawing."""
    text = str(value).strip()
    digits = text[1:]
    good = (
        text.startswith("#") and len(digits) in (3, 6) and all(c in "0123456789abcdefABCDEF" for c in digits)
    )
    return text if good else usual


def cookie(
    spec: "Cookie | Mapping | None",
    *,
    size: float = 95,
    text: str | None = None,
    stage: str | None = None,
    label: str = "",
) -> str:
    """An SVG of one cookie; `size` is the pixels of 95 mm, so cookies keep their sizes beside each other.

    `text` and `stage` replace those of the spec. With a label the picture is named; without, it is ornament.
    """
    it = as_cookie(spec)
    if text is not None:
        it = replace(it, text=str(text))
    if stage is not None:
        it = replace(it, stage=stage)
    return _picture(it, size, label)


@lru_cache(maxsize=2048)
def _picture(it: Cookie, size: float, label: str) -> str:
    """Drawn once: a page shows the same few cookies again and again."""
    cut = shape(it.shape)
    scale = size / 95
    edge = 1.4
    view = (
        f"{num(-cut.width / 2 - edge)} {num(-cut.height / 2 - edge)} {num(cut.width + 2 * edge)} "
        f"{num(cut.height + 2 * edge)}"
    )
    return frame(
        (cut.width + 2 * edge) * scale,
        (cut.height + 2 * edge) * scale,
        body(it),
        title=label,
        cls="cookie",
        view=view,
    )


@lru_cache(maxsize=1024)
def body(it: Cookie) -> str:
    """The drawing alone, in millimetres around (0, 0), to stand inside a larger picture."""
    cut = shape(it.shape)
    stage = _SAME.get(it.stage, it.stage)
    reached = STAGES.index(stage) if stage in STAGES else STAGES.index("done")
    outline = cut.outline(0)
    if reached == 0:
        return (
            f'<path d="{outline}" fill="none" stroke="{BISCUIT_EDGE}" stroke-width="1.6" '
            f'stroke-dasharray="4 3.4"/>'
        )
    raw = reached == 1
    out = (
        f'<path d="{outline}" fill="{DOUGH if raw else BISCUIT}" '
        f'stroke="{DOUGH_EDGE if raw else BISCUIT_EDGE}" '
        'stroke-width="2" stroke-linejoin="round"/>'
    )
    if reached < 3:
        return out
    out += f'<path d="{cut.outline(INSET)}" fill="{it.base}"/>'
    if stage == "wet":
        return out + _gloss(cut)
    if reached >= 5:
        out += _motif(it, cut)
    if reached >= 6:
        out += _frame(it, cut) + _dots(it, cut) + _words(it, cut)
    return out


def placed(it: Cookie, x: float, y: float, height: float) -> str:
    """The drawing at a place inside a larger picture: middle (x, y), `height` pixels for 95 mm."""
    return f'<g transform="translate({num(x)} {num(y)}) scale({height / 95:.3g})">{body(it)}</g>'


def _gloss(cut: Shape) -> str:
    """Wet icing shines: two white strokes at the upper left."""
    w, h = cut.width / 2 - INSET, cut.height / 2 - INSET
    if cut.outline(0).count("a") >= 2 and "H" not in cut.outline(0):  # a round edge: the strokes follow it
        a, b = w - 7, h - 7
        d = f"M{num(-a * 0.98)} {num(-b * 0.2)}A{num(a)} {num(b)} 0 0 1 {num(-a * 0.71)} {num(-b * 0.71)}"
        d += f"M{num(-a * 0.42)} {num(-b * 0.91)}A{num(a)} {num(b)} 0 0 1 {num(a * 0.1)} {num(-b)}"
    else:
        x, y = -w + 5.6, -h + 7.4
        d = f"M{num(x)} {num(y + h * 0.22)}v{num(h * 0.52)}M{num(x + w * 0.22)} {num(y)}h{num(w * 0.5)}"
    return (
        f'<path d="{d}" fill="none" stroke="{GLOSS}" stroke-width="2.8" stroke-linecap="round" '
        f'stroke-opacity=".85"/>'
    )


def _motif(it: Cookie, cut: Shape) -> str:
    if it.motif == "waves":
        return _waves(it, cut)
    if it.motif == "boat":
        return _boat(it, cut)
    draw = MOTIFS.get("star" if it.motif == "compass" else it.motif)
    if not draw:
        return ""
    x, y, height = cut.motif
    if it.motif == "ammonite":  # its spiral fills less of the box than it may
        height *= 1.16
    return (
        f'<g transform="translate({num(x)} {num(y)}) '
        f'scale({height / 100:.3g})">{draw(it.motif_colour, it.motif_2)}</g>'
    )


def _sea(cut: Shape, y: float, colour: str, swell: float) -> str:
    """The icing below a height, with a wave for its upper edge."""
    if not cut.lower:
        return ""
    start, back = cut.lower(y)
    left, right = float(start.split()[0]), float(back.split()[0])
    step = (right - left) / 4
    wave = "".join(f"q{num(step / 2)} {num(swell if i % 2 else -swell)} {num(step)} 0" for i in range(4))
    return f'<path d="M{start}{wave}L{back}" fill="{colour}"/>'


def _waves(it: Cookie, cut: Shape) -> str:
    return _sea(cut, 5, it.motif_colour, 7)


def _boat(it: Cookie, cut: Shape) -> str:
    """Sails, hull and sea: many colours of its own, the base colour is the sky."""
    sea = _sea(cut, 13, "#2b5a75", 3.4)
    crest = (
        '<path d="M-21 20q5.2-5 10.5 0t10.5 0 10.5 0 10.5 0" fill="none" stroke="#fffefa" '
        'stroke-width="1.5" stroke-linecap="round"/>'
    )
    ship = (
        '<circle cx="21" cy="-19" r="3.8" fill="#e0b65c"/>'
        '<path d="M-3.2-23V9H-16C-14-4-9-16-3.2-23Z" fill="#e6d1a2"/>'
        '<path d="M.8-22C10-16 16-4 17 9H.8Z" fill="#fffaf0"/>'
        '<path d="M1-10h10.5M1-4h13.5M1 2h15.5" stroke="#d9b98a" stroke-width=".9" fill="none"/>'
        '<path d="M-1 13V-28" stroke="#2b2b33" stroke-width="1.8" fill="none"/><path d="M-1-28l9 '
        '2.8-9 3Z" fill="#b8402e"/>'
        '<path d="M-24 10H24L17 20H-18Z" fill="#6b3420"/><path d="M-21.5 13.4H21.7" stroke="#e0b65c" '
        'stroke-width="1.6"/>'
    )
    return sea + ship + crest


def _frame(it: Cookie, cut: Shape) -> str:
    if not it.frame:
        return ""
    dash = ' stroke-dasharray="2.6 2.2"' if it.stitch else ""
    d = cut.frame() if cut.frame else cut.outline(11)
    return f'<path d="{d}" fill="none" stroke="{it.frame}" stroke-width="1.3" stroke-linejoin="round"{dash}/>'


def _dots(it: Cookie, cut: Shape) -> str:
    if not it.dots:
        return ""
    by_size: dict[float, str] = {}
    for x, y, r in cut.dots():
        by_size[r] = by_size.get(r, "") + f"M{num(x)} {num(y)}h0"
    return "".join(
        f'<path d="{d}" fill="none" stroke="{it.dots}" stroke-width="{2 * r:g}" stroke-linecap="round"/>'
        for r, d in by_size.items()
    )


def _lines(text: str) -> list[str]:
    """One line, or two where the words divide best."""
    words = text.split()
    if len(words) < 2:
        return [" ".join(words)]
    cuts = [(" ".join(words[:i]), " ".join(words[i:])) for i in range(1, len(words))]
    return list(min(cuts, key=lambda pair: max(width_of(pair[0], 1), width_of(pair[1], 1))))


def _words(it: Cookie, cut: Shape) -> str:
    text = it.text.strip()
    if not text:
        return ""
    if it.motif == "monogram":
        return _monogram(it, cut, text)
    wide = cut.words
    single = width_of(text, 1)
    lines = [text] if single * 13 <= wide and cut.width > cut.height else _lines(text)
    size = min(19.0, wide / max(max(width_of(part, 1) for part in lines), 0.5), 34 / len(lines))
    if size < 6.5:  # longer than a cookie can carry: what fits, and the whole in the label beside it
        size = 6.5
        lines = [_shortened(part, wide, size) for part in lines]
    x, y = cut.middle
    top = y + size * 0.35 - (len(lines) - 1) * size * 0.5
    return "".join(
        f'<text x="{num(x)}" y="{num(top + i * size)}" text-anchor="middle" font-family="{FONT}" '
        f'font-size="{size:.3g}" font-weight="650" fill="{it.text_colour}">{clean(part)}</text>'
        for i, part in enumerate(lines)
    )


def _shortened(part: str, wide: float, size: float) -> str:
    while part and width_of(part + "…", size) > wide:
        part = part[:-1]
    return part.rstrip() + "…"


def _monogram(it: Cookie, cut: Shape, text: str) -> str:
    letters = [c for c in text.upper() if c.isalnum()][:2] or ["·"]
    x, y = cut.middle
    steps = ((-8.5, 4), (8.5, 14)) if len(letters) == 2 else ((0, 10),)
    return "".join(
        f'<text x="{num(x + dx)}" y="{num(y + dy)}" text-anchor="middle" font-family="{FONT}" font-size="32" '
        f'font-weight="400" fill="{it.motif_colour}">{clean(c)}</text>'
        for c, (dx, dy) in zip(letters, steps, strict=False)
    )


def stages_of(spec: "Cookie | Mapping") -> tuple[str, ...]:
    """The stages worth a picture: bare, flooded, with its motif, finished; those that differ."""
    it = as_cookie(spec)
    steps = ["blank", "wet"]
    if it.motif and it.motif != "monogram":
        steps.append("motif")
    if it.dots or it.frame or it.text:
        steps.append("done")
    return tuple(steps)


# One cookie for each of the six kinds, for tiles and for lines that have no design yet.
KINDS: dict[str, Cookie] = {
    "plain": Cookie(),
    "two_colour": Cookie(base="#e6d1a2", motif="waves", motif_colour="#5e8a93"),
    "stencil": Cookie(base="#5d7088", motif="star", motif_colour="#f8f1e2"),
    "stencil_detail": Cookie(shape="plaque", base="#adb99c", motif="fern", dots="#fffefa"),
    "lettered": Cookie(shape="card", frame="#b08d3e", text="Una"),
    "very_detailed": Cookie(base="#bcd3d0", motif="boat"),
}
