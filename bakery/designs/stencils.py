"""Stencil sets are named at first use: "Fern", or "Fern: background, mask"."""

from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.utils.text import slugify

from .models import StencilPiece, StencilSet

ROLES = {str(value): value for value in StencilPiece.Role.values}


@dataclass(frozen=True)
class Named:
    """What she wrote for one set."""

    name: str
    pieces: tuple[str, ...]


def read_stencils(text: str) -> tuple[Named, ...]:
    """One set a line, or parted by ";". Pieces follow a colon, parted by commas; none means the whole set."""
    found = []
    for line in text.replace(";", "\n").splitlines():
        name, _, rest = line.partition(":")
        name = " ".join(name.split())
        pieces = tuple(dict.fromkeys(" ".join(part.split()) for part in rest.split(",") if part.strip()))
        if not name and not pieces:
            continue
        found.append(Named(name, pieces))
    _check(found)
    return tuple(found)


def _check(found) -> None:
    for named in found:
        if not slugify(named.name):
            raise ValidationError({"stencil": "Give the stencil a name with letters or figures in it."})
        if len(named.name) > 60 or any(len(piece) > 60 for piece in named.pieces):
            raise ValidationError({"stencil": "A stencil's name has room for 60 letters."})
        if any(not slugify(piece) for piece in named.pieces):
            raise ValidationError({"stencil": "Give each piece a name with letters or figures in it."})


def pieces_of(named: Named) -> list[StencilPiece]:
    """The pieces meant; whatever is new is written down. Call inside a transaction."""
    found = StencilSet.objects.filter(name__iexact=named.name).first()
    stencil_set = found or StencilSet.objects.create(name=named.name)
    known = {piece.name.lower(): piece for piece in stencil_set.pieces.all()}
    if not named.pieces:
        return list(known.values()) or [_piece(stencil_set, "one piece")]
    return [known.get(name.lower()) or _piece(stencil_set, name) for name in named.pieces]


def _piece(stencil_set, name) -> StencilPiece:
    role = ROLES.get(name.lower(), StencilPiece.Role.BACKGROUND)
    piece = StencilPiece(stencil_set=stencil_set, name=name, role=role)
    piece.full_clean()
    piece.save()
    return piece


def written(pieces) -> str:
    """The pieces as she would write them."""
    sets: dict[str, list[str]] = {}
    for piece in pieces:
        sets.setdefault(piece.stencil_set.name, []).append(piece.name)
    return "; ".join(
        name if parts == ["one piece"] else f"{name}: {', '.join(parts)}" for name, parts in sets.items()
    )
