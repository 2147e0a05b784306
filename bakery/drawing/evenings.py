"""Evenings as bars, for a phone's week and for a proposal: what moves is ink, its old place dashed."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from .mist import USUAL, mist
from .svg import frame, paint, rect, text, width_of


@dataclass(frozen=True)
class BarBlock:
    """A piece of work. look: must (ink), work (biscuit), plain (outline), was (dashed old place), bare
    (washing up).
    """

    start: datetime
    end: datetime
    label: str = ""
    look: str = "work"
    title: str = ""


@dataclass(frozen=True)
class Bar:
    """One evening's baking hours with its blocks. ground: mist (a week) or night (a proposal)."""

    start: datetime
    end: datetime
    blocks: tuple[BarBlock, ...] = ()
    ground: str = "mist"
    title: str = ""


_LOOK = {
    "must": ("ink", "", "", "on-ink"),
    "moved": ("ink", "", "", "on-ink"),
    "work": ("biscuit", "edge", "", "ink"),
    "plain": ("sheet", "edge", "", "ink"),
    "bare": ("sheet", "edge", "", "ink"),
    "was": ("", "ink", "4 3.4", "ink"),
}


def evening_bar(bar: Bar, *, width: float = 350, height: float = 42) -> str:
    """The bar; labels that do not fit are left out (each block keeps its title)."""
    whole = max((bar.end - bar.start) / timedelta(minutes=1), 1)
    body = rect(0, 0, width, height, paint("night" if bar.ground == "night" else "mist"), r=0)
    for block in bar.blocks:
        a = (block.start - bar.start) / timedelta(minutes=1) / whole * width
        b = (block.end - bar.start) / timedelta(minutes=1) / whole * width
        a, b = max(a, 0) + 1, min(b, width) - 1
        if b - a < 1:
            continue
        fill, stroke, dash, ink = _LOOK.get(block.look, _LOOK["work"])
        extra = f'stroke-dasharray="{dash}"' if dash else ""
        look = paint(fill, stroke, 1.8 if dash else 1.3, extra) if stroke else paint(fill)
        body += rect(a, 2.5, b - a, height - 5, look, title=block.title or block.label)
        if block.label and width_of(block.label, 16.5) * 0.94 <= b - a:
            body += text(
                (a + b) / 2, height / 2 + 5.7, block.label, size=16.5, weight=650, anchor="middle", colour=ink
            )
    return frame(width, height, body, title=bar.title, cls="d evening-bar")


def evening_mist(
    reach: float = 1.0, *, width: float = 350, seed: int = 1, share: tuple[float, ...] = USUAL
) -> str:
    """The night's mist under an evening's bar; it ends at the bar, `reach` of the way across."""
    end = max(min(reach, 1.0), 0.1) * (width - 6)
    dots = mist(end - 14, 17, seed=seed, share=share, y=1)
    return frame(width, 19, dots + rect(end - 3, 0, 3, 19, paint("ink"), r=0), cls="d evening-mist")
