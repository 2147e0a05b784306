"""Designs in her words: layers, waits, stencils, another way."""

from .models import Design, Layer

WAIT_WORDS = {
    "outline_set": "Wait until the outline is set",
    "crusted": "Wait until crusted",
    "firm": "Wait until firm",
    "base_dry": "Wait until base dry",
    "wafer_dry": "Wait until dry for wafer paper",
    "dry_through": "Wait until dry through",
}
OTHER_WAY = {"spray": "sprayed", "icing": "icing through the stencil", "sponge": "with a sponge"}


def duration(minutes: float) -> str:
    """7 h 40, 45 min."""
    whole = round(minutes)
    return (
        f"{whole} min"
        if whole < 60
        else f"{whole // 60} h {whole % 60:02d}"
        if whole % 60
        else f"{whole // 60} h"
    )


def about(minutes: float) -> str:
    """A wait as one says it: to the half hour from three hours on, to five minutes below."""
    grain = 30 if minutes >= 180 else 5
    return duration(round(minutes / grain) * grain if minutes >= 5 else minutes)


def number(value) -> str:
    """A figure without needless noughts: 1.5, 2."""
    return f"{float(value):.2f}".rstrip("0").rstrip(".")


def layer_words(layer: Layer, colours) -> list[str]:
    """What a layer is made of, a line each: colours and amounts, then the minutes."""
    named = ", ".join(colour.name for colour in colours)
    parts = [named] if named else []
    if layer.kind == Layer.Kind.SPRAY:
        parts.append(f"airbrush, {'one pass' if layer.placings == 1 else f'{layer.placings} passes'}")
    if layer.dots:
        parts.append(f"{layer.dots} dots a cookie")
    if layer.kind == Layer.Kind.WAFER and layer.piece_width_mm and layer.piece_height_mm:
        each = f", {layer.pieces} a cookie" if layer.pieces > 1 else ""
        parts.append(f"{layer.piece_width_mm} x {layer.piece_height_mm} mm{each}")
    if layer.grams_per_cookie:
        parts.append(f"{number(layer.grams_per_cookie)} g")
    first = ", ".join(parts) or layer.get_kind_display()
    minutes = (
        f"{number(layer.minutes_per_cookie)} min a cookie" if layer.minutes_per_cookie is not None else ""
    )
    return [line for line in (first[0].upper() + first[1:], minutes) if line]


def waits_of(design: Design) -> dict[str, dict]:
    """Every wait in this room for the design's thickest coat: usually, and on a slow night."""
    from bakery.studio.adapters import drying

    floods = [float(layer.thickness_mm) for layer in design.layers.all() if layer.kind == Layer.Kind.FLOOD]
    spans = drying().at(max(floods, default=2.5)).waits
    return {
        name: {"usual": about(span.usual), "slow": about(span.slow), "never": span.never}
        for name, span in spans.items()
    }


def stencil_words(design: Design) -> list[dict]:
    """Each stencil set the design lies under, in a sentence or two."""
    sets: dict[int, list] = {}
    for layer in design.layers.all():
        for piece in layer.stencils.all():
            known = sets.setdefault(piece.stencil_set_id, [])
            if piece not in known:
                known.append(piece)
    return [{"title": _set_title(pieces), "text": _set_text(pieces)} for pieces in sets.values()]


def _set_title(pieces) -> str:
    count = ("one piece", "two pieces", "three pieces", "four pieces")
    said = count[len(pieces) - 1] if len(pieces) <= len(count) else f"{len(pieces)} pieces"
    return f"{pieces[0].stencil_set.name}, {said}."


def _set_text(pieces) -> str:
    own = pieces[0].stencil_set
    copies = min(piece.copies for piece in pieces)
    said = ["One copy" if copies == 1 else f"{copies} copies"]
    if len(pieces) == 1:
        said.append(f"about {pieces[0].cut_out_percent} % cut out")
    else:
        said.append(", ".join(f"{piece.name} {piece.cut_out_percent} % cut out" for piece in pieces))
    if own.fits_width_mm and own.fits_height_mm:
        said.append(f"fits a baked {own.fits_width_mm} by {own.fits_height_mm} mm")
    return f"{', '.join(said)}. {own.note}".strip()


def by_hand(layer: Layer) -> str:
    """The other way in words, with what it costs in minutes where both are known."""
    title = (layer.title or layer.get_kind_display()).lower()
    way = OTHER_WAY[layer.another_way]
    said = f"{title} {way}"
    here, there = layer.minutes_per_cookie, layer.another_way_minutes
    if here is not None and there is not None and there != here:
        more = "more" if there > here else "less"
        said += f", {number(abs(there - here))} min {more} each"
    elif there is not None:
        said += f", {number(there)} min each"
    return said + (" and one more night to dry" if layer.another_way == "icing" else "")


__all__ = ["WAIT_WORDS", "by_hand", "duration", "layer_words", "number", "stencil_words", "waits_of"]
