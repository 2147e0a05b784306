"""The week as a picture, as a table, and in words."""

from django.http import Http404
from django.shortcuts import render
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from .. import services, words
from ..queries import freshness
from ..queries.tight import tight_words
from ..queries.week import week_view
from ..queries.week_why import why_now


@require_safe
@never_cache
def week(request):
    return render(request, "production/week.html", _context(request))


@require_safe
@never_cache
def week_table(request):
    """The same as a table; the page for those who cannot see the picture, and for paper."""
    return render(request, "production/week_table.html", _context(request, zooms=False))


@require_safe
@never_cache
def week_why(request):
    """The reason of one run alone, for a block of the picture that has focus."""
    why = why_now(_run(request), timezone.now())
    if why is None:
        raise Http404
    return render(request, "production/_week_why.html", {"why": why})


def _context(request, *, zooms: bool = True) -> dict:
    now = timezone.now()
    zoom = "day" if zooms and request.GET.get("zoom") == "day" else "week"
    view = week_view(now, first=_first(request), order=_order(request), zoom=zoom, run=_run(request))
    if view.working:
        services.ask_for_plan()
    tight = tight_words(freshness.wall(), now, most=3)
    return {"view": view, "tight": tight, "nav_note": words.day_month(now), "today": timezone.localdate(now)}


def _first(request):
    """The first day to show: within two years of today, else today."""
    try:
        day = parse_date(request.GET.get("from", "")[:10])
    except ValueError:
        return None
    return day if day and abs((day - timezone.localdate()).days) < 730 else None


def _run(request) -> str:
    return request.GET.get("run", "")[:80]


def _order(request):
    text = request.GET.get("order", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 8 else None
