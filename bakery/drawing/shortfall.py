"""Too much work for the time there is: a bar of time, the orders under it, what is too many hatched."""

from dataclasses import dataclass

from .svg import frame, line, num, paint, rect, text, width_of


@dataclass(frozen=True)
class Slice:
    """What one order needs, in minutes; `asked` is the one the question is about."""

    minutes: int
    label: str
    asked: bool = False


@dataclass(frozen=True)
class Shortfall:
    """`there` minutes of time, and slices that together are more. `title` says the same in words."""

    there: int
    slices: tuple[Slice, ...]
    title: str = ""
    there_words: str = ""
    over_words: str = ""

    @property
    def needed(self) -> int:
        return sum(one.minutes for one in self.slices)


_FILLS = ("biscuit", "paper")
_HEIGHT = 30


def shortfall(facts: Shortfall, *, width: float = 560, cls: str = "") -> str:
    """Two bars on one scale: the time there is, and under it the orders, hatched where the time has ended."""
    whole = max(facts.needed, facts.there, 1)
    scale = (width - 4) / whole
    edge = 2 + facts.there * scale
    body = rect(2, 2, max(facts.there * scale, 1), _HEIGHT, paint("sheet", "edge", 1.5), r=0)
    body += _label(2, edge, 2, facts.there_words)
    at, low = 2.0, 2 + _HEIGHT + 6
    for number, one in enumerate(facts.slices):
        wide = one.minutes * scale
        fill = "ink" if one.asked else _FILLS[number % 2]
        body += rect(at, low, max(wide, 1), _HEIGHT, paint(fill, "edge", 1.2), r=0, title=one.label)
        body += _label(at, min(at + wide, edge), low, str(number + 1), "on-ink" if one.asked else "ink")
        at += wide
    body += _too_many(edge, at, low)
    body += line(edge, 0, edge, low + _HEIGHT + 4, paint(stroke="ink", width=2.5))
    return frame(width, low + _HEIGHT + 6, body, title=facts.title, cls=f"d shortfall {cls}".strip())


def _label(start: float, end: float, top: float, words: str, colour: str = "ink") -> str:
    """Words in a block where they fit, else none: they stand beside the picture too."""
    if not words or width_of(words, 17) + 8 > end - start:
        return ""
    return text(
        (start + end) / 2, top + _HEIGHT / 2 + 6, words, size=17, weight=650, anchor="middle", colour=colour
    )


def _too_many(start: float, end: float, top: float) -> str:
    """The part for which there is no time: a clear ground, hatched."""
    wide = max(end - start, 2.5)
    out = rect(start, top, wide, _HEIGHT, paint("no-t", "no", 1.8), r=0)
    strokes, x = [], start - _HEIGHT
    while x < start + wide:
        low, high = max(x, start), min(x + _HEIGHT, start + wide)
        if high > low:
            strokes.append(
                f"M{num(low)} {num(top + _HEIGHT - (low - x))}L{num(high)} {num(top + _HEIGHT - (high - x))}"
            )
        x += 9
    return out + f'<path d="{"".join(strokes)}" {paint(stroke="no", width=1.6)}/>'
