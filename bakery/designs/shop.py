"""What the designs add to the shop that plans and prices are worked out from."""

from .models import StencilPiece


def stencil_copies() -> dict[str, int]:
    """How many copies of each stencil piece she owns, by the name the core knows it by."""
    return {
        piece.resource.removeprefix("stencil/"): piece.copies
        for piece in StencilPiece.objects.select_related("stencil_set")
    }
