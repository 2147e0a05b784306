"""The colour book's writes: a named shade with what it is mixed from, and what a bottle is like."""

from dataclasses import dataclass
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction

from bakery.studio.models import Picture
from bakery.studio.services import tell

from .models import Colour, ColourPart, StockItem
from .services import refuse_thick_parts

MOST_PARTS = 8


@dataclass(frozen=True)
class Part:
    """So many drops of a bottle, or so many grams of a paste, in 100 g of icing or in one airbrush cup."""

    item: StockItem
    drops: Decimal = Decimal(0)
    grams: Decimal | None = None


@transaction.atomic
def save_colour(*, colour: Colour | None = None, name: str, medium: str, hex: str, parts=(),
                rest_hours: int = 0, note: str = "") -> Colour:  # fmt: skip
    """A new colour, or this one as it is now; `parts` replace those there were. Saying it again changes
    nothing. A new one may not have the name of another in its medium.
    """
    parts = list(parts)
    _check(medium, parts)
    colour = Colour.objects.select_for_update().get(pk=colour.pk) if colour else Colour(medium=medium)
    name = " ".join(name.split())
    twin = Colour.objects.filter(name__iexact=name, medium=medium).exclude(pk=colour.pk).first()
    if twin and (colour.pk or not _same(twin, hex, parts)):
        raise ValidationError({"name": f"{twin.name} is in the book already. Give this one its own name."})
    colour = twin or colour
    colour.name, colour.hex = name, hex.lower()
    colour.rest_hours, colour.note = rest_hours, " ".join(note.split())
    colour.full_clean()
    colour.save()
    known = {part.item_id: part for part in colour.parts.all()}
    for said in parts:
        part = known.pop(said.item.pk, None) or ColourPart(colour=colour, item=said.item)
        part.drops, part.grams = said.drops, said.grams
        part.full_clean()
        part.save()
    ColourPart.objects.filter(pk__in=[part.pk for part in known.values()]).delete()
    if medium == Colour.Medium.AIRBRUSH:
        tell("the airbrush colours")  # shade and drops say how long cleaning between them takes
    return colour


def _check(medium: str, parts) -> None:
    if len(parts) > MOST_PARTS:
        raise ValidationError({"parts": f"A colour has up to {MOST_PARTS} parts."})
    if len({said.item.pk for said in parts}) < len(parts):
        raise ValidationError({"parts": "One bottle is there twice. Put its drops together."})
    for said in parts:
        refuse_thick_parts(medium=medium, item=said.item)
        if not said.drops and not said.grams:
            raise ValidationError({"parts": f"How much of {said.item.name}? Drops, or grams."})


def _same(colour: Colour, shade: str, parts) -> bool:
    kept = {(part.item_id, part.drops, part.grams) for part in colour.parts.all()}
    return colour.hex == shade.lower() and kept == {(one.item.pk, one.drops, one.grams) for one in parts}


@transaction.atomic
def put_colour_away(*, colour: Colour, put_away: bool) -> Colour:
    """Out of the lists to pick from; what was made with it keeps it."""
    colour = Colour.objects.select_for_update().get(pk=colour.pk)
    colour.put_away = put_away
    colour.save(update_fields=["put_away"])
    return colour


@transaction.atomic
def keep_photo(*, colour: Colour, when: str, picture: Picture | None) -> Colour:
    """How it looked, `when` mixed or dry."""
    if when not in ("mixed", "dry"):
        raise ValidationError("Say whether the photo is of the fresh colour or of the dry one.")
    colour = Colour.objects.select_for_update().get(pk=colour.pk)
    setattr(colour, f"photo_{when}", picture)
    colour.save(update_fields=[f"photo_{when}"])
    return colour


@transaction.atomic
def describe_bottle(*, item: StockItem, hex: str, hides: str, shimmer: bool, drops_per_ml, shake_first: bool,
                    alcohol: bool) -> StockItem:  # fmt: skip
    """How a bottle of airbrush colour behaves: its dried swatch, whether it covers, its drops."""
    item = StockItem.objects.select_for_update().get(pk=item.pk)
    item.hex, item.hides, item.shimmer = hex.lower(), hides, shimmer
    item.drops_per_ml, item.shake_first, item.alcohol = drops_per_ml, shake_first, alcohol
    item.full_clean()
    item.save()
    return item
