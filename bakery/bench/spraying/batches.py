"""Colour by colour, or some cookies at a time with the stencil left in place: which is shorter, in words."""

from dataclasses import dataclass
from math import ceil, isinf

from bakery.craft.work.spraying import batches_of
from bakery.production import words


@dataclass(frozen=True)
class Way:
    title: str
    minutes: str
    text: str
    best: bool = False


@dataclass(frozen=True)
class Batch:
    """The choice for one layer with several colours at one placing."""

    title: str
    ways: tuple[Way, ...]
    even: str


def batches(found) -> tuple[Batch, ...]:
    """One for each layer where there is a choice; `found` are Sprayed parts of runs."""
    return tuple(
        batch
        for one in found
        if one.line
        for layer in one.layers
        if (batch := batch_of(one, layer)) is not None
    )


def batch_of(one, layer) -> Batch | None:
    """The ways through the cookies of one layer, the shortest marked."""
    copies = min((one.shop.stencil_copies.get(name, 1) for name in layer.stencils), default=1)
    ways = batches_of(layer, one.cookies, one.line, one.shop, copies)
    if ways is None:
        return None
    sizes = dict.fromkeys(k for k in (copies, 1) if k <= one.cookies)
    rows = [("Colour by colour", ways.by_colour, _by_colour(layer))]
    for size in sizes:
        minutes = batches_of(layer, one.cookies, one.line, one.shop, size).in_place
        rows.append((_title(size), minutes, _in_place(size, one.cookies)))
    best = min(minutes for _, minutes, _ in rows)
    title = f"{one.line.title or 'Cookies'}, {words.small(layer.title or 'spray')}"
    return Batch(
        f"{title}: {words.listed(layer.colours)}",
        tuple(Way(title, words.length(minutes), text, minutes == best) for title, minutes, text in rows),
        _even(ways, copies, one.cookies),
    )


def _title(size: int) -> str:
    return "Cookie by cookie" if size == 1 else f"{words.capital(words.number_word(size))} cookies at a time"


def _by_colour(layer) -> str:
    if len(layer.colours) == 2:
        return "All cookies in one colour, clean, all in the other: the stencil is laid twice on each."
    return "All cookies in one colour, clean, then the next: the stencil is laid again for each colour."


def _in_place(size: int, cookies: int) -> str:
    rounds = ceil(cookies / size)
    kept = (
        "The stencil stays until all its colours are on"
        if size == 1
        else f"{size} stencils stay until all colours are on"
    )
    return f"{kept}; the airbrush is cleaned through {words.counted(rounds, 'round')}."


def _even(ways, copies: int, cookies: int) -> str:
    own = f"You own {words.counted(copies, 'copy', 'copies')}"
    if isinf(ways.break_even):
        return f"Laying the stencil costs nothing here, so colour by colour is never longer. {own}."
    least = ceil(ways.break_even + 1e-9)
    if least > cookies:
        return f"Colour by colour is shorter however many stencils there are. {own}."
    pays = "pays" if copies >= least else "would pay"
    count = words.counted(least, "copy", "copies")
    return f"Leaving the stencil in place {pays} from {count} laid at once. {own}."
