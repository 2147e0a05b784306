"""Ways to make an order simpler, each with the minutes and the money it saves exactly."""

from dataclasses import dataclass, replace
from decimal import Decimal

from ..work import KIND_TITLES, LineSpec, OrderSpec, Shop, layers_of
from ..work.spec import LAYER_WAITS
from .price import price_of
from .prices import Prices

__all__ = ["Simpler", "simpler_ways", "without_layer"]


@dataclass(frozen=True)
class Simpler:
    """One simplification: words for it, what it saves, and the order as it would then be."""

    key: str
    line: str
    title: str
    minutes: int
    saves: Decimal
    order: OrderSpec


def simpler_ways(
    order: OrderSpec, shop: Shop | None = None, prices: Prices | None = None, *, most: int = 6
) -> tuple[Simpler, ...]:
    """What would make it cheaper, at most `most`: the largest saving first, another kind of cookie last.

    Leaves off a layer that the kind does not ask for, uses one spray colour or one design fewer, or takes a
    layer's other way. Each saving is the difference of two whole prices, so it is exact.
    """
    before = price_of(order, None, shop, prices)
    found = []
    for line in order.lines:
        for key, title, changed in _ways(line):
            other = replace(order, lines=tuple(changed if li.id == line.id else li for li in order.lines))
            after = price_of(other, None, shop, prices)
            saves, minutes = before.total - after.total, before.minutes - after.minutes
            if saves > 0 or minutes > 0:
                found.append(Simpler(f"{line.id}.{key}", line.id, title, minutes, saves, other))
    return tuple(sorted(found, key=_modest_first)[:most])


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
    return replace(line, layers=tuple(layers))


def _modest_first(way: Simpler):
    return (way.key.endswith(".plain"), -way.saves, -way.minutes, way.key)


def _asked_for(kind: str, layers) -> set[int]:
    """The layers above the base without which it would be another kind of cookie."""
    wanted = {
        "stencil": ("spray", "icing_pass"),
        "stencil_detail": ("spray", "icing_pass"),
        "two_colour": ("flood",),
    }
    kinds = (*wanted.get(kind, ()), "lettering")
    return {i for i, layer in enumerate(layers) if i and layer.kind in kinds}


def _ways(line: LineSpec):
    layers = layers_of(line)
    asked = _asked_for(line.kind, layers)
    for i, layer in enumerate(layers):
        if i and i not in asked:
            name = (layer.title or layer.kind.replace("_", " ")).lower()
            yield f"without.{i}", f"Leave off the {name}", without_layer(line, i)
        if layer.kind == "spray" and len(layer.colours) > 1:
            fewer = replace(layer, colours=layer.colours[:-1])
            yield (
                f"colour.{i}",
                "One spray colour fewer",
                replace(line, layers=(*layers[:i], fewer, *layers[i + 1 :])),
            )
        if layer.other_way is not None:
            other = layer.other_way
            title = f"{other.title or other.kind.replace('_', ' ').capitalize()} instead"
            yield f"other.{i}", title, replace(line, layers=(*layers[:i], other, *layers[i + 1 :]))
    if line.designs > 1:
        yield "design", "One design fewer", replace(line, designs=line.designs - 1)
    if line.kind != "plain" and not line.layers and len(layers) > 1:
        plain = replace(line, kind="plain", colours=1, names=0)
        yield "plain", f"{KIND_TITLES['plain']} instead", plain
