"""The drying of one coat as a picture: mist that thins out over the hours, with marks at what is reached."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from math import ceil

from .mist import mist
from .svg import frame, line, paint, rect, text, width_of

TOP, HIGH, AXIS, SIZE = 34.0, 46.0, 58.0, 17.0
GAP = 10.0
MOST_DOTS = 1500


@dataclass(frozen=True)
class Mark:
    """At this hour something is reached; a `bar` is the slow night's."""

    hours: float
    words: str
    bar: bool = False


@dataclass(frozen=True)
class Curve:
    """`share` is the water left [0, 1] at equal steps over `hours`; `begins` gives the clock below."""

    hours: float
    share: tuple[float, ...]
    marks: tuple[Mark, ...] = ()
    title: str = ""
    begins: datetime | None = None


def drying_curve(curve: Curve, *, width: float = 1180, size: float = SIZE, cls: str = "d") -> str:
    """Words above, mist, hours below; where two words would touch, the earlier one is left out."""
    across = width - 4

    def x(hours: float) -> float:
        return 2 + across * min(hours / curve.hours, 1.0)

    bars = [mark for mark in curve.marks if mark.bar]
    end = x(bars[0].hours) - 4 if bars else width
    part = (end - 2) / across
    share = _cut(curve.share, part)
    body = mist(end - 2, HIGH, seed=11, share=share, x=2, y=TOP, limit=MOST_DOTS)
    body += line(0, TOP + HIGH, width, TOP + HIGH, paint(stroke="edge", width=1.25))
    for mark in curve.marks:
        if mark.bar:
            body += rect(x(mark.hours) - 3, TOP - 4, 4, HIGH + 4, paint("ink"), r=0)
        else:
            body += line(x(mark.hours), TOP - 4, x(mark.hours), TOP + HIGH, paint(stroke="ink", width=1.5))
    body += _words(curve, x, width, size) + _hours(curve, x, width, size)
    return frame(width, TOP + HIGH + AXIS, body, title=curve.title, cls=cls)


def _cut(share, part: float):
    """The first part of the curve at as many steps."""
    last = len(share) - 1
    found = []
    for i in range(len(share)):
        at = i * part
        low = min(int(at), last - 1)
        found.append(round(share[low] + (share[low + 1] - share[low]) * (at - low), 3))
    return tuple(found)


def _words(curve, x, width, size) -> str:
    body, right = "", width
    for mark in sorted(curve.marks, key=lambda one: -one.hours):
        long = width_of(mark.words, size)
        at = min(max(x(mark.hours) - long / 2, 0), width - long)
        if at + long > right:
            continue
        body += text(at, TOP - 12, mark.words, size=size, weight=650)
        right = at - GAP
    return body


def _hours(curve, x, width, size) -> str:
    step = max(1, ceil(curve.hours / (width / 90)))
    step = next((one for one in (1, 2, 3, 4, 6, 12, 24, 48) if one >= step), 72)
    body, hour = "", 0
    while hour <= curve.hours:
        said = f"{hour} h"
        clock = f"{curve.begins + timedelta(hours=hour):%H:%M}" if curve.begins else ""
        long = max(width_of(said, size), width_of(clock, size))
        at = min(max(x(hour), long / 2), width - long / 2)
        body += line(x(hour), TOP + HIGH, x(hour), TOP + HIGH + 6, paint(stroke="edge", width=1.25))
        body += text(at, TOP + HIGH + 25, said, size=size, weight=650, anchor="middle")
        if clock:
            body += text(at, TOP + HIGH + 48, clock, size=size, anchor="middle")
        hour += step
    return body
