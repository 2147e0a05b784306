"""Every write to a stencil set: what it is called and fits, its pieces, what is cut out of them."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.text import slugify

from bakery.studio.services import tell

from .models import StencilPiece, StencilSet

REASON = "the stencils"


@transaction.atomic
def keep_set(*, row: StencilSet | None = None, name: str, fits_width_mm=None, fits_height_mm=None,
             note: str = "") -> StencilSet:  # fmt: skip
    """Write a set down, or change it. A new one of a name that is there gives the one there is."""
    name = " ".join(name.split())
    if not slugify(name):
        raise ValidationError({"name": "Give the stencil a name with letters or figures in it."})
    twin = StencilSet.objects.filter(name__iexact=name).exclude(pk=row.pk if row else None).first()
    if twin and row is None:
        return twin
    if twin:
        raise ValidationError({"name": f"There is already a set called {twin.name}."})
    row = row or StencilSet()
    row.name, row.note = name, " ".join(note.split())
    row.fits_width_mm, row.fits_height_mm = fits_width_mm, fits_height_mm
    row.full_clean()
    row.save()
    tell(REASON)
    return row


@transaction.atomic
def keep_piece(*, stencil_set: StencilSet, row: StencilPiece | None = None, name: str, role: str, copies: int,
               cut_out_percent: int) -> StencilPiece:  # fmt: skip
    """Write a piece down, or change it; the name of a piece that designs are laid with stays."""
    name = " ".join(name.split())
    if not slugify(name):
        raise ValidationError({"name": "Give the piece a name with letters or figures in it."})
    twin = stencil_set.pieces.filter(name__iexact=name).exclude(pk=row.pk if row else None).first()
    if twin and row is None:
        row = twin
    elif twin:
        raise ValidationError({"name": f"This set has a piece called {twin.name} already."})
    row = row or StencilPiece(stencil_set=stencil_set)
    row.name, row.role, row.copies, row.cut_out_percent = name, role, copies, cut_out_percent
    row.full_clean()
    row.save()
    tell(REASON)
    return row


@transaction.atomic
def keep_cut_out(*, piece: StencilPiece, percent: int) -> None:
    """What a picture of the piece says is cut out of it."""
    if not 0 <= percent <= 100:
        raise ValidationError("A share lies from 0 to 100 %.")
    if (
        StencilPiece.objects.filter(pk=piece.pk)
        .exclude(cut_out_percent=percent)
        .update(cut_out_percent=percent)
    ):
        tell(REASON)
