"""The page of one order's price, and what would make it cheaper: for her eyes, never a customer's."""

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from . import options, queries
from .adapters import order_spec
from .edits import typed
from .errors import OrderError
from .price_page import MOST_WAYS, price_page
from .pricing import house, money, priced, savings_of
from .simpler import make_simpler


def _order(number: int):
    order = queries.order_by_number(number)
    if order is None or not order.lines.all():
        raise Http404
    return order


@require_safe
def order_price(request, number: int):
    order = _order(number)
    context = {"order": order, "view": price_page(order), "may_offer": options.may_have_options(order)}
    return render(request, "orders/price.html", context)


@require_safe
def order_cheaper(request, number: int):
    """What would make it cheaper, alone: the page of the order fetches it when asked."""
    from bakery.studio.queries import the_studio

    order = _order(number)
    savings = savings_of(order_spec(order), *house(), the_studio().currency_sign, most=MOST_WAYS)
    context = {"order": order, "savings": savings, "may_offer": options.may_have_options(order)}
    return render(request, "orders/_cheaper.html", context)


@require_POST
def order_simpler(request, number: int):
    """Take one of them, or put it back as it was asked for."""
    from bakery.studio.queries import the_studio

    order, fields = _order(number), typed(request.POST)
    revision = fields.get("revision", "")
    revision = int(revision) if revision.isascii() and revision.isdigit() and len(revision) < 10 else 0
    before, sign = priced(order_spec(order)).total, the_studio().currency_sign
    if not order.is_open:
        messages.warning(request, "This order is closed; make it again to change it.")
        return redirect("order", number=number)
    try:
        make_simpler(order=order, revision=revision, use=fields.get("use", ""))
    except OrderError:
        messages.warning(request, "This order was changed in another tab meanwhile. Look, then press again.")
        return redirect("order", number=number)
    total = priced(order_spec(_order(number))).total
    if total == before:
        messages.success(request, "It costs what it did.")
    else:
        less = f"{money(abs(before - total), sign)} {'less' if total < before else 'more'}"
        messages.success(request, f"By the sum it is {money(total, sign)} now, {less}.{_then(order)}")
    return redirect("order", number=number)


def _then(order) -> str:
    if order.own_price is not None:
        return " Your own price stays what you said."
    return " A fresh quote tells them." if order.quotes.all() else ""
