"""What the designs add to the shop that plans and prices are worked out from."""

from .models import Kind, StencilPiece


def kind_minutes() -> dict[str, float]:
    """Her own decorating minutes a cookie, of the kinds that she has put some in for."""
    own = Kind.objects.exclude(minutes=None)
    return {kind.key: float(kind.minutes) for kind in own}


def stencil_copies() -> dict[str, int]:
    """How many copies of each stencil piece she owns, by the name the core knows it by."""
    return {
        piece.resource.removeprefix("stencil/"): piece.copies
        for piece in StencilPiece.objects.select_related("stencil_set")
    }
