"""New order, the live answer beside it, and the same form for an order that is changed."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bakery.designs.queries import design_by_slug
from bakery.orders import edits, queries, services
from bakery.orders.compare import differing
from bakery.orders.errors import AllergyNotAsked, OrderChangedMeanwhile, OrderError
from bakery.orders.forms import OrderForm, initial_of
from bakery.orders.models import State
from bakery.orders.quotes import make_quote
from bakery.orders.rows import data_of
from bakery.orders.text import clean

from .. import promise

SAVING = ("quote", "keep", "book", "decline", "save")
NEEDS_ALLERGIES = {"quote": "making a quote", "book": "booking"}
JUST_NOW = timedelta(minutes=15)


@require_http_methods(["GET", "POST"])
def new_order(request):
    """Take an order: in her customer's words, or field by field."""
    if request.method == "GET":
        form = OrderForm(initial=_first_values(request))
        return _page(request, form, _bound_of(form))
    fields = edits.typed(request.POST)
    if fields.get("do") in SAVING:
        return _take(request, fields)
    return _edited(request, fields)


@require_http_methods(["GET", "POST"])
def order_change(request, number):
    """The same form for an order that is there already."""
    order = _order(number)
    if request.method == "GET":
        form = OrderForm(initial=initial_of(data_of(order), revision=order.revision), order=order)
        return _page(request, form, _bound_of(form), order=order)
    fields = edits.typed(request.POST)
    if fields.get("do") in SAVING:
        return _change(request, fields, order)
    return _edited(request, fields, order)


@require_POST
def order_answer(request, number=None):
    """The answer alone, while she types."""
    order = _order(number) if number else None
    bound = OrderForm(edits.typed(request.POST), order=order)
    bound.full_clean()
    return render(request, "production/_answer.html", _answer(request, bound, order) | {"live": True})


@require_http_methods(["GET", "POST"])
def order_like(request):
    """Designs and earlier orders to copy from."""
    words = clean((request.POST if request.method == "POST" else request.GET).get("like", ""))
    designs, orders = queries.like_that_one(words)
    return render(request, "production/_like.html", {"designs": designs, "orders": orders, "like": words})


@require_GET
def order_again(request, number):
    """Make it again: the form, filled from that order, with the day still open."""
    return redirect(f"/orders/new/?again={int(number)}")


def _order(number):
    order = queries.order_by_number(number)
    if order is None:
        raise Http404
    return order


def _first_values(request) -> dict:
    """What the form opens with: empty, an earlier order made again, or a design."""
    again = request.GET.get("again", "")
    order = queries.order_by_number(int(again)) if again.isascii() and again.isdigit() and len(again) < 9 else None
    if order:
        data = services.again_data(order=order, hand_over_at=timezone.now())
        return initial_of(data) | {"hand_over": "", "hand_over_shown": "", "again": order.number}
    design = design_by_slug(clean(request.GET.get("design", ""))[:90])
    fields = edits.like_design({}, design) if design else {}
    import uuid

    lines = list(edits.lines_of(fields).values()) or [{}]
    return {"token": uuid.uuid4(), "lines": lines, "way": "collected"}


def _bound_of(form: OrderForm) -> OrderForm:
    """The same values, read: what the answer is worked out from."""
    fields = {bound.html_name: bound.value() for bound in form}
    for line in form.lines:
        fields |= {bound.html_name: bound.value() for bound in line}
    plain = {name: form.fields[name].prepare_value(value) if hasattr(form.fields.get(name), "prepare_value") else value
             for name, value in fields.items()}  # fmt: skip
    bound = OrderForm({name: str(value) for name, value in plain.items() if value not in (None, "")}, order=form.order)
    bound.full_clean()
    return bound


def _edited(request, fields, order=None):
    """One of the small buttons: the form comes back changed, with its answer; nothing is complained about yet."""
    do, said = fields.get("do", ""), []
    what, _, value = do.partition(":")
    if what == "add":
        fields = edits.add_line(fields)
    elif what == "drop" and value.isascii() and value.isdigit():
        fields = edits.drop_line(fields, int(value[:4]))
    elif what == "kind":
        fields = edits.press_kind(fields, value)
    elif what == "read":
        fields, said = edits.read_words(fields, now=timezone.now())
    elif what == "use":
        fields = edits.take_change(fields, value)
    elif what in ("like_design", "like_order"):
        fields = _like(fields, what, value)
    form = edits.unbound(fields, order)
    bound = OrderForm(fields, order=order)
    bound.full_clean()
    return _page(request, form, bound, order=order, said=said, do=what)


def _like(fields, what, value):
    number = int(value) if value.isascii() and value.isdigit() and len(value) < 9 else 0
    if what == "like_order":
        order = queries.order_by_number(number)
        return edits.like_order(fields, order) if order else fields
    from bakery.designs.models import Design
    from bakery.designs.queries import with_layers

    design = with_layers(Design.objects.filter(pk=number)).first()
    return edits.like_design(fields, design) if design else fields


def _take(request, fields):
    """A real press of Quote, Keep, Book or Decline. Whatever happens, one form makes one order."""
    form, do = OrderForm(fields), fields["do"]
    if not _good(form, do):
        return _page(request, form, form, refused=True)
    data, token = form.order_data(), form.cleaned_data.get("token") or _token_of(fields)
    there = queries.order_by_token(token)
    if there is not None and services.settled(data, data_of(there)) != data_of(there):
        return _already(request, fields, there)
    twin = None if there else _twin(data, token)
    if twin and form.cleaned_data.get("anyway") != "yes":
        form.asks["hand_over"] = (
            f"The same was taken a moment ago as order {twin.number}. Is this another one? If not, close this page."
        )
        return _page(request, form, form, refused=True)
    order = there or services.take_order(token=token, data=data, made_again_from=_again(fields))
    return _after(request, order, do)


def _good(form: OrderForm, do: str) -> bool:
    """Whether the form may be saved that way; else the sentences stand beside their fields."""
    fine = form.is_valid()
    if fine and do in NEEDS_ALLERGIES and form.cleaned_data["allergy_state"] == "not_asked":
        if form.cleaned_data["way"] != "stall":
            form.add_error("allergy_state", str(AllergyNotAsked(NEEDS_ALLERGIES[do])))
            return False
    return fine and not form.needs_a_nod


def _token_of(fields):
    """A form whose token was lost still makes one order: its own words are the token."""
    import json
    import uuid

    plain = {key: value for key, value in fields.items() if key not in ("do", "anyway")}
    return uuid.uuid5(uuid.NAMESPACE_OID, json.dumps(plain, sort_keys=True) + f"{timezone.localdate()}")


def _twin(data, token):
    return queries.twin_of(
        who=data.who, title=data.title, hand_over_at=data.hand_over_at, since=timezone.now() - JUST_NOW, token=token,
        quantity=data.quantity,
    )  # fmt: skip


def _again(fields):
    again = fields.get("again", "")
    return queries.order_by_number(int(again)) if again.isascii() and again.isdigit() and len(again) < 9 else None


def _already(request, fields, order):
    """Pressed again after going back and changing something: the order is there, the changes wait to be saved."""
    messages.warning(request, f"This was already taken as order {order.number}. Save to keep what you changed since.")
    form = OrderForm(fields | {"revision": str(order.revision)}, order=order)
    form.full_clean()
    return _page(request, form, form, order=order, action=f"/orders/{order.number}/change/")


def _after(request, order, do):
    """What the pressed button does once the order is kept."""
    try:
        if do == "decline":
            services.decline(order=order)
        elif do in ("quote", "book"):
            make_quote(order=order)
            if do == "book" or order.deposit_paid:
                services.book_with_deposit(order=order)
        if do == "keep" and order.state == State.ENQUIRY:
            messages.success(request, f"Kept as order {order.number}.")
    except OrderError as error:
        messages.warning(request, str(error))
    return redirect("order", number=order.number)


def _change(request, fields, order):
    form = OrderForm(fields, order=order)
    if not form.is_valid() or form.needs_a_nod:
        return _page(request, form, form, order=order, refused=True)
    data = form.order_data()
    revision = form.cleaned_data.get("revision") or 0
    try:
        services.change_order(order=order, revision=revision, data=data)
    except OrderChangedMeanwhile as error:
        messages.warning(request, str(error))
        now = queries.order_by_number(error.order.number)
        form = OrderForm(fields | {"revision": str(now.revision)}, order=now)
        form.full_clean()
        return _page(request, form, form, order=now, both=differing(mine=data, saved=data_of(now)), status=409)
    messages.success(request, "Saved.")
    return redirect("order", number=order.number)


def _answer(request, bound: OrderForm, order) -> dict:
    """What the page says about the form as it stands."""
    answer = promise.answer(bound, now=timezone.now(), order=order)
    good, doubt = bound.names_say()
    return {"answer": answer, "bound": bound, "names_good": good, "names_doubt": doubt, "order": order,
            "together": promise.together(bound)}  # fmt: skip


def _page(request, form, bound, *, order=None, status=200, action="", **more):
    context = _answer(request, bound, order) | {
        "form": form,
        "action": action or request.path,
        "kinds": promise.tiles(form),
        "many": len(form.lines) > 1,
        "now": datetime.now,
    }
    if form.is_bound and (form.errors or form.line_errors):
        status = 422 if status == 200 else status
    return render(request, "production/new_order.html", context | more, status=status)
