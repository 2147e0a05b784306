"""Designs as the core and the drawings want them: rows to frozen layers, rows to a picture's parts."""

from .models import Design, Kind, Layer, Variation

# What a layer needs from those below when she has said nothing.
USUAL_WAIT = {
    Layer.Kind.FLOOD: Layer.Wait.CRUSTED,
    Layer.Kind.SPRAY: Layer.Wait.BASE_DRY,
    Layer.Kind.ICING_PASS: Layer.Wait.BASE_DRY,
    Layer.Kind.PIPED: Layer.Wait.FIRM,
    Layer.Kind.LETTERING: Layer.Wait.BASE_DRY,
    Layer.Kind.TRANSFER: Layer.Wait.FIRM,
    Layer.Kind.WAFER: Layer.Wait.WAFER_DRY,
    Layer.Kind.BRUSH: Layer.Wait.BASE_DRY,
}
LAID_FLAT = (Layer.Kind.SPRAY, Layer.Kind.ICING_PASS, Layer.Kind.BRUSH)
OTHER_KIND = {"spray": "spray", "icing": "icing_pass", "sponge": "brush"}
ON_TOP = (Layer.Kind.PIPED, Layer.Kind.LETTERING, Layer.Kind.TRANSFER, Layer.Kind.WAFER)

# Pictures of the six kinds before any design exists: layer kinds, each with a shade that shows it well.
BARE, BONE, SAGE, SLATE, LEAF, OCHRE, WHITE, INK = (
    "", "#f1e8d3", "#adbb9d", "#5d708a", "#2c4a2a", "#c99a45", "#fdfcf6", "#26435a",
)  # fmt: skip
KIND_PICTURES = {
    "plain": ("round", "", (("flood", SAGE),)),
    "two_colour": ("round", "waves", (("flood", BONE), ("flood", SLATE))),
    "stencil": ("plaque", "fern", (("flood", SAGE), ("spray", LEAF))),
    "stencil_detail": ("plaque", "fern", (("flood", SAGE), ("spray", LEAF), ("piped", WHITE))),
    "lettered": ("card", "", (("flood", BONE), ("lettering", INK))),
    "very_detailed": ("round", "ammonite", (("flood", SLATE), ("spray", BONE), ("piped", WHITE),
                                            ("piped", OCHRE))),
}  # fmt: skip


def usual_wait(kind: str, below: str | None) -> str:
    """The wait a layer needs when she has said nothing; `below` is the kind of the layer right under it."""
    if below is None:
        return ""
    if kind == below == Layer.Kind.SPRAY or (
        kind in ON_TOP and below in (Layer.Kind.SPRAY, Layer.Kind.BRUSH)
    ):
        return ""  # what is below was dry already, and sprayed colour is dry to the touch in minutes
    return USUAL_WAIT[kind]


def colours_of(layer: Layer, variation: Variation | None, *, first_flood: bool) -> list:
    """The layer's colours in order; a variation swaps the first of each role."""
    colours = [row.colour for row in layer.layer_colours.all()]
    if variation is None:
        return colours
    swapped = None
    if first_flood:
        swapped = variation.base
    elif layer.kind in LAID_FLAT:
        swapped = variation.motif
    elif layer.kind in ON_TOP:
        swapped = variation.detail
    return [swapped, *colours[1:]] if swapped else colours


def coloured_layers(design: Design, variation: Variation | None = None) -> list:
    """Pairs of layer and colours, bottom first."""
    pairs, flooded = [], False
    for layer in design.layers.all():
        first_flood = layer.kind == Layer.Kind.FLOOD and not flooded
        flooded = flooded or first_flood
        pairs.append((layer, colours_of(layer, variation, first_flood=first_flood)))
    return pairs


def layers_of(design: Design, variation: Variation | None = None) -> tuple:
    """The design as the core's layers; none at all means: take the kind's own."""
    below, found = None, []
    for layer, colours in coloured_layers(design, variation):
        found.append(_core_layer(layer, colours, layer.wait or usual_wait(layer.kind, below)))
        below = layer.kind
    return tuple(found)


def _core_layer(layer: Layer, colours, wait: str):
    from bakery.craft.work import Layer as CoreLayer

    plain = {
        "colours": tuple(colour.name for colour in colours),
        "wait": wait,
        "stencils": tuple(piece.resource for piece in layer.stencils.all()),
        "placings": layer.placings,
        "title": layer.title or layer.get_kind_display().capitalize(),
    }
    other = None
    if layer.another_way:
        minutes = _number(layer.another_way_minutes)
        other = CoreLayer(kind=OTHER_KIND[layer.another_way], minutes_per_cookie=minutes, **plain)
    return CoreLayer(
        kind=layer.kind,
        minutes_per_cookie=_number(layer.minutes_per_cookie),
        grams_per_cookie=_number(layer.grams_per_cookie),
        thickness_mm=float(layer.thickness_mm),
        other_way=other,
        **plain,
    )


def drawing_of(
    design: Design, variation: Variation | None = None, *, stage: int | None = None, text: str = ""
) -> dict:
    """What `bakery.drawing.cookie` needs. `stage` is the number of layers already on; None is all of them."""
    pairs = coloured_layers(design, variation)
    if not pairs:
        drawn = drawing_of_kind(design.kind, shape=design.shape, stage=stage, text=text or design.text)
        return _rebased(drawn, variation)
    layers = [
        {
            "kind": layer.kind,
            "hexes": tuple(colour.hex for colour in colours),
            "motif": design.motif if layer.kind in LAID_FLAT else "",
            "dots": layer.dots or 0,
        }
        for layer, colours in pairs
    ]
    return {
        "shape": design.shape,
        "layers": tuple(layers),
        "text": text or design.text,
        "stage": stage,
    }


def drawing_of_kind(kind: Kind | str, *, shape: str = "", stage: int | None = None, text: str = "") -> dict:
    """A picture of a kind of cookie that nobody has designed yet."""
    key = kind if isinstance(kind, str) else kind.key
    own_shape, motif, shades = KIND_PICTURES.get(key, KIND_PICTURES["plain"])
    layers = tuple(
        {"kind": layer, "hexes": (shade,), "motif": motif if layer == "spray" or motif == "waves" else "",
         "dots": 14 if layer == "piped" else 0}
        for layer, shade in shades
    )  # fmt: skip
    if key == "lettered" and not text:
        text = "Una"
    return {"shape": shape or own_shape, "layers": layers, "text": text, "stage": stage}


def _rebased(drawn: dict, variation: Variation | None) -> dict:
    if variation is None:
        return drawn
    first, *rest = drawn["layers"]
    return drawn | {"layers": ({**first, "hexes": (variation.base.hex,)}, *rest)}


def _number(value) -> float | None:
    return None if value is None else float(value)
