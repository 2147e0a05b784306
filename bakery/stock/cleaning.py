"""Timings of cleaning: kept, left out, counted again."""

from datetime import datetime, timedelta
from decimal import Decimal

from django.db import transaction

from bakery.studio.services import tell

from .models import CleaningTime, Colour

TWICE = timedelta(minutes=2)
"""The same words again so soon are the same timing, sent twice."""
REASON = "how long cleaning takes"


@transaction.atomic
def keep_timing(*, before: Colour, after: Colour, minutes: Decimal, at: datetime) -> CleaningTime:
    """Write down how long it took from one airbrush colour to the next."""
    said = {
        "before_hex": before.hex,
        "after_hex": after.hex,
        "before_drops": _drops(before),
        "after_drops": _drops(after),
        "minutes": minutes,
    }
    known = CleaningTime.objects.filter(at__gt=at - TWICE, at__lte=at + TWICE, minutes=minutes)
    for row in known:
        if all(getattr(row, name) == value for name, value in said.items()):
            return row
    row = CleaningTime(at=at, **said)
    row.full_clean()
    row.save()
    tell(REASON)
    return row


@transaction.atomic
def count_timing(*, row: CleaningTime, counts: bool) -> None:
    """Let a timing count, or leave it out."""
    if CleaningTime.objects.filter(pk=row.pk, refused=counts).update(refused=not counts):
        tell(REASON)


@transaction.atomic
def leave_out_all() -> int:
    """Back to the usual minutes; each timing can be counted again."""
    count = CleaningTime.objects.filter(refused=False).update(refused=True)
    if count:
        tell(REASON)
    return count


def _drops(colour: Colour) -> dict[str, float]:
    return {str(part.item_id): float(part.drops) for part in colour.parts.all() if part.drops}
