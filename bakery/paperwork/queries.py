"""Reads about papers."""

from datetime import date

from django.db.models import Max

from bakery.orders.models import Quote

from .models import Paper


def quote_of(number: int, version: int) -> Quote | None:
    return Quote.objects.select_related("order").filter(order__number=number, version=version).first()


def newest_version(order_id: int) -> int:
    return Quote.objects.filter(order_id=order_id).aggregate(most=Max("version"))["most"] or 0


def printed_day(day: date) -> Paper | None:
    """The day sheet as it was last printed."""
    return Paper.objects.filter(kind=Paper.Kind.DAY_SHEET, key=day.isoformat()).first()
