"""Ways to make an order simpler, each with the minutes and the money it saves exactly, and what it loses.

A way is a code, as `made_simpler` takes it: `without.piped.1` (without the first piped layer),
`other.spray.1`, `colour.spray.1`, `dots.piped.2`, `colours`, `design`, `bases`, `plain`. Codes name layers,
not places, so that several can follow each other.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from ..work import KIND_TITLES, Layer, LineSpec, OrderSpec, Shop, layers_of
from ..work.spec import LAYER_WAITS
from .price import price_of
from .prices import Prices

__all__ = ["Simpler", "made_simpler", "simpler_titles", "simpler_ways", "without_layer"]

LOOKS = {
    "spray": "The cookie stays without what was sprayed on it.",
    "icing_pass": "Nothing stands raised on the cookie.",
    "piped": "The edge stays bare; the picture stands alone.",
    "lettering": "No words on the cookie.",
    "transfer": "The small pieces stuck on are missing.",
    "wafer": "The printed piece is missing.",
    "brush": "No painted tones.",
    "flood": "One flat section instead of two.",
}
OTHER_LOOKS = {
    "spray": "Flat colour with soft edges, nothing to feel.",
    "icing_pass": "Raised and crisp, in one colour.",
    "brush": "A dabbed, uneven tone.",
}
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
MOST_CODES = 20
Way = tuple[str, str, str, LineSpec]
"""Code, title, what it costs the look, and the line as it would be."""


@dataclass(frozen=True)
class Simpler:
    """One simplification: words for it, what it saves, what it costs the look, the order as it would be.

    `code` is what `made_simpler` takes, `lines` are the ids of the lines it changes; `line` is their first.
    """

    key: str
    line: str
    title: str
    minutes: int
    saves: Decimal
    order: OrderSpec
    look: str = ""
    code: str = ""
    lines: tuple[str, ...] = ()


def simpler_ways(
    order: OrderSpec, shop: Shop | None = None, prices: Prices | None = None, *, most: int = 6
) -> tuple[Simpler, ...]:
    """What would make it cheaper, at most `most`: the largest saving first, another kind of cookie last.

    Leaves off a layer that the kind does not ask for, uses fewer colours, dots or designs, puts base colours
    in the place of designs, or takes a layer's other way. Each saving is the difference of two whole prices,
    so it is exact. Lines of one design change together; `line` is then the first of them.
    """
    shop = shop or Shop()
    before = price_of(order, None, shop, prices)
    found = []
    for group in _alike(order):
        each = {line.id: {way[0]: way for way in _ways(line)} for line in group}
        for code, title, look, _ in each[group[0].id].values():
            changed = {line.id: each[line.id][code][3] for line in group if code in each[line.id]}
            other = replace(order, lines=tuple(changed.get(line.id, line) for line in order.lines))
            after = price_of(other, None, shop, prices)
            saves, minutes = before.total - after.total, before.minutes - after.minutes
            if saves > 0 or minutes > 0:
                name = group[0].id
                found.append(
                    Simpler(f"{name}.{code}", name, title, minutes, saves, other, look, code, tuple(changed))
                )
    return tuple(sorted(found, key=_modest_first)[:most])


def made_simpler(line: LineSpec, codes: Iterable[str]) -> LineSpec:
    """The line with these ways taken one after the other; one that is no way of it (any more) is left out."""
    for code in tuple(codes)[:MOST_CODES]:
        line = next((way[3] for way in _ways(line) if way[0] == code), line)
    return line


def simpler_titles(line: LineSpec, codes: Iterable[str]) -> tuple[str, ...]:
    """What taking these ways one after the other is called, those that are ways of the line."""
    found = []
    for code in tuple(codes)[:MOST_CODES]:
        way = next((way for way in _ways(line) if way[0] == code), None)
        if way:
            found.append(way[1])
            line = way[3]
    return tuple(found)


def _alike(order: OrderSpec) -> list[list[LineSpec]]:
    """Lines of one look on several base colours are made simpler together."""
    groups: dict[tuple, list[LineSpec]] = {}
    for line in order.lines:
        look = tuple((layer.kind, layer.title) for layer in line.layers)
        own = line.layers and not line.of_kind
        name = (line.kind, line.title, look) if own else (line.id,)
        groups.setdefault(name, []).append(line)
    return list(groups.values())


def without_layer(line: LineSpec, index: int) -> LineSpec:
    """The line without one of its layers. What follows then waits for what the left-off layer waited for.

    Raises IndexError for a layer that is not there, ValueError for the base.
    """
    layers = list(layers_of(line))
    if index == 0:
        raise ValueError("Without its base there is nothing to decorate.")
    gone = layers.pop(index)
    if index < len(layers):
        wait = max(layers[index].wait, gone.wait, key=LAYER_WAITS.index)
        layers[index] = replace(layers[index], wait=wait)
    return _laid(line, layers)


def _laid(line: LineSpec, layers) -> LineSpec:
    return replace(line, layers=tuple(layers), of_kind=line.of_kind or not line.layers)


def _modest_first(way: Simpler):
    return (way.key.endswith(".plain"), -way.saves, -way.minutes, way.key)


def _named(line: LineSpec) -> LineSpec:
    """The same line with every layer's number among its kind, so that a code goes on meaning the same one."""
    layers, counted = layers_of(line), {}
    if not all(layer.number for layer in layers):
        numbered = []
        for layer in layers:
            counted[layer.kind] = counted.get(layer.kind, 0) + 1
            numbered.append(replace(layer, number=counted[layer.kind]))
        layers = tuple(numbered)
    return _laid(line, layers)


def _asked_for(kind: str, layers) -> set[int]:
    """The layers above the base without which it would be another kind of cookie."""
    wanted = {
        "stencil": ("spray", "icing_pass"),
        "stencil_detail": ("spray", "icing_pass"),
        "two_colour": ("flood",),
    }
    kinds = (*wanted.get(kind, ()), "lettering")
    return {i for i, layer in enumerate(layers) if i and layer.kind in kinds and not layer.shading}


def _ways(line: LineSpec) -> Iterator[Way]:
    """Every way to make the line simpler, those that leave its layers alone first."""
    yield from _fewer_designs(line)
    undesigned = not line.layers or line.of_kind
    line = _named(line)
    layers = line.layers
    asked = _asked_for(line.kind, layers)
    for i, layer in enumerate(layers):
        name = f"{layer.kind}.{layer.number}"
        if layer.shading and i:
            look = "The picture is one flat tone, without its shadows."
            yield f"without.{name}", "No shading", look, without_layer(line, i)
        elif i and i not in asked:
            words = (layer.title or layer.kind.replace("_", " ")).lower()
            yield f"without.{name}", f"Leave off the {words}", LOOKS[layer.kind], without_layer(line, i)
        yield from _less_of(line, i, name)
        if layer.other_way is not None:
            other = replace(layer.other_way, number=layer.number)
            title = f"{other.title or other.kind.replace('_', ' ').capitalize()} instead"
            yield f"other.{name}", title, OTHER_LOOKS.get(other.kind, ""), _with(line, i, other)
    yield from _fewer_colours(line)
    if line.kind != "plain" and undesigned and len(layers) > 1:
        plain = replace(line, kind="plain", colours=1, names=0, layers=(), of_kind=False)
        yield "plain", f"{KIND_TITLES['plain']} instead", "One smooth colour, nothing on it.", plain


def _with(line: LineSpec, at: int, layer: Layer) -> LineSpec:
    return replace(line, layers=(*line.layers[:at], layer, *line.layers[at + 1 :]))


def _less_of(line: LineSpec, at: int, name: str) -> Iterator[Way]:
    """One spray colour fewer; half the dots."""
    layer = line.layers[at]
    if layer.kind == "spray" and len(layer.colours) > 1:
        gone = layer.colours[-1]
        missing = "One colour" if gone.startswith("colour ") else f"The {gone.lower()}"
        look = f"{missing} is missing; the picture has a tone fewer."
        fewer = replace(layer, colours=layer.colours[:-1])
        yield f"colour.{name}", "One spray colour fewer", look, _with(line, at, fewer)
    if layer.kind == "piped" and (layer.dots > 1 or layer.title.lower() in ("dots", "pearls")):
        title = f"{layer.dots // 2} dots for {layer.dots}" if layer.dots else "Half the dots"
        yield f"dots.{name}", title, "The row of dots is more open.", _with(line, at, _half(layer))


def _half(layer: Layer) -> Layer:
    """A layer with half its dots: counted ones take their own time, of others half the usual."""
    few = layer.dots // 2
    part = few / layer.dots if layer.dots else 0.5
    if layer.dots and layer.minutes_per_cookie is None:
        grams = layer.grams_per_cookie
        return replace(layer, dots=few, grams_per_cookie=None if grams is None else grams * part)
    return replace(layer, dots=few, share=layer.share * part)


def _fewer_colours(line: LineSpec) -> Iterator[Way]:
    """Two colours for five: the base and one more, on every layer. A second base colour counts as one."""
    layers = line.layers
    names = tuple(dict.fromkeys(colour for layer in layers for colour in layer.colours))
    least = 1 if line.kind == "plain" else 2
    if len(names) <= least + 1 or any(len(la.colours) > 1 for la in layers[:1] if la.kind == "flood"):
        return
    base, second = names[0], names[1]
    fewer = tuple(
        replace(
            layer, colours=tuple(dict.fromkeys(c if c in (base, second) else second for c in layer.colours))
        )
        for layer in layers
    )
    title = f"{_word(least).capitalize()} colours for {_word(len(names))}"
    kept = "two colours" if second.startswith("colour ") else f"{base.lower()} and {second.lower()}"
    look = f"Only {kept}: tone on tone, without the other {_word(len(names) - 2)}."
    yield "colours", title, look, replace(line, layers=fewer, colours=(base, second))


def _fewer_designs(line: LineSpec) -> Iterator[Way]:
    """One design fewer; or one design on as many base colours as there were designs."""
    if line.designs < 2:
        return
    yield (
        "design",
        "One design fewer",
        "The same picture comes back more often.",
        replace(line, designs=line.designs - 1),
    )
    bases = min(line.designs, line.quantity)
    layers = layers_of(line)
    if len(layers[0].colours) < 2 and layers[0].kind == "flood":
        base = layers[0].colours[:1] or ("white",)
        more = tuple(f"another base {i}" for i in range(2, bases + 1))
        laid = (replace(layers[0], colours=(*base, *more)), *layers[1:])
        title = f"One design on {_word(bases)} base colours"
        look = (
            f"{_word(bases).capitalize()} grounds with the same picture, in place of {_word(bases)} pictures."
        )
        yield "bases", title, look, replace(_laid(line, laid), designs=1)


def _word(number: int) -> str:
    return NUMBERS[number] if number < len(NUMBERS) else str(number)
