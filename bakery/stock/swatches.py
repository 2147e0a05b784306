"""Sprayed swatches, and the bottles as the colour core wants them: rows -> core and back."""

from datetime import datetime, timedelta
from decimal import Decimal
from functools import lru_cache
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from bakery.studio.models import Picture

from .models import StockItem, Swatch

if TYPE_CHECKING:
    from bakery.craft.colour.calibration import Calibration
    from bakery.craft.colour.layer import Bottle

TWICE = timedelta(minutes=10)
MOST_DROPS = 500
NEWEST = 200
"""So many of the newest swatches count: each is fitted anew."""


@transaction.atomic
def add_swatch(*, drops: dict[StockItem, int], ground: str, coats, hex: str, wanted: str = "",
               photo: Picture | None = None, at: datetime | None = None) -> Swatch:  # fmt: skip
    """A sprayed patch and what it dried to. The same said twice within ten minutes is one swatch."""
    at = at or timezone.now()
    counts = {str(item.pk): int(count) for item, count in drops.items() if count}
    if not counts:
        raise ValidationError({"drops": "Which drops were in the cup? At least one."})
    if any(not 0 < count <= MOST_DROPS for count in counts.values()):
        raise ValidationError({"drops": f"A cup holds up to {MOST_DROPS} drops of a bottle."})
    if any(item.group != StockItem.Group.AIRBRUSH for item in drops):
        raise ValidationError({"drops": "A swatch is sprayed from airbrush bottles."})
    row = Swatch(drops=counts, ground=ground.lower(), coats=Decimal(str(coats)), hex=hex.lower(),
                 wanted=wanted.lower(), photo=photo, at=at)  # fmt: skip
    row.full_clean()
    recent = Swatch.objects.filter(at__gt=at - TWICE, hex=row.hex, ground=row.ground, coats=row.coats)
    for one in recent.order_by("-at")[:20]:
        if one.drops == counts and one.wanted == row.wanted:
            return one
    row.save()
    return row


@transaction.atomic
def refuse_swatch(*, swatch: Swatch, refused: bool) -> Swatch:
    """It counts no more, or again."""
    swatch = Swatch.objects.select_for_update().get(pk=swatch.pk)
    swatch.refused = refused
    swatch.save(update_fields=["refused"])
    return swatch


@transaction.atomic
def forget_bottle(*, item: StockItem) -> int:
    """A new bottle of another make: none of the swatches with it counts any more. How many those were."""
    mine = [row.pk for row in Swatch.objects.filter(refused=False) if str(item.pk) in row.drops]
    return Swatch.objects.filter(pk__in=mine).update(refused=True)


def kind_of(item: StockItem) -> str:
    """How it covers. What holds white scatters light whether she said so or not."""
    if item.hides == StockItem.Hides.DYE and item.shake_first:
        return StockItem.Hides.WHITE if _pale(item.hex) else StockItem.Hides.OPAQUE
    return item.hides


def _pale(shade: str) -> bool:
    return all(int(shade[at : at + 2], 16) > 225 for at in (1, 3, 5))


def airbrush_bottles() -> list[StockItem]:
    """All airbrush bottles, in one query."""
    return list(StockItem.objects.filter(group=StockItem.Group.AIRBRUSH))


def bottle_of(item: StockItem) -> "Bottle":
    """For the core; only for an item with a shade."""
    from bakery.craft.colour.layer import Bottle

    return Bottle(str(item.pk), item.name, item.hex.lower(), str(kind_of(item)), item.shimmer)


def swatch_of(row: Swatch):
    from bakery.craft.colour.calibration import Swatch as Sprayed

    drops = {key: float(count) for key, count in row.drops.items()}
    return Sprayed(drops, row.hex.lower(), row.ground.lower(), float(row.coats))


def swatches_that_count(bottles) -> list[Swatch]:
    """Not refused, of bottles that are all still known; oldest first, one query."""
    known = {str(item.pk) for item in bottles if item.hex}
    rows = Swatch.objects.filter(refused=False).order_by("-at", "-pk")[:NEWEST]
    return [row for row in reversed(rows) if _whole(row.drops) and set(row.drops) <= known]


def _whole(drops) -> bool:
    return (
        isinstance(drops, dict)
        and bool(drops)
        and all(isinstance(count, int | float) and count > 0 for count in drops.values())
    )


def learnt(bottles, rows) -> "Calibration":
    """The bottles refitted to the swatches. Kept until either changes: a fit takes some 50 ms."""
    shelf = tuple(bottle_of(item) for item in bottles if item.hex)
    data = tuple((tuple(sorted(row.drops.items())), row.hex, row.ground, float(row.coats)) for row in rows)
    return _learnt(shelf, data)


@lru_cache(maxsize=4)
def _learnt(shelf, data) -> "Calibration":
    from bakery.craft.colour.calibration import Swatch as Sprayed
    from bakery.craft.colour.calibration import calibrate

    swatches = [
        Sprayed(dict(drops), shade.lower(), ground.lower(), coats) for drops, shade, ground, coats in data
    ]
    return calibrate(shelf, swatches)
