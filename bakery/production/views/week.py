"""The week as a picture, as a table, and in words."""

from django.shortcuts import render
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from .. import services, words
from ..queries.week import week_view


@require_GET
@never_cache
def week(request):
    return render(request, "production/week.html", _context(request))


@require_GET
@never_cache
def week_table(request):
    """The same as a table; the page for those who cannot see the picture, and for paper."""
    return render(request, "production/week_table.html", _context(request))


def _context(request) -> dict:
    now = timezone.now()
    view = week_view(now, first=_first(request), order=_order(request))
    if view.working:
        services.ask_for_plan()
    return {"view": view, "nav_note": words.day_month(now), "today": timezone.localdate(now)}


def _first(request):
    """The first day to show: within two years of today, else today."""
    try:
        day = parse_date(request.GET.get("from", "")[:10])
    except ValueError:
        return None
    return day if day and abs((day - timezone.localdate()).days) < 730 else None


def _order(request):
    text = request.GET.get("order", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 8 else None
