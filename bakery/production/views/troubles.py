"""Bad nights: the session is off, a tool is out. One press; the plan answers with a proposal."""

from datetime import timedelta

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from bakery.studio.models import HoursChange
from bakery.studio.services import change_date, end_outage, forget_date, report_outage

from .. import words
from ..forms import ToolForm
from ..queries.tools import outages_now, tools
from ..services import ask_for_plan
from .sayings import note

SOON = timedelta(days=21)


@require_POST
def evening_off(request):
    """No baking on that day; what was planned then needs another place."""
    day = _day(request)
    if day is None:
        return redirect("tonight")
    change_date(day=day, kind=HoursChange.Kind.OFF, reason="off")
    ask_for_plan(reason=f"You said: {day:%A} is off.")
    messages.info(request, f"{day:%A} is off. Nothing moves before you take it.", extra_tags="off")
    return redirect("proposal")


@require_POST
def evening_on(request):
    """It is on after all."""
    day = _day(request)
    change = day and HoursChange.objects.filter(date=day, kind=HoursChange.Kind.OFF).first()
    if change:
        forget_date(pk=change.pk)
        messages.info(request, f"{day:%A} has its usual hours again.")
    return redirect("tonight")


def _day(request):
    """A day from today to three weeks ahead, else None."""
    try:
        day = parse_date(request.POST.get("day", "")[:10])
    except ValueError:
        return None
    today = timezone.localdate()
    return day if day and today <= day <= today + SOON else None


@require_http_methods(["GET", "POST"])
@never_cache
def tool_out(request):
    """Which tool is out, and until when."""
    now = timezone.now()
    usual = timezone.localtime(now + timedelta(days=2)).replace(hour=18, minute=0)
    form = ToolForm(
        request.POST if request.method == "POST" else None,
        resources=tools(),
        now=now,
        initial={"until": usual, "resource": "airbrush"},
    )
    if request.method == "POST" and form.is_valid():
        report_outage(resource=form.cleaned_data["resource"], start=now.replace(second=0, microsecond=0),
                      end=form.cleaned_data["until"])  # fmt: skip
        until = words.day_and_time(form.cleaned_data["until"], now)
        tool = words.tool_name(form.cleaned_data["resource"])
        ask_for_plan(reason=f"You said: {tool} is out until {until}.")
        return redirect("proposal")
    context = {"form": form, "out": outages_now(now), "nav": "tonight", "nav_note": note(now)}
    return render(request, "production/tool_out.html", context)


@require_POST
def tool_back(request, pk):
    end_outage(pk=pk, now=timezone.now())
    ask_for_plan(reason="You said: it works again.")
    messages.info(request, "It works again.")
    return redirect("proposal")
