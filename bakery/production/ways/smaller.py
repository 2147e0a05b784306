"""Changes of the order itself: fewer colours, a plainer kind, fewer cookies."""

from __future__ import annotations

from dataclasses import replace

from bakery.craft.work import KIND_TITLES
from bakery.orders.data import OrderData
from bakery.orders.forms import USUAL_COLOURS

from .found import price_gap, way_of
from .kitchen import Kitchen

SIMPLER = {"very_detailed": ("stencil_detail", "two_colour", "plain"), "stencil_detail": ("stencil", "plain"),
           "lettered": (), "stencil": ("plain",), "two_colour": ("plain",)}  # fmt: skip
LESS = {
    ("stencil_detail", "stencil"): "without the dots",
    ("very_detailed", "stencil_detail"): "sprayed instead of drawn",
}
LEAST = {"plain": 1, "lettered": 2, "two_colour": 2, "stencil": 2, "stencil_detail": 2, "very_detailed": 2}
"""How many colours a kind cannot do without: its base, and what stands on it."""


def fewer_colours(kitchen: Kitchen, left):
    """One colour less on the line that has most, then two; a design keeps its colours."""
    lines = kitchen.data.lines
    free = [i for i, line in enumerate(lines) if line.design is None and line.colours > LEAST[line.kind]]
    for i in sorted(free, key=lambda i: -lines[i].quantity):
        for colours in range(lines[i].colours - 1, LEAST[lines[i].kind] - 1, -1):
            if left() <= 0:
                return
            data = with_line(kitchen.data, i, colours=colours)
            if fit := kitchen.fits(data):
                gone = lines[i].colours - colours
                words = f"{'One colour' if gone == 1 else f'{gone} colours'} fewer{_of(kitchen, i)}"
                yield way_of(fit, words=words, cost=price_gap(kitchen, data),
                             value=f"colours:{_number(kitchen, i)}={colours}")  # fmt: skip
                return


def plainer(kitchen: Kitchen, left):
    """The kind below: no embellishment."""
    lines = kitchen.data.lines
    for i in sorted(range(len(lines)), key=lambda i: -lines[i].quantity):
        for kind in SIMPLER.get(lines[i].kind, ()) if lines[i].stage == "nothing" else ():
            if left() <= 0:
                return
            colours = min(lines[i].colours, USUAL_COLOURS[kind])
            data = with_line(
                kitchen.data, i, kind=kind, design=None, variation=None, colours=colours, ways=()
            )
            if fit := kitchen.fits(data):
                less = LESS.get((lines[i].kind, kind), "plainer")
                yield way_of(fit, words=f"{KIND_TITLES[kind]} instead{_of(kitchen, i)}",
                             cost=price_gap(kitchen, data, look=less),
                             value=f"kind:{_number(kitchen, i)}={kind}")  # fmt: skip
                return


def fewer(kitchen: Kitchen, left):
    """The largest number of cookies that fits, on the line with most of them, found by halving."""
    lines = kitchen.data.lines
    i = max(range(len(lines)), key=lambda i: lines[i].quantity)
    low, high, best = 0, lines[i].quantity, None
    while high - low > 1 and left() > 0:
        count = (low + high) // 2
        if fit := kitchen.fits(with_line(kitchen.data, i, quantity=count), seconds=0.6):
            low, best = count, fit
        else:
            high = count
    if best is not None:
        yield way_of(best, words=f"Make {low}, not {lines[i].quantity}{_of(kitchen, i)}",
                     cost=price_gap(kitchen, best.data),
                     value=f"quantity:{_number(kitchen, i)}={low}")  # fmt: skip


def with_line(data: OrderData, index: int, **changes) -> OrderData:
    lines = list(data.lines)
    lines[index] = replace(lines[index], **changes)
    return replace(data, lines=tuple(lines))


def _of(kitchen: Kitchen, i: int) -> str:
    """`of the lettered`: which line, where there are several."""
    if len(kitchen.data.lines) == 1:
        return ""
    return f" for the {kitchen.data.lines[i].quantity} {KIND_TITLES[kitchen.data.lines[i].kind].lower()}"


def _number(kitchen: Kitchen, i: int) -> str:
    """The number of the line in the form."""
    return kitchen.numbers[i] if i < len(kitchen.numbers) else str(i)
