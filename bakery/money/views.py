"""Money: the page, its tables, and its three presses."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from bakery.background.services import enqueue
from bakery.craft.earning import whole_pence
from bakery.orders import services as orders
from bakery.orders.models import Order, Payment
from bakery.orders.pricing import money as said
from bakery.stock.lists.csv_out import csv_stream
from bakery.studio.queries import the_studio

from . import pace, queries, services, words
from .page import money_page, orders_view, span_of
from .tables import TABLES, table


@require_safe
def money(request):
    """What the hours paid. A few new orders are added up at once; many are the worker's, and that is said."""
    waiting = services.catch_up()
    if waiting:
        enqueue("money_sums")
    now = timezone.now()
    span = span_of(request.GET.get("of", ""), timezone.localdate(now))
    return render(request, "money/money.html", money_page(span, now=now, waiting=waiting))


@require_safe
def money_orders(request):
    """What each order paid."""
    services.catch_up()
    span = span_of(request.GET.get("of", ""), timezone.localdate())
    least = request.GET.get("first") != "new"
    page = request.GET.get("page", "1")[:8].replace("\x00", "")
    return render(request, "money/orders.html", orders_view(span, least_first=least, page=page))


@require_safe
def money_table(request, name):
    """The same as a table for a spreadsheet."""
    if name not in TABLES:
        raise Http404
    services.catch_up()
    span = span_of(request.GET.get("of", ""), timezone.localdate())
    return csv_stream(f"{name}-{span.key or 'last-twelve-months'}", table(name, span))


@require_POST
def money_paid(request, number):
    """The balance came: recorded as paid today. Pressed twice, it came once."""
    order = Order.objects.filter(number=number).first()
    if order is None:
        raise Http404
    amount = _amount(request.POST.get("amount", ""))
    services.add_up(orders=[order.pk])
    row = queries.sum_of(order)
    sign = the_studio().currency_sign
    if amount is None or row is None or whole_pence(amount) != row.owed:
        messages.warning(request, "That balance has changed meanwhile. Look, then press again.")
        return redirect(_owed())
    try:
        orders.record_payment(
            order=order, what=Payment.What.BALANCE, amount=amount, on=timezone.localdate(), note=""
        )
    except ValidationError as wrong:
        messages.warning(request, " ".join(wrong.messages))
        return redirect(_owed())
    messages.success(request, f"{said(amount, sign)} recorded for {order.title}.")
    return redirect(_owed())


def _owed() -> str:
    return f"{reverse('money')}#owed"


def _amount(text: str) -> Decimal | None:
    try:
        amount = Decimal(text[:20])
    except InvalidOperation:
        return None
    return amount if amount.is_finite() and 0 < amount < 10_000_000 else None


@require_POST
def money_payment_back(request, pk):
    """A payment recorded by mistake."""
    order = services.take_payment_back(pk=pk)
    if order is not None:
        messages.success(request, f"That payment of {order.title} is gone again.")
    return redirect(f"{reverse('money')}#payments")


@require_POST
def money_use(request, work):
    """Her minutes become what the clock says."""
    found = {one.work: one for one in queries.paces(timezone.localdate())}
    one = found.get(work)
    if work not in pace.OPERATIONS or one is None:
        messages.warning(request, "There is nothing to take over there.")
        return redirect(f"{reverse('money')}#pace")
    seen = request.POST.get("seen", "0")
    seen = int(seen) if seen.isascii() and seen.isdigit() and len(seen) < 12 else 0
    factor = Decimal(one.factor.numerator) / Decimal(one.factor.denominator)
    try:
        pace.use_pace(work=work, factor=factor, rests_on=one.orders, seen=seen)
    except ValueError:
        messages.warning(request, "That is too far off to be the work itself; nothing was changed.")
        return redirect(f"{reverse('money')}#pace")
    messages.success(
        request, f"{words.WORKS[work]} is planned and priced at {words.times(factor)} times from now on."
    )
    return redirect(f"{reverse('money')}#pace")


@require_POST
def money_use_undo(request, pk):
    """As it was before."""
    found = pace.undo_pace(pk=pk)
    if found is not None:
        messages.success(request, f"{words.WORKS[found.work]} takes the minutes from before again.")
    return redirect(f"{reverse('money')}#pace")
