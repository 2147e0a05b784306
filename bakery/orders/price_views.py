"""The page of one order's price: for her eyes, never a customer's."""

from django.http import Http404
from django.shortcuts import render
from django.views.decorators.http import require_safe

from . import queries
from .price_page import price_page


@require_safe
def order_price(request, number: int):
    order = queries.order_by_number(number)
    if order is None or not order.lines.all():
        raise Http404
    return render(request, "orders/price.html", {"order": order, "view": price_page(order)})
