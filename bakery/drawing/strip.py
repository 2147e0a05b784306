"""Tonight as a strip: her hands in baking hours, and each tray's mist through the night to its bar."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from .cookies import Cookie, placed
from .mist import USUAL, mist
from .scale import Scale
from .shapes import shape
from .signs import SIGNS
from .svg import frame, line, num, paint, rect, text, width_of

WIDTH, LEFT, ROW, MIST = 1264, 84, 29, 18
STRIP_DOTS = 1.15  # dots for each pixel of width, all rows together


@dataclass(frozen=True)
class Block:
    """A run of the evening. verdict: must, safe, good or bare (washing up). number and label stand in it."""

    start: datetime
    end: datetime
    number: str = ""
    label: str = ""
    verdict: str = "must"
    title: str = ""


@dataclass(frozen=True)
class Drying:
    """A tray on the rack: laid down at `start`, dry on a slow night at `slow`; without `slow` it lies bare.

    usual: where the small tick stands. words beside the bar ("dry by 11:05"); strong writes them bold.
    """

    cookie: Cookie
    start: datetime
    slow: datetime | None = None
    usual: datetime | None = None
    words: str = ""
    strong: bool = False
    share: tuple[float, ...] = USUAL


@dataclass(frozen=True)
class Evening:
    """One evening: baking hours, blocks in order, trays in order; stop = where she may go to bed."""

    start: datetime
    end: datetime
    blocks: tuple[Block, ...] = ()
    trays: tuple[Drying, ...] = ()
    stop: datetime | None = None
    stop_words: str = "stop here"


def evening_strip(evening: Evening, *, width: float = WIDTH, title: str = "") -> str:
    """The strip for the band, 1264 wide (960 for a tablet). The facts stand in words in the groups below
    it.
    """
    scale = _scale(evening, width)
    top = 112
    rows = evening.trays[:8]
    height = top + ROW * len(rows) + 4
    body = _ticks(evening, scale) + _hands(evening, scale, 40, 62)
    body += text(0, 76, "You", size=18, weight=720)
    if rows:
        body += text(0, top + 21, "Rack", size=18, weight=720)
    peak = _peak(rows, scale, STRIP_DOTS * width)
    for i, row in enumerate(rows):
        body += _tray(row, scale, top + i * ROW, i, peak)
    body += _post(evening, scale, 14, 106)
    return frame(width, height, body, title=title or _said(evening), cls="d strip-picture")


def _said(evening: Evening) -> str:
    count = len(evening.blocks)
    return (
        f"The evening from {evening.start:%H:%M} to {evening.end:%H:%M}: {count} runs, "
        f"{len(evening.trays)} trays drying. "
        "The list below says the same in words."
    )


def _scale(evening: Evening, width: float) -> Scale:
    """Baking hours on three fifths of the width; the rest reaches past the last bar and its words."""
    edge = LEFT + (width - LEFT) * 0.597
    last = max([t.slow for t in evening.trays if t.slow], default=evening.end + timedelta(hours=12))
    until = max(last + timedelta(hours=9), evening.start + timedelta(hours=24))
    last_end = max([b.end for b in evening.blocks], default=evening.end)
    stop = max(evening.end, last_end)
    return Scale((evening.start, stop, max(until, stop + timedelta(hours=2))), (LEFT, edge, width))


def _ticks(evening: Evening, scale: Scale) -> str:
    out = ""
    shut = scale.times[1]
    hours = (shut - evening.start) / timedelta(hours=1)
    step = timedelta(hours=1 if hours <= 5 else 2)
    stop_x = scale.x(evening.stop) if evening.stop else None
    moment, moments = evening.start, []
    while moment < shut - step / 2:
        moments.append(moment)
        moment += step
    moments.append(shut)
    night = evening.start + timedelta(hours=12)
    while night < scale.times[2] - timedelta(hours=1):
        if scale.x(night) - scale.x(shut) > 90:
            moments.append(night)
        night += timedelta(hours=6)
    day = evening.start.date()
    for i, moment in enumerate(moments):
        x = scale.x(moment)
        new_day = moment.date() != day
        day = moment.date()
        words = f"{moment:%a %H:%M}" if new_day else f"{moment:%H:%M}"
        if stop_x is not None and stop_x - 30 < x < stop_x + 125:
            words = ""
        out += (
            text(x, 24, words, size=17, anchor="start" if i == 0 else "middle", weight=560) if words else ""
        )
        out += line(x, 32, x, 40, paint(stroke="ink", width=1.6))
    return out


_LOOK = {
    "must": ("ink", "", "", "on-ink"),
    "safe": ("ask-t", "ask", "2 3", "ink"),
    "good": ("biscuit", "ink", "5 4", "ink"),
    "bare": ("sheet", "edge", "", "ink"),
}


def _block(
    x: float,
    w: float,
    y: float,
    h: float,
    block: Block,
    words: str,
    *,
    size: float = 17.5,
    middle: bool = False,
) -> str:
    fill, stroke, dash, ink = _LOOK.get(block.verdict, _LOOK["must"])
    width = 2 if dash else 1.3
    extra = f'stroke-dasharray="{dash}"' if dash else ""
    inset = width / 2 if stroke else 0
    out = rect(
        x + inset,
        y + inset,
        w - 2 * inset,
        h - 2 * inset,
        paint(fill, stroke, width, extra),
        title=block.title or block.label,
    )
    if words:
        at = x + w / 2 if middle else x + 11
        out += text(
            at,
            y + h / 2 + size * 0.34,
            words,
            size=size,
            weight=700,
            colour=ink,
            anchor="middle" if middle else "start",
        )
    return out


def _hands(evening: Evening, scale: Scale, y: float, h: float) -> str:
    x0, x1 = scale.x(evening.start), scale.x(evening.end)
    out = rect(x0, y, max(x1, scale.places[1]) - x0, h, paint("sheet"), r=0)
    for block in evening.blocks:
        a, b = scale.x(block.start) + 1.5, scale.x(block.end) - 1.5
        whole = f"{block.number} {block.label}".strip()
        if width_of(whole, 17.5) + 16 <= b - a:
            out += _block(a, b - a, y + 6, h - 12, block, whole)
        else:
            fits = width_of(block.number, 17.5) + 4 <= b - a
            out += _block(a, b - a, y + 6, h - 12, block, block.number if fits else "", middle=True)
    return out


def _post(evening: Evening, scale: Scale, y0: float, y1: float) -> str:
    if not evening.stop:
        return ""
    x = scale.x(evening.stop)
    post = line(x, y0 - 8, x, y1, paint(stroke="ink", width=2.6, extra='stroke-dasharray="2.6 3.4"'))
    moon = f'<g transform="translate({num(x + 9)} 7) scale(.95)" class="moon">{SIGNS["moon-hollow"]}</g>'
    return post + moon + text(x + 34, 24, evening.stop_words, size=17, weight=700)


def _peak(rows: tuple[Drying, ...], scale: Scale, budget: float) -> float:
    """Dots per pixel at full water: the same for all rows, and no more in all than the strip may carry."""
    water = 0.0
    for row in rows:
        if row.slow:
            share = scale.share(row.start, row.slow, row.share)
            water += (scale.x(row.slow) - scale.x(row.start)) * MIST * sum(share) / len(share)
    return min(0.13, budget / water) if water > 0 else 0.13


def _tray(row: Drying, scale: Scale, y: float, seed: int, peak: float) -> str:
    base = y + ROW - 1
    out = line(LEFT, base, scale.places[2], base, paint(stroke="rule", width=1.4))
    x = scale.x(row.start)
    cut = shape(row.cookie.shape)
    tall = 27 if cut.height > 70 else 34  # pixels for 95 mm, so that each fills its row
    wide = tall * cut.width / 95
    out += placed(row.cookie, x - wide / 2, y + ROW / 2 - 1, tall)
    if not row.slow:
        return out + text(x + 8, y + 20, row.words, size=17, colour="ink-2")
    start, bar = x + 7, scale.x(row.slow)
    share = scale.share(row.start, row.slow, row.share)
    out += mist(bar - start - 12, MIST, seed=seed + 11, share=share, x=start, y=y + 5, peak=peak)
    if row.usual:
        u = scale.x(row.usual)
        out += line(u, y + 18, u, y + 24, paint(stroke="ink", width=1.6))
    out += rect(bar - 1.5, y + 3, 3, 21, paint("ink"), r=0)
    return out + text(bar + 9, y + 20, row.words, size=17, weight=720 if row.strong else 600)


def phone_strip(evening: Evening, *, width: float = 350, title: str = "") -> str:
    """The evening in the width of a phone: numbers only, with where it begins, may stop and ends."""
    last = max([b.end for b in evening.blocks], default=evening.end)
    shut = max(evening.end, last)
    scale = Scale((evening.start, shut), (2, width - 2))
    body = rect(0, 0, width, 46, paint("sheet"), r=0)
    for block in evening.blocks:
        a, b = scale.x(block.start) + 1, scale.x(block.end) - 1
        fits = width_of(block.number, 17) <= b - a - 2
        body += _block(a, b - a, 5, 36, block, block.number if fits else "", size=17, middle=True)
    body += text(0, 75, f"{evening.start:%H:%M}", size=16.5, weight=560)
    body += text(width, 75, f"{shut:%H:%M}", size=16.5, weight=560, anchor="end")
    if evening.stop:
        x = scale.x(evening.stop)
        body += line(x, 0, x, 59, paint(stroke="ink", width=2.6, extra='stroke-dasharray="2.6 3.4"'))
        at = min(max(x, 92), width - 92)
        body += text(at, 75, evening.stop_words, size=16.5, weight=700, anchor="middle")
    return frame(width, 80, body, title=title or _said(evening), cls="d phone-strip-picture")
