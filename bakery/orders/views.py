"""Presses on the page of one order: each does one thing and goes back to the page."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from . import queries, services
from .edits import typed
from .errors import OrderError
from .models import State
from .quotes import make_quote, quote_to_book

STEPS = {
    "booked",
    "approved",
    "kitchen",
    "ready",
    "handed_over",
    "declined",
    "cancelled",
    "enquiry",
    "lapsed",
}


def _order(number):
    order = queries.order_by_number(number)
    if order is None:
        raise Http404
    return order


def _back(order, anchor=""):
    return redirect(reverse("order", args=[order.number]) + (f"#{anchor}" if anchor else ""))


@require_POST
def order_state(request, number):
    """Send it on, or back: booked, ready, handed over, cancelled …"""
    order, fields = _order(number), typed(request.POST)
    wanted = fields.get("state", "")
    if wanted not in STEPS:
        return _back(order)
    try:
        if wanted == State.BOOKED and order.state in (State.ENQUIRY, State.QUOTED, State.HELD, State.LAPSED):
            quote_to_book(order=order)
            services.book_with_deposit(order=order)
        else:
            services.set_state(order=order, state=wanted, note=fields.get("note", ""))
    except OrderError as error:
        messages.warning(request, str(error))
        return _back(order, "allergies")
    return _back(order)


@require_POST
def order_undo(request, number):
    """Back to the state before."""
    order = _order(number)
    try:
        if services.undo_state(order=order).state != order.state:
            messages.success(request, "Taken back: it stands where it stood before.")
    except OrderError as error:
        messages.warning(request, str(error))
    return _back(order)


@require_POST
def order_quote(request, number):
    """A quote of it as it stands now; the same again is the same quote."""
    order = _order(number)
    try:
        quote = make_quote(order=order)
    except OrderError as error:
        messages.warning(request, str(error))
        return _back(order, "allergies")
    messages.success(request, f"Quote {order.number}, version {quote.version}, is made.")
    return _back(order, "papers")


@require_POST
def order_hold(request, number):
    """Keep the date softly until the quote runs out."""
    from .quotes import open_until

    order = _order(number)
    try:
        services.hold(order=order, until=open_until(timezone.now()))
    except OrderError as error:
        messages.warning(request, str(error))
        return _back(order, "allergies")
    return _back(order)


@require_POST
def order_stage(request, number):
    """Where is it now: each line's stage."""
    order, fields = _order(number), typed(request.POST)
    known = {key for key, _ in type(order.lines.all()[0]).Stage.choices} if order.lines.all() else set()
    for line in order.lines.all():
        stage = fields.get(f"stage-{line.pk}", "")
        if stage in known:
            services.set_stage(line=line, stage=stage)
    messages.success(request, "Noted where it is now.")
    return _back(order)
