"""Drying: the page, a reading in place, touches that do not count, a usual year."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from bakery.studio import services
from bakery.studio.forms import ReadingForm
from bakery.studio.models import Touch
from bakery.studio.queries import month_humidities
from bakery.studio.touches import refuse_touch, reset_air

from .forms import YearForm
from .page import AIRS, USUAL_MM, drying_view

READ_WRITE = require_http_methods(["GET", "HEAD", "POST"])
THINNEST, THICKEST = 0.5, 10.0


@READ_WRITE
@never_cache
def drying(request):
    """How long will it take now? Posted to, it keeps a reading."""
    form = ReadingForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        services.add_reading(**form.cleaned_data)
        messages.success(request, "The reading is kept; it counts for the next 36 hours.")
        return redirect("drying")
    wrong = bool(form.errors)
    return _page(request, form=form, reading_open=wrong, status=422 if wrong else 200)


def _page(request, *, form=None, year=None, reading_open=False, status=200):
    thickness, wrong = thickness_of(request.GET.get("mm", ""))
    air = request.GET.get("air", "")
    view = drying_view(timezone.now(), thickness=thickness, air=air if air in AIRS else "")
    context = {
        "view": view,
        "form": form or ReadingForm(),
        "year": year or YearForm(own=month_humidities()),
        "year_open": year is not None,
        "own_year": bool(month_humidities()),
        "reading_open": reading_open,
        "wrong": wrong,
        "chosen_air": air if air in AIRS else "",
        "nav": "tonight",
    }
    return render(request, "bench/drying.html", context, status=status)


def thickness_of(text: str) -> tuple[float, str]:
    """(millimetres, a sentence where that was no thickness)."""
    if not text:
        return USUAL_MM, ""
    try:
        asked = float(text[:12].replace(",", "."))
    except ValueError:
        return USUAL_MM, "Give the thickness as a number of millimetres, for example 2.5."
    if not THINNEST <= asked <= THICKEST:
        return USUAL_MM, "A coat is between half a millimetre and 10 mm thick; here are the usual 2.5 mm."
    return round(asked, 1), ""


@require_POST
def touch_refuse(request, pk: int):
    """It does not count; pressed again on a refused one, it counts after all."""
    refused = request.POST.get("refused") != "no"
    touch = refuse_touch(pk=pk, refused=refused) if pk < 2**62 else None
    if touch is not None:
        messages.info(request, "It does not count now." if refused else "It counts again.")
    return redirect("drying")


@require_POST
def air_reset(request):
    """Begin anew with one kind of air."""
    air = request.POST.get("air", "")
    count = reset_air(air=air) if air in Touch.Air.values else 0
    if count:
        messages.info(request, "Put aside: the book’s times hold again. Each touch can count again, below.")
    return redirect("drying")


@require_POST
def year(request):
    """Keep twelve percentages, or go back to ours."""
    if "ours" in request.POST:
        services.change_settings(values={"month_humidity": []}, reason="a usual year changed")
        return redirect("drying")
    form = YearForm(request.POST, own=month_humidities())
    if not form.is_valid():
        return _page(request, year=form, status=422)
    services.change_settings(values={"month_humidity": form.humidities()}, reason="a usual year changed")
    messages.success(request, "Kept: nights without a reading are reckoned with it.")
    return redirect("drying")
