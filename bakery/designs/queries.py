"""Reads about designs, each with a bounded number of queries."""

from django.db.models import Prefetch, QuerySet

from bakery.stock.models import Colour

from .models import Design, Kind, LayerColour, StencilPiece, StencilSet, Variation


def with_layers(designs: QuerySet | None = None) -> QuerySet:
    """Designs with all that drawings and the core need, in seven queries however many there are."""
    designs = Design.objects.all() if designs is None else designs
    return designs.select_related("kind").prefetch_related(
        "layers",
        Prefetch("layers__layer_colours", LayerColour.objects.select_related("colour")),
        Prefetch("layers__stencils", StencilPiece.objects.select_related("stencil_set")),
        Prefetch("variations", Variation.objects.select_related("base", "motif", "detail")),
    )


def designs_in_use() -> QuerySet:
    return with_layers(Design.objects.filter(put_away=False))


def designs_put_away() -> QuerySet:
    return with_layers(Design.objects.filter(put_away=True))


def design_by_slug(slug: str) -> Design | None:
    return with_layers(Design.objects.filter(slug=slug)).first()


def kinds() -> QuerySet:
    return Kind.objects.all()


def colours() -> QuerySet:
    return Colour.objects.order_by("medium", "name")


def stencil_sets() -> QuerySet:
    return StencilSet.objects.prefetch_related("pieces")
