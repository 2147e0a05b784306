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
    one = Design.objects.filter(slug=slug).select_related("picture").defer("picture__jpeg")
    return with_layers(one).first()


def stencil_names() -> dict[str, str]:
    """Each piece in her words by the planner's name for it: "Fern", or "Ammonite, mask"."""
    pieces = StencilPiece.objects.select_related("stencil_set")
    return {piece.resource: piece_words(piece) for piece in pieces}


def piece_words(piece: StencilPiece) -> str:
    whole = piece.name.lower() in ("one piece", piece.stencil_set.name.lower())
    return piece.stencil_set.name if whole else f"{piece.stencil_set.name}, {piece.name}"


def last_quoted(design: Design) -> dict | None:
    """What one of them was quoted at last, and the hour's pay when the order was of this design alone."""
    line = design.lines.filter(order__quotes__isnull=False).order_by("-order__quotes__made_at").first()
    quote = line.order.quotes.order_by("-version").first() if line else None
    if quote is None:
        return None
    said = quote.snapshot
    priced = [row for row in said.get("lines", []) if row.get("each") and row["what"].startswith(design.name)]
    if not priced:
        return None
    alone = not line.order.lines.exclude(design=design).exists()
    return {"each": priced[0]["each"], "wage": said.get("hers", {}).get("pays", "") if alone else ""}


def kinds() -> QuerySet:
    return Kind.objects.all()


def colours() -> QuerySet:
    return Colour.objects.order_by("medium", "name")


def stencil_sets() -> QuerySet:
    return StencilSet.objects.prefetch_related("pieces")
