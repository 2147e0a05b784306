"""A platter seen from above, to scale: the tray, and each cookie as it is drawn everywhere else."""

from collections.abc import Mapping

from .cookies import as_cookie, body
from .shapes import shape
from .svg import frame, num, paint, rect, text

EDGE = 9  # mm of rim drawn around the tray
FOOT = 26  # mm below it for the measure


def platter(tray, items, spots, looks: Mapping[str, object], *, width: float = 420, label: str = "") -> str:
    """An SVG, `width` pixels for the tray's longer side.

    tray, items, spots: as bakery.craft.packing lays them, mm. looks: what the cookie of each item key looks
    like. Later spots lie over earlier ones.
    """
    across, down = tray.width + 2 * EDGE, tray.height + 2 * EDGE + FOOT
    keys = list(dict.fromkeys(item.key for item in items))
    first = {item.key: item for item in items}
    shapes = "".join(
        f'<g id="on-platter-{at}">{_sized(looks.get(key), first[key])}</g>' for at, key in enumerate(keys)
    )
    laid = "".join(_laid(keys.index(items[spot.item].key), spot) for spot in spots)
    drawn = f"<defs>{shapes}</defs>{_tray(tray)}{laid}{_measure(tray)}"
    scale = width / max(tray.width, tray.height)
    view = f"{num(-across / 2)} {num(-tray.height / 2 - EDGE)} {num(across)} {num(down)}"
    return frame(across * scale, down * scale, drawn, title=label, cls="d platter", view=view)


def _sized(look, item) -> str:
    """The drawing at the cookie's own size: cutters are drawn at theirs."""
    it = as_cookie(look)
    cut = shape(it.shape)
    return f'<g transform="scale({item.width / cut.width:.3f} {item.height / cut.height:.3f})">{body(it)}</g>'


def _laid(at: int, spot) -> str:
    turn = " rotate(90)" if spot.turned else ""
    return f'<use href="#on-platter-{at}" transform="translate({num(spot.x)} {num(spot.y)}){turn}"/>'


def _tray(tray) -> str:
    w, h = tray.width / 2, tray.height / 2
    outer, inner = paint("mist", "edge", 2.4), paint(stroke="rule", width=1.2)
    if tray.shape == "rectangle":
        rim = rect(-w - 6, -h - 6, 2 * w + 12, 2 * h + 12, outer, r=16)
        return rim + rect(-w, -h, 2 * w, 2 * h, inner, r=10)
    ring = f'<ellipse rx="{num(w + 6)}" ry="{num(h + 6)}" {outer}/>'
    return ring + f'<ellipse rx="{num(w)}" ry="{num(h)}" {inner}/>'


def _measure(tray) -> str:
    """Ten centimetres, so that the eye has something to hold on to."""
    y, x = tray.height / 2 + EDGE + 9, -50
    bar = f"M{x} {num(y - 4)}v8M{x} {num(y)}h100M{x + 100} {num(y - 4)}v8"
    return f'<path d="{bar}" {paint(stroke="ink", width=1.4)}/>' + text(x + 106, y + 5, "10 cm", size=16)
