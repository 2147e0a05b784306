"""Every write to a design: one function, one transaction, safe to repeat."""

from dataclasses import dataclass
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max, ProtectedError
from django.utils.text import slugify

from .colours import light_first, refuse_what_cannot_be_sprayed
from .models import Design, Kind, Layer, LayerColour, Variation
from .numbering import next_number, pin_numbers
from .stencils import pieces_of, read_stencils

MOST_LAYERS = 20


@dataclass(frozen=True)
class LayerData:
    """One layer as she described it. Empty means: the usual."""

    kind: str
    colours: tuple = ()
    title: str = ""
    wait: str = ""
    stencil: str = ""
    minutes_per_cookie: Decimal | None = None
    grams_per_cookie: Decimal | None = None
    thickness_mm: Decimal | None = None
    dots: int | None = None
    placings: int = 1
    pieces: int = 1
    piece_width_mm: int | None = None
    piece_height_mm: int | None = None
    another_way: str = ""
    another_way_minutes: Decimal | None = None


@transaction.atomic
def make_design(*, name: str, kind: Kind, shape: str, motif: str = "", **more) -> Design:
    """A design from a kind; its layers can wait. The same again gives the one there is."""
    name = " ".join(name.split())
    twin = Design.objects.filter(name__iexact=name).first()
    if twin and (twin.kind_id, twin.shape) == (kind.pk, shape):
        return twin
    if twin:
        raise ValidationError({"name": f"There is already a design called {twin.name}."})
    design = Design(name=name, slug=_free_slug(name), kind=kind, shape=shape, motif=motif, **more)
    design.full_clean()
    design.save()
    return design


@transaction.atomic
def change_design(*, design: Design, **fields) -> Design:
    """Change what the design is called, how large it is, how it is drawn. Its address stays."""
    for field, value in fields.items():
        setattr(design, field, value)
    design.full_clean()
    design.save()
    return design


@transaction.atomic
def put_picture(*, design: Design, picture, said_from: str | None = None) -> Design:
    """A picture that gave the idea, or none; `said_from` says whose it is."""
    design = Design.objects.select_for_update().get(pk=design.pk)
    design.picture = picture
    if said_from:
        design.picture_from = said_from
    design.full_clean()
    design.save()
    return design


def _free_slug(name: str) -> str:
    stem = slugify(name)[:80] or "design"
    taken = set(Design.objects.filter(slug__startswith=stem).values_list("slug", flat=True))
    return next(slug for n in range(1, 10_000) if (slug := stem if n == 1 else f"{stem}-{n}") not in taken)


@transaction.atomic
def lay_out_usual_layers(*, design: Design) -> Design:
    """Write down the kind's own layers as the design's first ones; does nothing when it has some."""
    if design.layers.exists():
        return design
    from bakery.craft.work import LineSpec, default_layers

    for position, usual in enumerate(default_layers(LineSpec("new", "", design.kind.key, 1))):
        Layer(design=design, position=position, kind=usual.kind, wait=usual.wait, title=usual.title).save()
    return design


@transaction.atomic
def add_layer(*, design: Design, data: LayerData) -> Layer:
    """Put a layer on top of the others."""
    if design.layers.count() >= MOST_LAYERS:
        raise ValidationError({"kind": f"A design has room for {MOST_LAYERS} layers."})
    pin_numbers(design)
    top = design.layers.aggregate(top=Max("position"))["top"]
    return _write_layer(Layer(design=design, position=0 if top is None else top + 1), data)


@transaction.atomic
def change_layer(*, layer: Layer, data: LayerData) -> Layer:
    """Another kind is another layer to its jobs; everything else about it may change."""
    pin_numbers(layer.design)
    layer.number = Layer.objects.get(pk=layer.pk).number
    return _write_layer(layer, data)


def _write_layer(layer: Layer, data: LayerData) -> Layer:
    refuse_what_cannot_be_sprayed(kind=data.kind, colours=data.colours)
    named = read_stencils(data.stencil)
    fresh = not layer.number or layer.kind != data.kind
    plain = ("kind", "title", "wait", "minutes_per_cookie", "grams_per_cookie", "dots", "placings",
             "pieces", "piece_width_mm", "piece_height_mm", "another_way", "another_way_minutes")  # fmt: skip
    for field in plain:
        setattr(layer, field, getattr(data, field))
    if data.thickness_mm is not None:
        layer.thickness_mm = data.thickness_mm
    if fresh:
        layer.number = next_number(layer.design, layer.kind)
    layer.full_clean()
    layer.save()
    layer.stencils.set([piece for one in named for piece in pieces_of(one)])
    _write_colours(layer, data.colours)
    return layer


def _write_colours(layer: Layer, colours) -> None:
    before = [row.colour_id for row in layer.layer_colours.all()]
    if set(before) == {colour.pk for colour in colours}:
        return  # the same colours: the order she had stays
    layer.layer_colours.all().delete()
    rows = [LayerColour(layer=layer, colour=colour, position=at)
            for at, colour in enumerate(light_first(colours))]  # fmt: skip
    LayerColour.objects.bulk_create(rows)


@transaction.atomic
def move_layer(*, layer: Layer, by: int) -> Layer:
    """One place up (-1: goes on sooner) or down (+1); at either end nothing happens."""
    pin_numbers(layer.design)
    layers = list(Layer.objects.select_for_update().filter(design=layer.design_id).order_by("position"))
    at = next(n for n, other in enumerate(layers) if other.pk == layer.pk)
    to = at + (1 if by > 0 else -1)
    if 0 <= to < len(layers):
        _swap(layers[at], layers[to])
    return layer


def _swap(one: Layer, other: Layer) -> None:
    first, second, free = one.position, other.position, Layer.objects.filter(design=one.design_id)
    parked = (free.aggregate(top=Max("position"))["top"] or 0) + 1  # a position is never shared
    Layer.objects.filter(pk=one.pk).update(position=parked)
    Layer.objects.filter(pk=other.pk).update(position=first)
    Layer.objects.filter(pk=one.pk).update(position=second)
    one.position, other.position = second, first


@transaction.atomic
def remove_layer(*, design: Design, layer_id: int) -> None:
    """Take a layer off; one that is gone already stays gone."""
    pin_numbers(design)
    design.layers.filter(pk=layer_id).delete()


@transaction.atomic
def add_variation(*, design: Design, base, motif=None, detail=None) -> Variation:
    """The same design on another base colour; the same base again only changes its other colours."""
    if base.medium != base.Medium.ICING:
        raise ValidationError({"base": f"{base.name} is for the airbrush. A base is flooded with icing."})
    found = design.variations.filter(base=base).first()
    last = design.variations.aggregate(last=Max("position"))["last"]
    variation = found or Variation(design=design, base=base, position=0 if last is None else last + 1)
    variation.motif, variation.detail = motif, detail
    if motif and design.layers.filter(kind=Layer.Kind.SPRAY).exists():
        try:
            refuse_what_cannot_be_sprayed(kind=Layer.Kind.SPRAY, colours=[motif])
        except ValidationError as refused:
            raise ValidationError({"motif": refused.message_dict["colours"]}) from refused
    variation.full_clean()
    variation.save()
    return variation


@transaction.atomic
def remove_variation(*, design: Design, variation_id: int) -> None:
    try:
        design.variations.filter(pk=variation_id).delete()
    except ProtectedError as kept:
        raise ValidationError("An order was made with this base colour, so it stays.") from kept


@transaction.atomic
def set_put_away(*, design: Design, put_away: bool) -> Design:
    """Out of the list, never out of the orders that used it."""
    design.put_away = put_away
    design.save(update_fields=["put_away"])
    return design
