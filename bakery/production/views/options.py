"""Versions of one order side by side, for the customer to choose from; choosing one makes it the order."""

from __future__ import annotations

from dataclasses import replace

from django.contrib import messages
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from bakery.orders import edits, options, queries
from bakery.orders.errors import OrderError
from bakery.orders.models import Option
from bakery.orders.option_forms import VersionForm
from bakery.orders.versions import versions_of

from .. import promise
from ..queries.options_page import options_page

CHANGED = "This order was changed in another tab meanwhile. Look, then press again."


@require_http_methods(["GET", "HEAD", "POST"])
def order_options(request, number):
    """The page, and its presses: offer, change, take away, choose."""
    order = _order(number)
    if request.method != "POST":
        return _page(request, order)
    fields = edits.typed(request.POST)
    if not options.may_have_options(order):
        messages.warning(request, "It is booked: what was agreed stands. Change the order itself.")
        return redirect("order", number=number)
    try:
        return _press(request, order, fields)
    except OrderError as error:
        stale = hasattr(error, "order")
        messages.warning(request, CHANGED if stale else str(error))
        return redirect("order_options", number=number)


def _press(request, order, fields):
    if fields.get("beside"):  # from the page of the order or of its price
        options.offer(order=order, use=fields["beside"])
        return redirect("order_options", number=order.number)
    do, _, rest = fields.get("do", "").partition(":")
    key, _, use = rest.partition(":")
    if do == "offer":
        return _offer(request, order, fields)
    if do == "choose":
        return _choose(request, order, fields, key)
    if do not in ("change", "more", "drop", "again"):
        return redirect("order_options", number=order.number)
    option = _option(order, key)
    if do == "change":
        return _change(request, order, option, fields)
    if do == "more":
        options.change_option(option=option, use=use)
    elif do == "drop":
        options.put_away(option=option)
        messages.success(request, f"{option.title}: put away. It can be offered again below.")
    elif do == "again":
        _offer_again(order, option)
    return redirect("order_options", number=order.number)


def _offer(request, order, fields):
    form = VersionForm(fields, order=order, prefix="new")
    if not form.is_valid():
        return _page(request, order, {"new": form}, status=422)
    try:
        options.offer(order=order, quantities=form.quantities, title=form.cleaned_data["title"])
    except options.NoOption as error:
        form.add_error(form.counts[0].name, str(error))
        return _page(request, order, {"new": form}, status=422)
    return redirect("order_options", number=order.number)


def _change(request, order, option, fields):
    key = str(option.pk)
    form = VersionForm(fields, order=order, prefix=f"v{key}")
    if form.is_valid():
        try:
            said = form.cleaned_data["title"]
            title = "" if said == option.title else said
            options.change_option(option=option, quantities=form.quantities, title=title)
            return redirect("order_options", number=order.number)
        except options.NoOption as error:
            form.add_error(form.counts[0].name, str(error))
    return _page(request, order, {key: form}, status=422)


def _offer_again(order, option):
    option.order = order
    if len([one for one in order.options.all() if one.offered]) >= options.MOST_OPTIONS:
        raise options.NoOption("Two stand beside it already. Take one away first.")
    Option.objects.filter(pk=option.pk).update(offered=True)


def _choose(request, order, fields, key):
    option = None if key == "asked" else _option(order, key)
    revision = fields.get("revision", "")
    revision = int(revision) if revision.isascii() and revision.isdigit() and len(revision) < 10 else 0
    options.choose(order=order, option=option, revision=revision)
    what = option.title if option else "as asked"
    messages.success(request, f"They chose: {what}. The order is that now; what was asked is kept beside it.")
    return redirect("order", number=order.number)


@require_safe
def order_option_promise(request, number):
    """Whether one version fits, asked of the plan: the page fetches each alone."""
    order = _order(number)
    key = request.GET.get("version", "asked")[:12]
    found = versions_of(order)
    version = next((one for one in found if one.option and str(one.option.pk) == key), found[0])
    answer = promise.answer_to_version(order, version.data, version.spec, now=timezone.now())
    return render(request, "production/_option_promise.html", {"answer": answer})


def _page(request, order, forms=None, *, status=200):
    now = timezone.now()
    view = options_page(order, forms=forms)
    context = {"order": order, "view": view, "open": options.may_have_options(order),
               "ahead": order.hand_over_at > now, "nav": "order"}  # fmt: skip
    if request.GET.get("ask") and order.hand_over_at > now:
        found = versions_of(order)
        answers = [promise.answer_to_version(order, one.data, one.spec, now=now) for one in found]
        columns = zip(view.columns, answers, strict=True)
        context["view"] = replace(view, columns=[replace(one, promised=said) for one, said in columns])
    return render(request, "production/options.html", context, status=status)


def _order(number):
    order = queries.order_by_number(number)
    if order is None or not order.lines.all():
        raise Http404
    return order


def _option(order, key) -> Option:
    good = key.isascii() and key.isdigit() and len(key) < 12
    return get_object_or_404(Option.objects.filter(order=order), pk=int(key) if good else 0)
