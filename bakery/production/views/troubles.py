"""Bad nights: one press each, answered at once. Nothing moves before she takes it; each can be undone."""

from datetime import datetime, timedelta

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from bakery.orders.models import OrderLine
from bakery.stock.models import StockItem
from bakery.studio import adapters as studio
from bakery.studio.models import HoursChange
from bakery.studio.services import end_outage, forget_date

from .. import services, words
from ..forms import BrokeForm, HalfForm, ToolForm
from ..models import Setback
from ..queries.tools import outages_now, tools
from ..queries.wrong import wrong_view
from .sayings import note
from .tonight import keys_of

SOON = timedelta(days=21)
MOST_DAYS = 4
MORE_BY = 18
"""The hour of tomorrow by which more is bought, until she says otherwise."""


@require_POST
def evening_off(request):
    """No baking on that day, or those days; what was planned then needs another place."""
    days = sorted({day for text in request.POST.getlist("day")[:MOST_DAYS] if (day := day_of(text))})
    if not days:
        return redirect("tonight")
    return answered(services.day_off(days=days, now=timezone.now()))


@require_POST
def evening_on(request):
    """It is on after all."""
    day = day_of(request.POST.get("day", ""))
    said = (
        day
        and Setback.objects.filter(
            kind=Setback.Kind.OFF, undone_at=None, data__days=[day.isoformat()]
        ).first()
    )
    change = day and HoursChange.objects.filter(date=day, kind=HoursChange.Kind.OFF).first()
    if said:
        services.undo_setback(pk=said.pk, now=timezone.now())
    elif change:
        forget_date(pk=change.pk)
    if said or change:
        messages.info(request, f"{words.named_date(day, timezone.now())} has its usual hours again.")
    return redirect("tonight")


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def half_evening(request):
    """The session ends sooner: until when?"""
    now = timezone.now()
    day = day_of(request.POST.get("day") or request.GET.get("day", "")) or timezone.localdate(now)
    session = HalfForm.session_of(day)
    if session is None:
        messages.info(request, f"{words.named_date(day, now)} has no baking hours.")
        return redirect("tonight")
    form = HalfForm(request.POST if request.method == "POST" else None, session=session, now=now)
    if request.method == "POST" and form.is_valid():
        start = timezone.localtime(session.start).time()
        said = services.half_day(
            day=day, start=start, end=form.cleaned_data["until"], hands=session.hands, now=now
        )
        return answered(said)
    context = {"form": form, "day": day, "nav": "tonight", "nav_note": note(now)}
    return render(request, "production/half.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
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
        told = form.cleaned_data
        return answered(services.tool_is_out(resource=told["resource"], until=told["until"], now=now))
    context = {"form": form, "out": outages_now(now), "nav": "tonight", "nav_note": note(now)}
    return render(request, "production/tool_out.html", context)


@require_POST
def tool_back(request, pk):
    """It works again. What was said about it is taken back with it."""
    now = timezone.now()
    said = Setback.objects.filter(kind=Setback.Kind.TOOL, undone_at=None, data__outage=pk).first()
    if said:
        Setback.objects.filter(pk=said.pk).update(undone_at=now)
    end_outage(pk=pk, now=now)
    services.answer_now(reason="You said: it works again.", now=now)
    messages.info(request, "It works again.")
    return redirect("proposal")


@require_safe
@never_cache
def wrong(request):
    """What went wrong? Wet trays, broken cookies, what ran out, half an evening."""
    now = timezone.now()
    context = {"view": wrong_view(now), "nav": "tonight", "nav_note": note(now)}
    return render(request, "production/wrong.html", context)


@require_POST
def still_wet(request):
    """These trays are not dry yet."""
    said = services.still_wet(keys=keys_of(request), now=timezone.now())
    return answered(said) if said else redirect("tonight")


@require_POST
def broke(request):
    """So many broke."""
    now, form = timezone.now(), BrokeForm(request.POST)
    if not form.is_valid():
        messages.error(request, "How many broke? Give a whole number.")
        return redirect("wrong")
    line = OrderLine.objects.filter(pk=form.cleaned_data["line"]).select_related("order", "kind").first()
    if line is None or not line.order.is_planned:
        messages.info(request, "That order is not in the kitchen any more.")
        return redirect("wrong")
    return answered(services.broken(order=line.order, line=line, count=form.cleaned_data["broken"], now=now))


@require_POST
def ran_out(request):
    """This is out; what needs it waits until there is more, by default tomorrow evening."""
    now, pk = timezone.now(), request.POST.get("item", "")
    item = (
        StockItem.objects.filter(pk=int(pk)).first()
        if pk.isascii() and pk.isdigit() and len(pk) < 10
        else None
    )
    if item is None:
        return redirect("wrong")
    tomorrow = timezone.localdate(now) + timedelta(days=1)
    until = datetime(tomorrow.year, tomorrow.month, tomorrow.day, MORE_BY, tzinfo=studio.the_zone())
    return answered(services.ran_out(item=item, until=until, now=now))


def answered(said):
    """Work out the first answer to what was just said, and show it."""
    services.answer_now(reason=said.words)
    return redirect("answer", said.pk)


def day_of(text):
    """A day from today to three weeks ahead, else None."""
    try:
        day = parse_date(text[:10])
    except ValueError:
        return None
    today = timezone.localdate()
    return day if day and today <= day <= today + SOON else None
