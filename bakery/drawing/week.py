"""The week as a picture: hands, rack places, oven, airbrush and hand-overs over time.

Baking hours are drawn wide, the others narrow on the night colour. The picked order's work is ink, all other
work biscuit. Every block carries its words as a title, and the page says the same in a table.
"""

from dataclasses import dataclass
from datetime import timedelta

from .cookies import _colour
from .mist import LIMIT, mist
from .scale import Scale, scale
from .svg import COLOURS, clean, frame, line, num, paint, rect, text, width_of
from .week_facts import HandOver, Outage, Piece, Session, Spell, Stay, Week, Work

__all__ = ["HandOver", "Outage", "Piece", "Session", "Spell", "Stay", "Week", "Work", "key", "week_picture"]

WIDTH, LEFT, TOP = 1264, 95, 52
TURN = 44  # blocks narrower than this write upwards


@dataclass(frozen=True)
class _Rows:
    """Where each row stands, worked out once."""

    you: float
    helper: float
    rack: float
    pitch: float
    oven: float
    airbrush: float
    hand: float
    bottom: float
    right: float


def week_picture(week: Week, *, width: float = WIDTH, most_high: float = 0, rack_high: float = 288) -> str:
    """The picture, 1264 wide; it keeps that size and scrolls in its own box on narrower screens.

    On paper it is drawn narrower and its rack lower, so that its letters keep their size, and is shrunk only
    when it would be higher than `most_high`.
    """
    along, lanes, rows = _laid_out(week, width, rack_high)
    drawn = width
    if most_high and rows.bottom + 2 > most_high:  # shrunk it still fills the sheet from edge to edge
        drawn = width * (rows.bottom + 2) / most_high
        along, lanes, rows = _laid_out(week, drawn, rack_high)
    body = _nights(week, along, rows) + _heads(week, along) + _labels(week, rows)
    body += _hands(week, along, rows) + _rack(week, along, rows)
    body += _tools(week.oven, along, rows.oven, "crust") + _tools(week.airbrush, along, rows.airbrush, "")
    body += _outages(week, along, rows) + _hand_overs(lanes, along, rows)
    said = week.title or "The week as a picture; the same stands in words below it."
    picture = _framed(drawn, rows.bottom + 2, body, said, width / drawn)
    links = any(one.href for one in (*week.work, *week.sessions))
    # What can be followed is no longer one picture to a screen reader, but a group of links.
    return picture.replace('role="img"', 'role="group"', 1) if links else picture


def _laid_out(week: Week, width: float, rack_high: float):
    along = scale(
        week.start,
        week.end,
        [(s.start, s.end) for s in week.sessions],
        left=LEFT,
        right=width,
        wide_px=week.wide_px,
        narrow_px=week.narrow_px,
    )
    lanes = _lanes(week, along)
    return along, lanes, _rows(week, max([lane for _, lane, _ in lanes], default=0) + 1, width, rack_high)


def _framed(width: float, high: float, body: str, said: str, share: float) -> str:
    view = f"0 0 {num(width)} {num(high)}"
    return frame(width * share, high * share, body, title=said, cls="d week-svg", view=view)


def _rows(week: Week, lanes: int, width: float, rack_high: float) -> _Rows:
    you = TOP + 12
    helper = you + 72
    rack = (helper + 68 if week.helper else helper) + 8
    pitch = min(24.0, max(12.0, rack_high / max(week.places, 1)))
    oven = rack + pitch * week.places + 20
    return _Rows(you, helper, rack, pitch, oven, oven + 46, oven + 98, oven + 98 + 42 * lanes, width)


def _nights(week: Week, along: Scale, rows: _Rows) -> str:
    """The hours without work, from one session's end to the next one's start."""
    out, at = "", week.start
    for session in (*sorted(week.sessions, key=lambda s: s.start), None):
        until = session.start if session else week.end
        if until > at:
            x0, x1 = along.x(at), along.x(until)
            if x1 - x0 > 0.5:
                out += rect(x0, TOP, x1 - x0, rows.bottom - TOP, paint("night"), r=0)
        if session:
            at = max(at, session.end)
    return out


def _heads(week: Week, along: Scale) -> str:
    out, ended = "", None
    free = LEFT
    for session in sorted(week.sessions, key=lambda s: s.start):
        x = along.x(session.start)
        if ended and x - along.x(ended) > 40:
            gap = round((session.start - ended) / timedelta(hours=1))
            if x - 8 - 44 > free:
                out += text(x - 8, 42, f"{gap} h", size=16.5, anchor="end", colour="ink-2")
        room = max(free, x)
        head = text(room, 18, session.label, size=21, weight=720)
        head = f'<a href="{clean(session.href)}">{head}</a>' if session.href else head
        out += head + text(room, 42, session.hours, size=17, weight=560)
        free = room + max(width_of(session.label, 21), width_of(session.hours, 17))
        ended = session.end
    return out


def _labels(week: Week, rows: _Rows) -> str:
    def label(y: float, words: str) -> str:
        return text(0, y, words, size=18, weight=720)

    out = label(rows.you + 40, "You") + label(rows.rack + 17, "Rack")
    out += text(0, rows.rack + 40, f"{week.places} places", size=16.5, colour="ink-2")
    if week.helper:
        out += label(rows.helper + 38, "Helper")
    return (
        out
        + label(rows.oven + 22, "Oven")
        + label(rows.airbrush + 22, "Airbrush")
        + label(rows.hand + 23, "Hand-over")
    )


def _hands(week: Week, along: Scale, rows: _Rows) -> str:
    out = ""
    if week.helper:
        out += rect(LEFT, rows.helper - 2, rows.right - LEFT, 66, paint("night"), r=0)
        for session in week.helper_sessions:
            a, b = along.x(session.start), along.x(session.end)
            out += rect(a, rows.helper - 2, b - a, 66, paint("sheet"), r=0)
    for work in week.work:
        high = 68 if work.who == "you" else 60
        block = _work(work, along, rows.you if work.who == "you" else rows.helper, high)
        out += _linked(work, block)
    return out


def _linked(work: Work, block: str) -> str:
    """The block as a link to its reason, which is fetched as soon as it has focus."""
    if not work.href:
        return block
    fetch = f' hx-get="{clean(work.why)}" hx-trigger="focus delay:200ms"' if work.why else ""
    return f'<a href="{clean(work.href)}" aria-label="{clean(work.title or work.label)}"{fetch}>{block}</a>'


def _work(work: Work, along: Scale, y: float, high: float) -> str:
    a, b = along.x(work.start) + 0.8, along.x(work.end) - 0.8
    w = max(b - a, 2.5)
    if work.picked and not work.bare:
        look, ink = paint("ink"), "on-ink"
    else:
        look, ink = paint("sheet" if work.bare else "biscuit", "edge", 1.3), "ink"
    out = rect(
        a + 0.6,
        y,
        w - 1.2 if w > 3 else w,
        high,
        look,
        title=work.title or f"{work.label} {work.second}".strip(),
    )
    if not work.label:
        return out
    if w >= TURN and width_of(work.label, 17) <= w - 8:
        two = work.second and width_of(work.second, 16.5) <= w - 8
        out += text(a + 8, y + (28 if two else high / 2 + 6), work.label, size=17, weight=680, colour=ink)
        return out + (text(a + 8, y + 50, work.second, size=16.5, colour=ink) if two else "")
    if w < 15.5:
        return out
    words = _cut(f"{work.label} {work.second}".strip(), work.label, high - 10)
    return out + (
        text(a + w / 2 + 5.8, y + high - 7, words, size=16.5, weight=680, colour=ink, turn=True)
        if words
        else ""
    )


def _cut(whole: str, short: str, room: float) -> str:
    """The longest of the words that stands in the room: both parts, the first part, its first word."""
    for words in (whole, short, short.split()[0] if short.split() else ""):
        if words and width_of(words, 16.5) * 0.96 <= room:
            return words
    return ""


def _rack(week: Week, along: Scale, rows: _Rows) -> str:
    out = ""
    for i in range(week.places):
        y = rows.rack + (i + 1) * rows.pitch
        out += line(LEFT, y, rows.right, y, paint(stroke="rule", width=1.3))
    tall = min(rows.pitch - 6, 17)
    area = sum(
        (along.x(p.end) - along.x(p.start)) * tall for s in week.stays for p in s.pieces if p.kind == "mist"
    )
    peak = min(0.12, LIMIT * 0.7 / (area * 0.45)) if area else 0.12
    for n, stay in enumerate(week.stays):
        if 0 <= stay.place < week.places:
            top = rows.rack + stay.place * rows.pitch + (rows.pitch - tall) / 2 - 0.5
            out += "".join(
                _piece(p, stay.picked, along, top, tall, n * 7 + k, peak) for k, p in enumerate(stay.pieces)
            )
    return out


def _piece(piece: Piece, picked: bool, along: Scale, y: float, tall: float, seed: int, peak: float) -> str:
    a, b = along.x(piece.start), along.x(piece.end)
    middle = y + tall / 2
    if b - a < 0.3:
        return ""
    if piece.kind == "work":
        look = paint("ink") if picked else paint("biscuit", "edge", 1.2)
        return rect(a + 0.5, y + 1, max(b - a - 1, 3), tall - 2, look, r=2.5, title=piece.title)
    if piece.kind == "wait":
        return line(
            a, middle, b, middle, paint(stroke="ink" if picked else "edge", width=2.2 if picked else 1.5)
        )
    share = along.share(piece.start, piece.end, piece.share)
    dots = mist(
        b - a - 4, tall, seed=seed, share=share, x=a + 1, y=y, peak=peak, colour="wet" if picked else "wet-2"
    )
    if piece.beyond:
        return dots
    bar = rect(
        b - (1.4 if picked else 0.9),
        y - 2,
        2.8 if picked else 1.8,
        tall + 4,
        paint("ink" if picked else "edge"),
        r=0,
    )
    return dots + bar


def _tools(spells: tuple[Spell, ...], along: Scale, y: float, fill: str) -> str:
    out, free = "", 0.0
    starts = [along.x(spell.start) for spell in spells]
    for number, spell in enumerate(spells):
        following = min(starts[number + 1 :], default=along.places[-1])
        a, b = along.x(spell.start), max(along.x(spell.end), along.x(spell.start) + 12)
        colours = spell.colours[:6]
        if colours:
            step = max((b - a) / len(colours), 14)
            b = max(b, a + step * len(colours))
            for i, colour in enumerate(colours):
                out += (
                    f'<rect x="{num(a + i * step)}" y="{num(y)}" width="{num(step - 2)}" height="32" rx="3" '
                    f'fill="{_colour(colour, "#888888")}" class="s-ink" stroke="{COLOURS["ink"]}" '
                    f'stroke-width="1.4">'
                    f"<title>{clean(spell.title or spell.words)}</title></rect>"
                )
        else:
            look = paint(fill or "biscuit", "edge", 1.2)
            out += rect(a, y, b - a, 32, look, title=spell.title or spell.words)
        # Words that would run into the next block stay in the title alone.
        if spell.words and a >= free and b + 8 + width_of(spell.words, 16.5) * 0.96 <= following:
            out += text(b + 8, y + 22, spell.words, size=16.5)
            free = b + 16 + width_of(spell.words, 16.5)
    return out


def _outages(week: Week, along: Scale, rows: _Rows) -> str:
    out = ""
    for outage in week.outages:
        y = {"oven": rows.oven, "airbrush": rows.airbrush}.get(outage.row, rows.rack)
        a, b = along.x(outage.start), along.x(outage.end)
        hatch = "".join(f"M{num(x)} {num(y + 32)}l18-32" for x in _steps(a + 2, b - 20, 13))
        out += rect(a, y, b - a, 32, paint("sheet", "no", 1.8), title=outage.words)
        out += f'<path d="{hatch}" {paint(stroke="no", width=1.3)}/>' if hatch else ""
        clear = width_of(outage.words, 17) + 20
        out += rect(a + 10, y + 4, min(clear, max(b - a - 20, 4)), 24, paint("sheet"), r=2)
        out += (
            text(a + 20, y + 22, outage.words, size=17, weight=700, colour="no")
            if clear < b - a
            else text(b + 8, y + 22, outage.words, size=17, weight=700, colour="no")
        )
    return out


def _steps(a: float, b: float, step: float) -> list[float]:
    return [a + i * step for i in range(max(int((b - a) / step) + 1, 0))]


def _lanes(week: Week, along: Scale) -> list[tuple[HandOver, int, float]]:
    """Each flag with the first lane in which it overlaps no other, and how wide it is."""
    ends: list[float] = []
    out = []
    for hand in sorted(week.hand_overs, key=lambda h: h.at):
        words = f"{hand.words}, {hand.late}" if hand.late else hand.words
        wide = width_of(words, 17) + (54 if hand.late else 32)
        left = max(along.x(hand.at) - wide, LEFT)
        lane = next((i for i, end in enumerate(ends) if end + 6 <= left), len(ends))
        if lane == len(ends):
            ends.append(0)
        ends[lane] = left + wide
        out.append((hand, lane, wide))
    return out


def _hand_overs(lanes: list[tuple[HandOver, int, float]], along: Scale, rows: _Rows) -> str:
    posts = flags = ""
    for hand, lane, wide in lanes:
        x = along.x(hand.at)
        y = rows.hand + lane * 42
        strong = hand.picked or hand.late
        posts += line(x, rows.rack - 6, x, y + 2, paint(stroke="ink", width=3 if strong else 1.5))
        right = max(x, LEFT + wide)
        flags += _flag(hand, right, y, wide)
    return posts + flags


def _flag(hand: HandOver, right: float, y: float, wide: float) -> str:
    left = right - wide
    shape = f"M{num(left)} {num(y)}H{num(right)}v34H{num(left)}l10-17Z"
    if hand.late:
        inner = f"M{num(left + 7)} {num(y + 4)}H{num(right - 4)}v26H{num(left + 7)}l8-13Z"
        cross = f"M{num(left + 23)} {num(y + 12)}l10 10m0-10l-10 10"
        return (
            f'<path d="{shape}" {paint("no-t", "no", 2)}/><path d="{inner}" {paint(stroke="no", width=1.3)}/>'
            f'<path d="{cross}" {paint(stroke="no", width=2.4)} stroke-linecap="round"/>'
            + text(
                right - 10,
                y + 23,
                f"{hand.words}, {hand.late}",
                size=17,
                weight=720,
                anchor="end",
                colour="no",
            )
        )
    look = (
        paint("ink", "ink", 1.6)
        if hand.picked
        else paint("sheet", "ink", 1.6, 'stroke-dasharray="5 3.6"' if hand.soft else "")
    )
    ink = "on-ink" if hand.picked else "ink"
    return f'<path d="{shape}" {look}/>' + text(
        right - 9, y + 23, hand.words, size=17, weight=700, anchor="end", colour=ink
    )


def key(name: str) -> str:
    """A small sample for the legend: picked, other, mist, wait, bare or out."""
    if name == "mist":
        return frame(74, 18, mist(62, 17, seed=5) + rect(70, 0, 3, 18, paint("ink"), r=0))
    if name == "wait":
        return frame(38, 18, line(0, 9, 38, 9, paint(stroke="ink", width=2.4)))
    if name == "out":
        hatch = "".join(f"M{x} 17l10-16" for x in range(2, 26, 8))
        return frame(
            38,
            18,
            rect(1, 1, 36, 16, paint("sheet", "no", 1.6))
            + f'<path d="{hatch}" {paint(stroke="no", width=1.3)}/>',
        )
    look = {"picked": paint("ink"), "bare": paint("sheet", "edge", 1.3)}.get(
        name, paint("biscuit", "edge", 1.3)
    )
    return frame(36, 18, rect(1, 1, 34, 16, look))
