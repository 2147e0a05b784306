"""The weeks ahead: looked at, closed, opened again."""

from django.contrib import messages
from django.http import HttpResponseBadRequest
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from bakery.studio.weeks import FARTHEST, close_week, monday_of, open_week

from .. import words
from ..queries.ahead import ahead_view


@require_safe
@never_cache
def week_ahead(request):
    now = timezone.now()
    view = ahead_view(now, year=request.GET.get("how") == "year")
    return render(request, "production/week_ahead.html", {"view": view, "nav_note": words.day_month(now)})


@require_POST
def week_close(request):
    """Close one week, to more orders or to baking too; its orders stay what they are."""
    day = _day(request)
    if day is None:
        return HttpResponseBadRequest("Which week is meant cannot be read. Go back and choose it again.")
    away = request.POST.get("how") == "away"
    monday = close_week(day=day, away=away).monday
    what = "is closed: no baking" if away else "takes no more orders"
    after = "What was planned in it gets another place in the next proposal." if away else (
        "What is booked stays where it is.")  # fmt: skip
    messages.success(request, f"The week from {monday.day} {monday:%B} {what}. {after}")
    return redirect(_back(request))


@require_POST
def week_open(request):
    day = _day(request)
    if day is None:
        return HttpResponseBadRequest("Which week is meant cannot be read. Go back and choose it again.")
    open_week(day=day)
    monday = monday_of(day)
    messages.success(request, f"The week from {monday.day} {monday:%B} is open again.")
    return redirect(_back(request))


def _day(request):
    """The day that was sent, if it is one near enough to be meant."""
    try:
        day = parse_date(request.POST.get("week", "")[:10])
    except ValueError:
        return None
    return day if day and abs(day - timezone.localdate()) < FARTHEST else None


def _back(request) -> str:
    back = request.POST.get("back", "")
    own = url_has_allowed_host_and_scheme(back, allowed_hosts=None) and back.startswith("/")
    return back if own else reverse("week_ahead")
