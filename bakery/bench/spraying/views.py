"""The airbrush list, and what she timed at the sink."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from bakery.production import words
from bakery.stock import cleaning
from bakery.stock.models import CleaningTime

from .evening import evening_of, spray_days
from .forms import TookForm
from .timings import timings

FAR_DAYS = 365


@require_safe
@never_cache
def airbrush(request):
    return _page(request)


def _page(request, form=None, status=200):
    now = timezone.now()
    evening = evening_of(now, day=_day(request, now), cup=request.GET.get("cup", "")[:12])
    form = form or TookForm(initial=_pair(request, evening))
    context = {
        "evening": evening,
        "days": spray_days(now),
        "timings": timings(),
        "form": form,
        "nav_note": words.day_month(now),
    }
    return render(request, "bench/airbrush.html", context, status=status)


def _day(request, now):
    """A day within a year of today; None is the next one with something to spray."""
    try:
        day = parse_date(request.GET.get("day", "")[:10])
    except ValueError:
        return None
    return day if day and abs((day - timezone.localdate(now)).days) <= FAR_DAYS else None


def _pair(request, evening) -> dict:
    """The cleaning she means: the one she pressed at, else the first of the evening."""
    before, after = request.GET.get("before", ""), request.GET.get("after", "")
    if before.isdigit() and after.isdigit():
        return {"before": before[:12], "after": after[:12]}
    steps = [step for one in evening.sittings for step in one.fillings if step.cleans]
    return {"before": steps[0].before.pk, "after": steps[0].pk} if steps else {}


@require_POST
def cleaning_took(request):
    form = TookForm(request.POST)
    if not form.is_valid():
        return _page(request, form, status=422)
    said = form.cleaned_data
    cleaning.keep_timing(at=timezone.now(), **said)
    messages.success(
        request, f"{said['before']} then {said['after']}, {said['minutes']:f} min: kept. The minutes follow."
    )
    return redirect("airbrush")


@require_POST
def cleaning_counts(request, pk):
    """Leave one timing out, or let it count again."""
    row = get_object_or_404(CleaningTime, pk=pk)
    counts = request.POST.get("counts") == "yes"
    cleaning.count_timing(row=row, counts=counts)
    messages.success(request, "It counts again." if counts else "Left out. It is still in the list.")
    return redirect("airbrush")


@require_POST
def cleaning_usual(request):
    count = cleaning.leave_out_all()
    said = (
        "Back to the usual minutes; each timing can be counted again."
        if count
        else "Nothing counted as it was."
    )
    messages.success(request, said)
    return redirect("airbrush")
