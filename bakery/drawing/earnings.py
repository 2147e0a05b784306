"""What work pays, as pictures: an hour against her wage, months as columns, minutes thought and taken."""

from dataclasses import dataclass

from .svg import clean, frame, line, paint, rect, text, width_of

TEXT, BAR = 16.5, 20.0


@dataclass(frozen=True)
class Column:
    """A month or year: what came in, of which `cost` went out again; `label` under it, `title` in words."""

    label: str
    brought: float
    cost: float
    title: str = ""


def hour_bar(
    value: float,
    *,
    wage: float,
    most: float,
    low: float = 0.0,
    width: float = 260,
    dark: bool = False,
    title: str = "",
) -> str:
    """An hour's pay as a bar, with a dotted post where her wage stands; below nothing it is hatched.

    `most` and `low` are the ends of the scale that a list of bars shares.
    """
    low, most = min(low, 0.0), max(most, wage, 0.01)
    height, inner = 30.0, width - 6

    def x(amount: float) -> float:
        return 3 + inner * (min(max(amount, low), most) - low) / (most - low)

    zero, end = x(0), x(value)
    if value < 0:
        body = rect(end, 6, zero - end, BAR - 2, paint("no-t", "no", 1.5), r=2)
    elif dark:
        body = rect(zero, 6, end - zero, BAR - 2, paint("ink"), r=2)
    else:
        body = rect(zero, 6, end - zero, BAR - 2, paint("biscuit", "ink", 1.2), r=2)
    post = x(wage)
    body += line(zero, 2, zero, height - 2, paint(stroke="ink", width=1.5))
    if dark and end > post:
        body += line(post, 1, post, height - 1, paint(stroke="sheet", width=4))
    dotted = 'stroke-dasharray="1 5.5" stroke-linecap="round"'
    body += line(post, 2, post, height - 1, paint(stroke="ink", width=2.8, extra=dotted))
    return frame(width, height, body, title=title, cls="d hour-bar")


def pace_bar(factor: float, *, most: float = 2.0, width: float = 260, title: str = "") -> str:
    """Minutes thought as a dashed place, minutes taken as the work that filled it."""
    most = max(most, factor, 1.0)
    inner, height = width - 6, 30.0
    took, thought = inner * factor / most, inner / most
    body = rect(3, 7, took, 16, paint("biscuit", "ink", 1.2), r=2)
    body += rect(3, 3, thought, 24, paint(stroke="edge", width=2, extra='stroke-dasharray="5 4"'), r=3)
    return frame(width, height, body, title=title, cls="d hour-bar")


def columns(
    cols: tuple[Column, ...],
    *,
    width: float = 720,
    height: float = 230,
    sign: str = "",
    title: str = "",
    cls: str = "",
) -> str:
    """What came in by month or year: the part that went out again below, what was left for her above it.

    Where more went out than came in, the column is what went out, and its missing part is hatched.
    """
    top = max([0.01, *(max(col.brought, col.cost) for col in cols)])
    step = nice_step(top)
    top = step * -(-top // step)
    low, left = height - 30, 6 + max(width_of(f"{sign}{top:,.0f}", TEXT), 30)
    each = (width - left) / max(1, len(cols))

    def y(amount: float) -> float:
        return 14 + (low - 14) * (1 - amount / top)

    body, mark = "", 0.0
    while mark <= top + step / 2:
        body += line(left, y(mark), width, y(mark), paint(stroke="line", width=1))
        body += text(left - 8, y(mark) + 5, f"{sign}{mark:,.0f}", size=TEXT, anchor="end", colour="ink-2")
        mark += step
    every = _labels_every(cols, each)
    for i, col in enumerate(cols):
        body += _column(col, left + i * each, each, y)
        if i % every == 0:
            body += text(left + (i + 0.5) * each, height - 8, col.label, size=TEXT, anchor="middle")
    body += line(left, low, width, low, paint(stroke="ink", width=1.5))
    return frame(width, height, body, title=title, cls=f"d columns {cls}".strip())


def _column(col: Column, x: float, each: float, y) -> str:
    wide = min(each * 0.68, 46)
    x += (each - wide) / 2
    spent, whole = min(max(col.cost, 0), max(col.brought, 0)), max(col.brought, 0)
    body = ""
    if whole > spent:
        body += rect(x, y(whole), wide, y(spent) - y(whole), paint("biscuit", "ink", 1.2), r=1)
    if spent:
        body += rect(x, y(spent), wide, y(0) - y(spent), paint("night", "ink", 1.2), r=1)
    if col.cost > whole:
        look = paint("no-t", "no", 1.5, 'stroke-dasharray="4 3"')
        body += rect(x, y(col.cost), wide, y(whole) - y(col.cost), look, r=1)
    return f"<g>{f'<title>{clean(col.title)}</title>' if col.title else ''}{body}</g>" if body else ""


def _labels_every(cols, each: float) -> int:
    widest = max((width_of(col.label, TEXT) for col in cols), default=0) + 8
    return max(1, int(-(-widest // max(each, 1))))


def nice_step(top: float) -> float:
    """A round step of which two to five reach `top`: 1, 2 or 5 times a power of ten."""
    step = 1.0
    while step * 5 < top:
        step *= 10
    while step > 0.01 and step * 0.5 >= top:
        step /= 10
    for part in (0.2, 0.5, 1.0, 2.0):
        if step * part * 5 >= top:
            return step * part
    return step


__all__ = ["Column", "columns", "hour_bar", "nice_step", "pace_bar"]
