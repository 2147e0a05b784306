"""How much of everything: for tonight, a day, a week, an order."""

from django.http import Http404
from django.shortcuts import render
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from bakery.orders.queries import order_by_number

from .. import amounts, words
from ..queries.howmuch import headline

FAR_DAYS = 730


@require_safe
@never_cache
def how_much(request):
    now = timezone.now()
    chosen = _chosen(request, now)
    cupboard = amounts.cupboard()
    need = chosen.amounts(cupboard)
    answer, meaning = headline(chosen, need)
    context = {
        "chosen": chosen,
        "groups": amounts.groups_of(need, cupboard),
        "answer": answer,
        "meaning": meaning,
        "nav_note": words.day_month(now),
        "asked": "order" if chosen.order else request.GET.get("for", "tonight"),
        "today": timezone.localdate(now),
    }
    return render(request, "production/howmuch.html", context)


def _chosen(request, now):
    """Tonight unless something else is asked for in a way that can be read."""
    asked = request.GET.get("for", "")
    if asked == "order" or (not asked and request.GET.get("order")):
        number = request.GET.get("order", "")
        if not (number.isascii() and number.isdigit() and len(number) < 8):
            raise Http404
        order = order_by_number(int(number))
        if order is None:
            raise Http404
        return amounts.for_order(order, now)
    if asked == "day":
        return amounts.for_day(_day(request, now), now)
    if asked == "week":
        return amounts.for_week(now, _day(request, now))
    return amounts.for_tonight(now)


def _day(request, now):
    """A day within two years of today, else today."""
    today = timezone.localdate(now)
    try:
        day = parse_date(request.GET.get("day", "")[:10])
    except ValueError:
        return today
    return day if day and abs((day - today).days) <= FAR_DAYS else today
