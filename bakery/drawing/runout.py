"""How an item runs down: a line of steps over the days, hatched where it has fallen below nothing."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from .svg import clean, frame, line, num, paint, rect, text, width_of

PAD_TOP, PAD_LOW, TEXT = 14.0, 30.0, 16.5


@dataclass(frozen=True)
class Step:
    """At this moment so much is left; `label` is what a pointer shows."""

    at: datetime
    level: float
    label: str = ""


@dataclass(frozen=True)
class RunDown:
    """One item from `start` to `end` (local times). `steps` are what booked work leaves, `soft` what is left
    if every open quote says yes as well; `again` is the level at which to buy again.
    """

    start: datetime
    end: datetime
    left: float
    steps: tuple[Step, ...]
    soft: tuple[Step, ...] = ()
    again: float = 0.0
    title: str = ""
    zero_words: str = "nothing left"
    again_words: str = "buy again"


def run_down(facts: RunDown, *, width: float = 640, height: float = 210, cls: str = "") -> str:
    """The picture; the same facts stand in words beside it."""
    levels = [facts.left, facts.again, *(step.level for step in (*facts.steps, *facts.soft))]
    high, low = max(*levels, 0.0) or 1.0, min(*levels, 0.0)
    plane = _Plane(facts.start, facts.end, width, height, high, low)
    body = _days(plane, facts)
    body += _below(plane, facts) + _filled(plane, facts)
    if facts.again > 0:
        body += _again(plane, facts)
    if facts.soft and facts.soft != facts.steps:
        look = paint(stroke="edge", width=2, extra='stroke-dasharray="6 5"')
        body += f'<path d="{_path(plane, facts.left, facts.soft)}" {look}/>'
    body += f'<path d="{_path(plane, facts.left, facts.steps)}" {paint(stroke="ink", width=2.6)}/>'
    body += line(0, plane.y(0), width, plane.y(0), paint(stroke="ink", width=1.5))
    body += _marks(plane, facts)
    return frame(width, height, body, title=facts.title, cls=f"d run-down {cls}".strip())


@dataclass(frozen=True)
class _Plane:
    start: datetime
    end: datetime
    width: float
    height: float
    high: float
    low: float

    def x(self, at: datetime) -> float:
        whole = max((self.end - self.start) / timedelta(hours=1), 1)
        part = (at - self.start) / timedelta(hours=1) / whole
        return 3 + min(max(part, 0.0), 1.0) * (self.width - 6)

    def y(self, level: float) -> float:
        room = self.height - PAD_TOP - PAD_LOW
        return PAD_TOP + room * (self.high - level) / (self.high - self.low)


def _path(plane: _Plane, left: float, steps) -> str:
    """Level until a job takes some, then straight down; on to the end of the picture."""
    d = [f"M{num(plane.x(plane.start))} {num(plane.y(left))}"]
    for step in steps:
        d.append(f"H{num(plane.x(step.at))}V{num(plane.y(step.level))}")
    return "".join(d) + f"H{num(plane.x(plane.end))}"


def _spans(plane: _Plane, facts: RunDown):
    """From where to where the line stands at which level."""
    steps = (Step(facts.start, facts.left), *facts.steps)
    for step, following in zip(steps, (*steps[1:], Step(facts.end, 0)), strict=True):
        yield plane.x(step.at), plane.x(following.at), step.level


def _filled(plane: _Plane, facts: RunDown) -> str:
    """What is there, as an area down to nothing."""
    zero = plane.y(0)
    return "".join(
        rect(a, plane.y(level), b - a, zero - plane.y(level), paint("mist"), r=0)
        for a, b, level in _spans(plane, facts)
        if level > 0 and b > a
    )


def _below(plane: _Plane, facts: RunDown) -> str:
    """What is missing, hatched."""
    zero = plane.y(0)
    return "".join(
        rect(a, zero, b - a, plane.y(level) - zero, paint("no-t"), r=0) + _hatch(a, b, zero, plane.y(level))
        for a, b, level in _spans(plane, facts)
        if level < 0 and b - a > 0.5
    )


def _hatch(left: float, right: float, top: float, low: float) -> str:
    deep, strokes, at = low - top, [], left - (low - top)
    while at < right:
        a, b = max(at, left), min(at + deep, right)
        if b > a:
            strokes.append(f"M{num(a)} {num(low - (a - at))}L{num(b)} {num(low - (b - at))}")
        at += 9
    return f'<path d="{"".join(strokes)}" {paint(stroke="no", width=1.4)}/>'


def _again(plane: _Plane, facts: RunDown) -> str:
    y = plane.y(facts.again)
    words = facts.again_words
    dotted = 'stroke-dasharray="1.5 5" stroke-linecap="round"'
    out = f'<path d="M3 {num(y)}H{num(plane.width - 3)}" {paint(stroke="ask", width=2.2, extra=dotted)}/>'
    wide = width_of(words, TEXT)
    if facts.again < plane.high * 0.8:
        out += text(plane.width - 4, y - 5, words, size=TEXT, anchor="end", colour="ask")
    elif wide < plane.width / 2:
        out += text(plane.width - 4, y + 18, words, size=TEXT, anchor="end", colour="ask")
    return out


def _marks(plane: _Plane, facts: RunDown) -> str:
    """A dot at each taking, with its words; a cross where it first falls short."""
    out, short = "", False
    for step in facts.steps:
        x, y = plane.x(step.at), plane.y(step.level)
        title = f"<title>{clean(step.label)}</title>" if step.label else ""
        if step.level < 0 and not short:
            short = True
            y = plane.y(0)
            look = paint(stroke="no", width=3)
            out += rect(x - 9, y - 9, 18, 18, paint("sheet"), r=9)
            out += f'<path d="M{num(x - 5.5)} {num(y - 5.5)}l11 11m0-11l-11 11" {look}>{title}</path>'
        else:
            out += f'<circle cx="{num(x)}" cy="{num(y)}" r="4" {paint("ink")}>{title}</circle>'
    return out


def _days(plane: _Plane, facts: RunDown) -> str:
    """Day names under the line, as many as have room."""
    first = facts.start.replace(hour=0, minute=0, second=0, microsecond=0)
    count = max(1, (facts.end - first).days + 1)
    each = (plane.width - 6) / count
    step = max(1, -(-62 // max(each, 1)))
    out, day = "", 0
    while day < count:
        at = first + timedelta(days=day)
        x = plane.x(max(at, facts.start))
        out += line(x, PAD_TOP, x, plane.height - PAD_LOW + 4, paint(stroke="line", width=1))
        words = "today" if day == 0 else f"{at:%a} {at.day}"
        if x + width_of(words, TEXT) < plane.width:
            out += text(x + (0 if day == 0 else 3), plane.height - 8, words, size=TEXT, colour="ink-2")
        day += int(step)
    return out
