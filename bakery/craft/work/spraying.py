"""Spray runs as the airbrush sees them: passes, minutes to clean between them, drops."""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from .kinds import minutes_of, shop_minutes
from .spec import Layer, LineSpec, Shop

if TYPE_CHECKING:
    from ..airbrush import Cleaning, Paint, Pass, Ways

__all__ = [
    "USUAL_CUT_OUT",
    "batches_of",
    "change_minutes",
    "drops_on",
    "more_minutes",
    "opened",
    "paint_of",
    "passes_of",
]

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


def batches_of(
    layer: Layer, cookies: int, line: LineSpec, shop: Shop, at_a_time: int | None = None
) -> "Ways | None":
    """Colour by colour, or `at_a_time` cookies (as many as there are stencils) kept under theirs.

    None where there is nothing to choose: one colour, several placings, or a colour without a known paint.
    """
    paints = tuple(paint_of(name, shop) for name in layer.colours)
    if layer.placings > 1 or len(paints) < 2 or None in paints or cookies < 1:
        return None
    from ..airbrush import ways_of

    every = minutes_of(layer, line, shop)
    lay = min(every, shop_minutes(shop, "spray_lay"))
    changes, back = _round(paints, shop.cleaning)
    copies = at_a_time or min((shop.stencil_copies.get(name, 1) for name in layer.stencils), default=1)
    return ways_of(cookies, len(paints), lay, (every - lay) / len(paints), changes, back, max(1, copies))


def more_minutes(layers: Iterable[Layer], cookies: int, line: LineSpec, shop: Shop) -> float:
    """Minutes beyond one placing a cookie and one round of cleaning, for several colours at one placing: the
    stencil is laid again for each colour, or the rounds are cleaned again, whichever is shorter.
    """
    more = 0.0
    for layer in layers:
        ways = batches_of(layer, cookies, line, shop)
        if ways is not None:
            once = cookies * minutes_of(layer, line, shop) + _round_of(layer, shop)[0]
            more += max(0.0, min(ways.by_colour, ways.in_place) - once)
    return more


def _round_of(layer: Layer, shop: Shop) -> tuple[float, float]:
    return _round(tuple(paint_of(name, shop) for name in layer.colours), shop.cleaning)


@lru_cache(maxsize=4096)
def _round(paints: "tuple[Paint, ...]", cleaning: "Cleaning | None") -> tuple[float, float]:
    """Minutes to clean through these colours in their best order, and from the last back to the first."""
    from ..airbrush import CLEANING, Pass, clean_minutes, plan_run

    passes = [Pass(str(place), "", paint, 1) for place, paint in enumerate(paints)]
    run = plan_run(passes, cleaning or CLEANING)
    back = clean_minutes(run.steps[-1].paint, run.steps[0].paint, cleaning or CLEANING)
    return run.cleaning, round(back, 1)


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
