"""What the designs add to the shop that plans and prices are worked out from."""

from .models import Kind, StencilPiece


def kind_minutes() -> dict[str, float]:
    """Her own decorating minutes a cookie, of the kinds that she has put some in for."""
    own = Kind.objects.exclude(minutes=None)
    return {kind.key: float(kind.minutes) for kind in own}


def stencils() -> dict:
    """Of each stencil piece, by the name the core knows it by: copies she owns, share cut out, and whether it
    only covers. What nothing is cut out of is not known yet.
    """
    pieces = list(StencilPiece.objects.select_related("stencil_set"))
    named = [(piece.resource.removeprefix("stencil/"), piece) for piece in pieces]
    masks = frozenset(name for name, piece in named if piece.role == StencilPiece.Role.MASK)
    return {
        "stencil_copies": {name: piece.copies for name, piece in named},
        "cut_outs": {
            name: min(100, piece.cut_out_percent) / 100
            for name, piece in named
            if piece.cut_out_percent and name not in masks
        },
        "masks": masks,
    }
