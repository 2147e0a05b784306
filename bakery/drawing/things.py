"""Small pictures of things in the kitchen: bottles, piping bags, trays, packets, room for more, swatches,
drops.
"""

from .cookies import BISCUIT, BISCUIT_EDGE, _colour
from .svg import COLOURS, frame, num, paint, rect

WHITE = "#fffefa"


def bottle(colour: str, level: float, *, size: float = 66, mark: bool = False, label: str = "") -> str:
    """A colour bottle, `level` 0 to 1 full. With `mark` a line stands at the label's foot: above it or
    below it?
    """
    fill = _colour(colour, "#5d7088")
    level = min(max(float(level), 0.0), 1.0)
    ink = paint(stroke="ink", width=1.6)
    top, height = 19.0, 46.0
    deep = (height - 2) * level
    body = f'<path d="M12.2 1h5.6l1.4 7v0h2.3v8h-13v-8h2.3Z" {paint("ink")}/>'
    body += f'<rect x="3" y="{top:g}" width="24" height="{height:g}" rx="4.5" fill="{WHITE}"/>'
    if deep > 0.5:
        y = top + height - 1 - deep
        r = min(3.8, deep / 2)
        body += (
            f'<path d="M3.8 {num(y)}H26.2V{num(top + height - 1 - r)}a{num(r)} {num(r)} 0 0 '
            f"1-{num(r)} {num(r)}"
            f'H{num(3.8 + r)}a{num(r)} {num(r)} 0 0 1-{num(r)}-{num(r)}Z" fill="{fill}"/>'
        )
    if mark:
        foot = top + height * 0.7
        body += (
            f'<path d="M3 {num(top + 8)}H27M3 {num(foot)}H27M7 {num(top + 13.5)}H20M7 '
            f'{num(top + 18)}H15.5" {paint(stroke="ink", width=1.1)}/>'
        )
    body += f'<rect x="3" y="{top:g}" width="24" height="{height:g}" rx="4.5" {ink}/>'
    return frame(size * 30 / 67, size, body, title=label, cls="d", view="0 0 30 67")


def bag(colour: str, *, size: float = 58, label: str = "") -> str:
    """A piping bag, tied, full of one colour."""
    fill = _colour(colour, "#f3ead6")
    body = (
        f'<path d="M9.5 15C5 20 3 24 3.6 30C4.6 40 11.5 48 13.5 58h3C18.5 48 25.4 40 26.4 30C27 24 25 '
        f'20 20.5 15Z" fill="{fill}" '
        f'{_edge(1.5)} stroke-linejoin="round"/>'
        f'<path d="M5.5 3q9.5 4 19 0L21.5 13h-13Z" {paint("sheet", "edge", 1.5)} stroke-linejoin="round"/>'
        f'<path d="M9 14.5h12" {paint(stroke="ink", width=3.2)} stroke-linecap="round"/>'
    )
    return frame(size * 30 / 60, size, body, title=label, view="0 0 30 60")


def _edge(width: float) -> str:
    """The edge alone, for a thing whose fill is its own colour."""
    return f'class="s-edge" stroke="{COLOURS["edge"]}" stroke-width="{width:g}"'


def box(*, size: float = 54, label: str = "") -> str:
    look = paint("biscuit", "ink", 1.6)
    body = (
        f'<path d="M3 16h48v28H3Z" {look}/><path d="M3 16 10 5h34l7 11Z" {paint("sheet", "ink", 1.6)} '
        f'stroke-linejoin="round"/>'
        f'<path d="M27 5v11" {paint(stroke="ink", width=1.6)}/>'
    )
    return frame(size, size * 47 / 54, body, title=label, view="0 0 54 47")


def packet(*, size: float = 54, label: str = "") -> str:
    """A bag of dry goods."""
    body = (
        f'<path d="M8 6q19 4 38 0l4 36H4Z" {paint("sheet", "ink", 1.6)} stroke-linejoin="round"/>'
        f'<path d="M11 21h32" {paint(stroke="ink", width=1.6)}/>'
    )
    return frame(size, size * 47 / 54, body, title=label, view="0 0 54 47")


def room(dozens: int, *, size: float = 20) -> str:
    """Room for more: one small plain cookie for each dozen, in a row that wraps; at most 44 are drawn."""
    count = min(max(int(dozens), 0), 44)
    one = frame(size, size, _SMALL, view="0 0 20 20")
    return f'<span class="room-cookies" aria-hidden="true">{one * count}</span>' if count else ""


_SMALL = (
    f'<circle cx="10" cy="10" r="9" fill="{BISCUIT}" stroke="{BISCUIT_EDGE}" stroke-width="1.7"/>'
    '<circle cx="10" cy="10" r="5.4" fill="#f7efdc"/>'
)


def tray(done: int, total: int, *, width: float = 400, height: float = 26) -> str:
    """A tray that fills: up to 24 places side by side; more than that are shown as shares of 24."""
    total = max(int(total), 1)
    done = min(max(int(done), 0), total)
    places = min(total, 24)
    full = done * places / total
    step = (width - 8) / places
    body = rect(1, 1, width - 2, height - 2, paint("mist", "edge", 1.6), r=6)
    for i in range(places):
        share = min(max(full - i, 0.0), 1.0)
        x, w = 4 + i * step + 1.5, step - 3
        body += rect(x, 5, w, height - 10, paint(stroke="edge", width=1.2), r=2.5)
        if share > 0:
            body += rect(x, 5, w * share, height - 10, paint("ink"), r=2.5)
    return frame(width, height, body, cls="d progress__bar")


def empty_tray(*, width: float = 160) -> str:
    body = rect(1.5, 1.5, 157, 97, paint("mist", "edge", 2.4), r=12) + rect(
        10, 10, 140, 80, paint(stroke="rule", width=1.2), r=7
    )
    return frame(width, width * 100 / 160, body, cls="d empty__tray", view="0 0 160 100")


def swatch(colour: str, *, width: float = 130, height: float = 68, second: str = "", label: str = "") -> str:
    """A plaque of one colour, or of two that touch: wanted and predicted."""
    w, h, r = width, height, 9
    outline = (
        f"M{r} .5H{num(w - r)}a{r} {r} 0 0 0 {r - 0.5} {r}V{num(h - r)}a{r} {r} 0 0 0-{r - 0.5} {r - 0.5}"
        f"H{r}a{r} {r} 0 0 0-{r - 0.5}-{r - 0.5}V{r}a{r} {r} 0 0 0 {r - 0.5}-{r - 0.5}Z"
    )
    body = f'<path d="{outline}" fill="{_colour(colour, "#888888")}"/>'
    if second:
        body += (
            f'<path d="M{num(w / 2)} .5H{num(w - r)}a{r} {r} 0 0 0 {r - 0.5} {r}V{num(h - r)}a{r} {r} '
            f"0 0 0-{r - 0.5} {r - 0.5}"
            f'H{num(w / 2)}Z" fill="{_colour(second, "#888888")}"/>'
        )
    body += f'<path d="{outline}" {paint(stroke="edge", width=1)}/>'
    return frame(w, h, body, title=label)


def drops(count: int, colour: str, *, size: float = 26) -> str:
    """So many drops, at most 20 of them drawn."""
    count = min(max(int(count), 0), 20)
    one = "M10 1.5C15 9 18 13 18 17.5a8 8 0 0 1-16 0C2 13 5 9 10 1.5Z"
    body = "".join(
        f'<path transform="translate({i * 27} 0)" d="{one}" fill="{_colour(colour, "#333333")}" '
        f"{_edge(1.2)}/>"
        for i in range(count)
    )
    return frame(max(count, 1) * size * 27 / 27, size, body, view=f"0 0 {max(count, 1) * 27} 27")
