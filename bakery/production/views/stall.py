"""The stall: what stands ready, what is out with her, and what it brought in."""

import uuid
from datetime import timedelta

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from bakery.orders import edits
from bakery.orders import queries as orders
from bakery.orders.pricing import money
from bakery.orders.text import plural
from bakery.stock import ahead_words
from bakery.stock import stall as service
from bakery.stock.models import StallDay
from bakery.studio.queries import the_studio

from ..stall.forms import BackForm, TakeForm
from ..stall.ready import can_put_down, put_order_down, show_looks, to_put_down

YEAR = timedelta(days=365)
SHOWN = 12


@require_GET
def stall(request):
    return _page(request)


def _page(request, *, status=200, take=None, back=None):
    today, now = timezone.localdate(), timezone.now()
    standing, out = service.standing(), service.days_out()
    past = service.stall_takings(today - YEAR, today)
    show_looks([one.item for one in standing] + [line.item for day in out for line in day.lines.all()])
    sign = the_studio().currency_sign
    backs = [back if back is not None and back.day.pk == day.pk else BackForm(day=day) for day in out]
    if back is not None and back.day.pk not in {day.pk for day in out}:
        backs.append(back)
    context = {
        "take": take or TakeForm(standing=standing),
        "backs": backs,
        "standing": [
            {"one": one, "until": ahead_words.until(one.item, now), "old": _old(one.item, today)}
            for one in standing
        ],
        "to_put_down": to_put_down(),
        "past": [_past(row, sign) for row in reversed(past[-SHOWN:])],
        "headline": _headline(standing, out),
        "lead": _lead(out, past, sign),
        "drawings": [one.item.drawing for one in standing][:3],
        "sign": sign,
    }
    return render(request, "production/stall.html", context, status=status)


def _old(item, today) -> bool:
    return bool(item.keeps_until and item.keeps_until < today)


def _headline(standing, out) -> str:
    if out:
        away = sum(line.taken for day in out for line in day.lines.all())
        return f"{plural(away, 'cookie')} {'is' if away == 1 else 'are'} out with you."
    left = sum(one.left for one in standing)
    return (
        f"{plural(left, 'cookie')} stand{'s' if left == 1 else ''} ready."
        if left
        else "Nothing stands ready."
    )


def _lead(out, past, sign) -> str:
    if out:
        return "When you are back, two numbers for each: sold, and brought back."
    if not past:
        return "What an order for the stall gave is put down here with one press."
    total = sum(row.money for row in past)
    return f"The stall took {money(total, sign)} in a year, over {plural(len(past), 'day')}."


def _past(row, sign) -> dict:
    gone = f", {row.missing} given away or broken" if row.missing else ""
    words = f"{row.sold} of {row.taken} sold, {row.back} brought back{gone}"
    return {"day": row.day, "words": words, "money": money(row.money, sign)}


@require_POST
def stall_put_down(request, number):
    """One press: an order made for stock is done, its cookies stand ready."""
    order = orders.order_by_number(number)
    if order is None:
        raise Http404
    if not can_put_down(order) and not service.put_down_already(line.key for line in order.lines.all()):
        messages.warning(request, "That order is not ready, or not made for stock.")
        return redirect("order", number=number)
    rows = put_order_down(order=order)
    messages.success(request, f"{plural(sum(row.quantity for row in rows), 'cookie')} stand ready.")
    return redirect("stall")


@require_POST
def stall_take(request):
    """What goes along. A press twice is one day out."""
    fields = edits.typed(request.POST)
    standing = service.standing()
    form = TakeForm(fields, standing=standing)
    token = fields.get("token", "")
    if _there(token):
        return redirect("stall")
    if not form.is_valid():
        return _page(request, status=422, take=form)
    said = form.cleaned_data
    try:
        service.take_along(
            token=said.get("token") or uuid.uuid4(),
            takes=form.takes(),
            on=said.get("on"),
            place=said.get("place") or "",
        )
    except ValidationError as wrong:
        return _page(request, status=422, take=_told(form, wrong))
    return redirect("stall")


def _there(token: str) -> bool:
    try:
        return StallDay.objects.filter(token=uuid.UUID(token)).exists()
    except ValueError:
        return False


def _told(form, wrong: ValidationError):
    said = wrong.message_dict if hasattr(wrong, "error_dict") else {None: wrong.messages}
    for name, sentences in said.items():
        form.add_error(name if name in form.fields else None, sentences)
    return form


@require_POST
def stall_back(request, pk):
    """Sold and brought back. Said anew it counts anew."""
    day = get_object_or_404(StallDay.objects.prefetch_related("lines__item"), pk=pk)
    form = BackForm(edits.typed(request.POST), day=day)
    if not form.is_valid():
        return _page(request, status=422, back=form)
    try:
        service.count_at_the_end(day=day, counts=form.counts())
    except ValidationError as wrong:
        return _page(request, status=422, back=_told(form, wrong))
    taken = sum(line.sold * line.price_each for line in day.lines.all().select_related(None))
    messages.success(
        request, f"Sold for {money(taken, the_studio().currency_sign)}; what came back stands ready again."
    )
    return redirect("stall")


@require_GET
def stall_day(request, pk):
    """A day that was counted, to be counted anew."""
    day = get_object_or_404(StallDay.objects.prefetch_related("lines__item"), pk=pk)
    return _page(request, back=BackForm(day=day))


@require_POST
def stall_not_taken(request, pk):
    """She stays at home after all."""
    day = StallDay.objects.filter(pk=pk).first()
    if day is not None and service.not_taken(day=day):
        messages.success(request, "Everything stands ready again.")
    return redirect("stall")
