"""Spray runs as the airbrush sees them: passes, minutes to clean between them, drops."""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from .kinds import shop_minutes
from .spec import Layer, LineSpec, Shop

if TYPE_CHECKING:
    from ..airbrush import Cleaning, Paint, Pass

__all__ = ["USUAL_CUT_OUT", "change_minutes", "drops_on", "opened", "paint_of", "passes_of"]

USUAL_CUT_OUT = 0.5
"""Share of the face that one placing leaves open where nobody has said (common practice, no source)."""


def paint_of(name: str, shop: Shop) -> "Paint | None":
    """What is in the cup under that name; None for a colour that the cupboard does not know."""
    return shop.paints.get(name.casefold())


def opened(layer: Layer, shop: Shop) -> float | None:
    """Share of the face that all placings of a spray layer leave open together; 1 is one whole face.

    Masks only cover. None where some piece, or what is cut out of it, is not known.
    """
    shares = [shop.cut_outs[name] for name in layer.stencils if name in shop.cut_outs]
    if not shares or len(shares) < len(layer.stencils) - sum(n in shop.masks for n in layer.stencils):
        return None
    if layer.placings > len(shares):
        return sum(shares) * layer.placings / len(shares)
    return min(float(layer.placings), sum(shares))


def drops_on(layer: Layer, area_cm2: float | None, cookies: int, shop: Shop) -> float:
    """Drops of each colour of a layer that end on the cookies: area x cut out x usual coverage."""
    from ..airbrush.run import DROPS_PER_CM2

    share = opened(layer, shop)
    if share is None:
        share = layer.placings * USUAL_CUT_OUT
    return cookies * (area_cm2 or 46.0) * share / max(1, len(layer.colours)) * DROPS_PER_CM2


def passes_of(
    layers: Sequence[Layer], line: LineSpec, cookies: int, shop: Shop, name: str = ""
) -> "tuple[Pass, ...]":
    """The passes of one run of a line, ids "<name>.<layer>.<colour>"; colours without a known paint are left
    out. Colours at one placing may go in any order; a layer comes after all of those below it.
    """
    from ..airbrush import Pass

    found, below = [], ()
    for number, layer in enumerate(layers):
        share = opened(layer, shop)
        share = layer.placings * USUAL_CUT_OUT if share is None else share
        each = share / max(1, len(layer.colours))
        mine = []
        for place, colour in enumerate(layer.colours):
            paint = paint_of(colour, shop)
            if paint is not None:
                mine.append(
                    Pass(f"{name}.{number}.{place}", name, paint, max(1, cookies), line.area_cm2,
                         min(1.0, each), max(1.0, each), below)
                )  # fmt: skip
        found += mine
        below = tuple(one.id for one in mine) or below
    return tuple(found)


def change_minutes(layers: Iterable[Layer], shop: Shop) -> float:
    """Minutes to clean between the colours of one run, in the order with the least of it.

    A colour without a known paint takes the shop's flat figure.
    """
    names = [tuple(layer.colours) for layer in layers]
    flat = shop_minutes(shop, "spray_change")
    every = dict.fromkeys(name for layer in names for name in layer)
    known = [tuple(p for name in layer if (p := paint_of(name, shop)) is not None) for layer in names]
    strange = sum(paint_of(name, shop) is None for name in every)
    some = any(known)
    least = _least(tuple(layer for layer in known if layer), shop.cleaning) if some else 0.0
    return least + flat * (strange if some else max(0, strange - 1))


@lru_cache(maxsize=4096)
def _least(layers: "tuple[tuple[Paint, ...], ...]", cleaning: "Cleaning | None") -> float:
    """Least cleaning of one design's layers, each after the one below it."""
    if len({paint for layer in layers for paint in layer}) < 2:
        return 0.0
    from ..airbrush import CLEANING, Pass, plan_run

    passes, below = [], ()
    for number, layer in enumerate(layers):
        mine = [Pass(f"{number}.{place}", "", paint, 1, after=below) for place, paint in enumerate(layer)]
        passes += mine
        below = tuple(one.id for one in mine)
    return plan_run(passes, cleaning or CLEANING).cleaning
