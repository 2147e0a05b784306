"""What the designs add to the shop that plans and prices are worked out from."""

from .models import StencilPiece


def stencil_copies() -> dict[str, int]:
    """How many copies of each stencil piece she owns, by the planner's name for it."""
    return {piece.resource: piece.copies for piece in StencilPiece.objects.select_related("stencil_set")}
