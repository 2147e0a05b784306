"""Designs as the core and the drawings want them: rows to frozen layers, rows to a picture's parts."""

from dataclasses import asdict, replace

from .models import Design, Kind, Layer, StencilPiece, Variation

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

SAMPLE_NAME = "Una"


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
    if swapped is None or swapped in colours:
        return colours
    return [swapped, *colours[1:]]


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
    below, found, pairs = None, [], coloured_layers(design, variation)
    numbered = all(layer.number for layer, _ in pairs)
    for layer, colours in pairs:
        core = _core_layer(layer, colours, layer.wait or usual_wait(layer.kind, below))
        found.append(replace(core, number=layer.number) if numbered else core)
        below = layer.kind
    return tuple(found)


def layers_over_bases(design: Design) -> tuple:
    """The layers of an order that takes every base colour alike: the first flood parts the cookies."""
    variations = list(design.variations.all())
    if len(variations) < 2 or not design.layers.all():
        return layers_of(design, variations[0] if variations else None)
    each = [layers_of(design, variation) for variation in variations]
    return tuple(
        replace(same[0], colours=tuple(dict.fromkeys(colour for layer in same for colour in layer.colours)))
        for same in zip(*each, strict=True)
    )


def _core_layer(layer: Layer, colours, wait: str):
    from bakery.craft.work import Layer as CoreLayer

    plain = {
        "colours": tuple(colour.name for colour in colours),
        "wait": wait,
        "stencils": tuple(piece.resource.removeprefix("stencil/") for piece in layer.stencils.all()),
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
        dots=layer.dots or 0,
        shading=_only_shades(layer),
        pieces=layer.pieces,
        piece_mm=_piece_of(layer),
        **plain,
    )


def _piece_of(layer: Layer) -> tuple[float, float] | None:
    """Width and height of its wafer pieces, mm, where she has given both."""
    both = layer.piece_width_mm and layer.piece_height_mm
    return (float(layer.piece_width_mm), float(layer.piece_height_mm)) if both else None


def _only_shades(layer: Layer) -> bool:
    """True where every stencil of the layer is a shading piece: what it shades is there without it."""
    pieces = list(layer.stencils.all())
    return bool(pieces) and all(piece.role == StencilPiece.Role.SHADING for piece in pieces)


def drawing_of(
    design: Design, variation: Variation | None = None, *, stage: str | None = None, text: str = "",
    upto: int | None = None, made: tuple = (),
) -> dict:  # fmt: skip
    """What `bakery.drawing.cookie` needs: the finished cookie, or with only its first `upto` layers on it.

    `made` are the core's layers of a line that was made simpler: others are not drawn.
    """
    pairs = coloured_layers(design, variation)
    if made and pairs:
        pairs = _still_there(pairs, made)
    if not pairs:
        spec = drawing_of_kind(design.kind, shape=design.shape, text=text or design.text)
        if design.motif:
            spec["motif"] = design.motif
        if variation:
            spec |= _variation_colours(variation, spec)
        return spec | ({"stage": stage} if stage else {})
    on = pairs if upto is None else pairs[:upto]
    spec = {"shape": design.shape, "base": "", "motif": "", "stage": "done"}
    for layer, colours in on:
        _draw_layer(spec, design, layer, [colour.hex for colour in colours], text)
    if not on:
        spec["stage"] = "blank"
    elif upto is not None and on[-1][0].kind == Layer.Kind.FLOOD and len(on) == 1:
        spec["stage"] = "wet"
    return spec | ({"stage": stage} if stage else {})


def _still_there(pairs: list, made: tuple) -> list:
    """The pairs whose layer is still among the core's, with the colours it still has."""
    left = {(layer.kind, layer.number): layer for layer in made}
    counted, found = {}, []
    for layer, colours in pairs:
        counted[layer.kind] = counted.get(layer.kind, 0) + 1
        number = layer.number or counted[layer.kind]
        core = left.get((layer.kind, number)) or left.get((OTHER_KIND.get(layer.another_way), number))
        if core is not None:
            found.append((layer, [colour for colour in colours if colour.name in core.colours] or colours))
    return found


def rows_still_there(design: Design, made: tuple) -> list[Layer]:
    """The rows of a design whose layers are still among the core's of a line made simpler, bottom first."""
    return [layer for layer, _ in _still_there(coloured_layers(design), made)]


def _draw_layer(spec: dict, design: Design, layer: Layer, shades: list[str], text: str) -> None:
    """Add what one more layer shows."""
    first = shades[0] if shades else ""
    if layer.kind == Layer.Kind.FLOOD:
        _draw_flood(spec, design, first)
    elif layer.kind in LAID_FLAT and design.motif:
        _draw_motif(spec, design, shades, text)
    elif layer.kind == Layer.Kind.PIPED:
        spec["dots" if layer.dots else "frame"] = first
    elif layer.kind in (Layer.Kind.LETTERING, Layer.Kind.TRANSFER):
        sample = SAMPLE_NAME if layer.kind == Layer.Kind.LETTERING else ""
        spec["text"], spec["text_colour"] = text or design.text or sample, first


def _draw_flood(spec: dict, design: Design, shade: str) -> None:
    if not spec["base"]:
        spec["base"] = shade
    else:  # a second flood is a section of its own
        spec["motif"], spec["motif_colour"] = design.motif or "waves", shade


def _draw_motif(spec: dict, design: Design, shades: list[str], text: str) -> None:
    first = shades[0] if shades else ""
    if spec["motif"]:
        spec["motif_2"] = spec.get("motif_2") or spec["motif_colour"]
        spec["motif_colour"] = first
    else:
        spec["motif"], spec["motif_colour"] = design.motif, shades[-1] if len(shades) > 1 else first
        if len(shades) > 1:
            spec["motif_2"] = shades[0]
    if design.motif == "monogram":
        spec["text"] = text or design.text


def drawing_of_kind(kind: Kind | str, *, shape: str = "", text: str = "", made: tuple = ()) -> dict:
    """A picture of a kind of cookie that nobody has designed yet; of `made` layers only, where given."""
    from bakery.drawing.cookies import KINDS

    key = kind if isinstance(kind, str) else kind.key
    spec = asdict(KINDS.get(key, KINDS["plain"]))
    if shape:
        spec["shape"] = shape
    if text:
        spec["text"] = text
    return _kind_made(spec, made) if made else spec


def _kind_made(spec: dict, made: tuple) -> dict:
    """A kind's picture without the piped work it lost, and in two colours where no more are left."""
    kinds = [layer.kind for layer in made]
    if "piped" not in kinds:
        spec |= {"dots": "", "frame": ""}
    if all(len(layer.colours) < 2 for layer in made if layer.kind == "spray"):
        spec["motif_2"] = spec["motif_colour"]
    return spec


def _variation_colours(variation: Variation, spec: dict) -> dict:
    """A variation's shades on a picture that has no layers of its own."""
    shades = {"base": variation.base.hex}
    if variation.motif:
        shades["motif_colour"] = variation.motif.hex
    if variation.detail:
        shades |= {part: variation.detail.hex for part in ("dots", "frame") if spec[part]}
        shades["text_colour"] = variation.detail.hex
    return shades


def _number(value) -> float | None:
    return None if value is None else float(value)
