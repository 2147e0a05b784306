"""New order, the live answer beside it, and the same form for an order that is changed."""

from __future__ import annotations

import json
import uuid
from dataclasses import replace
from datetime import timedelta

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from bakery.designs.adapters import drawing_of
from bakery.designs.models import Design
from bakery.designs.queries import design_by_slug, with_layers
from bakery.orders import edits, queries, services
from bakery.orders.adapters import order_drawing
from bakery.orders.compare import differing
from bakery.orders.errors import AllergyNotAsked, OrderChangedMeanwhile, OrderError
from bakery.orders.forms import OrderForm, initial_of
from bakery.orders.models import State
from bakery.orders.quotes import make_quote
from bakery.orders.rows import data_of
from bakery.orders.text import clean, plural

from .. import also, beside, promise
from ..ways import LAST, look, look_at_all

SAVING = ("quote", "keep", "book", "decline", "save")
NEEDS_ALLERGIES = {"quote": "making a quote", "book": "booking"}
STILL_OPEN = (State.ENQUIRY, State.QUOTED, State.HELD)
JUST_NOW = timedelta(minutes=15)


@require_http_methods(["GET", "HEAD", "POST"])
def new_order(request):
    """Take an order: in her customer's words, or field by field."""
    if request.method == "GET":
        form = OrderForm(initial=_first_values(request))
        return _page(request, form, _bound_of(form))
    fields = edits.typed(request.POST)
    if fields.get("do") in SAVING:
        return _take(request, fields)
    return _edited(request, fields)


@require_http_methods(["GET", "HEAD", "POST"])
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
    fields = edits.typed(request.POST)
    bound = OrderForm(fields, order=order)
    bound.full_clean()
    what, _, number = fields.get("do", "").partition(":")
    if what == "ways":
        return render(request, "production/_ways_come.html", _next_ways(bound, order, fields, number))
    if fields.get("do") == "all":
        all_say = promise.if_all_say_yes(bound, now=timezone.now(), order=order)
        return render(request, "production/_all_say.html", {"all_say": all_say})
    longer = fields.get("do") == "longer"
    return render(request, "production/_answer.html", _answer(bound, order, longer=longer))


@require_POST
def order_like(request):
    """Designs and earlier orders to copy from, while she types a word of them."""
    fields = edits.typed(request.POST)
    path = fields.get("form_path", "")
    safe = path if path.startswith("/orders/") and "//" not in path else reverse("new_order")
    return render(request, "production/_like.html", _like_found(fields) | {"form_path": safe})


def _like_found(fields) -> dict:
    words = fields.get("like", "")
    designs, orders = queries.like_that_one(words)
    for design in designs:
        design.drawing = drawing_of(design)
    for order in orders:
        lines = list(order.lines.all())
        order.drawing = order_drawing(order)
        order.what = plural(sum(line.quantity for line in lines), "cookie")
        when = timezone.localtime(order.hand_over_at)
        order.when = f"{when.day} {when:%b %Y}"
    return {"designs": designs, "orders": orders, "like": words[:80], "like_open": True}


def _like_words(words: str) -> dict:
    """Designs that the words may mean, held out to be taken."""
    found = _like_found({"like": words}) if words else {}
    return found if found.get("designs") else {}


def _asked_ways(bound, order) -> dict:
    """Changes that make it fit, all kinds at once: for a page without live updates."""
    now = timezone.now()
    found = look_at_all(bound, now=now, order=order, also=promise.also_of(bound, now))
    return {"ways": found.found, "ways_known": True, "ways_reply": found.reply}


def _next_ways(bound, order, fields, number) -> dict:
    """Changes of one kind, and where to look next: they come one kind after the other."""
    now, at = timezone.now(), int(number) if number in map(str, range(LAST + 1)) else 0
    said = tuple(name for name in fields.get("failing", "").split(",")[:4] if name)
    failing = said if said or at else None  # the first look finds out what fails already, the others are told
    found = look(bound, at, now=now, order=order, also=promise.also_of(bound, now), failing=failing)
    before = fields.get("found", "") not in ("", "0")
    more = {"next": found.next, "failing": ",".join(found.failing)}
    more |= {"answer_url": _answer_url(order), "form_path": _form_path(order)}
    return more | {"ways": found.found, "any_found": before or bool(found.found), "ways_reply": found.reply}


def _answer_url(order) -> str:
    return reverse("order_answer_to", args=[order.number]) if order else reverse("order_answer")


def _form_path(order) -> str:
    """Where the whole form goes, also when only its answer was asked for."""
    return reverse("order_change", args=[order.number]) if order else reverse("new_order")


def _order(number):
    order = queries.order_by_number(number)
    if order is None:
        raise Http404
    return order


def _first_values(request) -> dict:
    """What the form opens with: empty, an earlier order made again, or a design."""
    again = request.GET.get("again", "")
    order = (
        queries.order_by_number(int(again))
        if again.isascii() and again.isdigit() and len(again) < 9
        else None
    )
    if order:
        data = services.again_data(order=order, hand_over_at=timezone.now())
        return initial_of(data) | {"hand_over": "", "hand_over_shown": "", "again": order.number}
    said = edits.said_lines(clean(request.GET.get("lines", ""))[:2000], request.GET.get("packed", "")[:8])
    if said:
        note = clean(request.GET.get("note", ""))[:300]
        each = clean(request.GET.get("each", ""))[:4]
        each = each if each.isascii() and each.isdigit() and int(each) else ""
        return {"token": uuid.uuid4(), "lines": said, "way": "collected", "note": note, "platter_holds": each,
                "asked_for": True}  # fmt: skip
    design = design_by_slug(clean(request.GET.get("design", ""))[:90])
    fields = edits.like_design({}, design) if design else {}
    lines = list(edits.lines_of(fields).values()) or [{}]
    return {"token": uuid.uuid4(), "lines": lines, "way": "collected"}


def _bound_of(form: OrderForm) -> OrderForm:
    """The same values, read: what the answer is worked out from."""
    fields = {bound.html_name: bound.value() for bound in form}
    for line in form.lines:
        fields |= {bound.html_name: bound.value() for bound in line}
    for name, field in form.fields.items():
        fields[name] = field.prepare_value(fields[name])
    typed = {name: str(value) for name, value in fields.items() if value not in (None, "")}
    bound = OrderForm(typed, order=form.order)
    bound.full_clean()
    return bound


def _edited(request, fields, order=None):
    """One of the small buttons: the form comes back changed, with its answer and without complaints."""
    do, more = fields.get("do", ""), {}
    what, _, value = do.partition(":")
    if what == "add":
        fields = edits.add_line(fields)
    elif what == "drop" and value.isascii() and value.isdigit():
        fields = edits.drop_line(fields, int(value[:4]))
    elif what == "kind":
        fields = edits.press_kind(fields, value)
    elif what == "read":
        fields, said = edits.read_words(fields, now=timezone.now())
        more = {"said": said} | _like_words(said.design_words)
    elif what == "use":
        fields = edits.take_change(fields, value)
    elif what == "unuse":
        fields["also"] = also.without(fields.get("also", ""), value)
    elif what in ("like_design", "like_order"):
        fields = _like(fields, what, value)
    elif what == "like":
        more = _like_found(fields)
    form = edits.unbound(fields, order)
    bound = OrderForm(fields, order=order)
    bound.full_clean()
    if what == "ways":
        more = _asked_ways(bound, order)
    elif what == "all":
        more = {"all_say": promise.if_all_say_yes(bound, now=timezone.now(), order=order)}
    return _page(request, form, bound, order=order, longer=what == "longer", **more)


def _like(fields, what, value):
    number = int(value) if value.isascii() and value.isdigit() and len(value) < 9 else 0
    if what == "like_order":
        order = queries.order_by_number(number)
        return edits.like_order(fields, order) if order else fields
    design = with_layers(Design.objects.filter(pk=number)).first()
    return edits.like_design(fields, design) if design else fields


def _take(request, fields):
    """A real press of Quote, Keep, Book or Decline. Whatever happens, one form makes one order."""
    form, do = OrderForm(fields), fields["do"]
    if not _good(form, do):
        return _page(request, form, form, refused=True)
    data, token = form.order_data(), form.cleaned_data.get("token") or _token_of(fields)
    there = queries.order_by_token(token)
    if there is not None and (changed := _changed_since(data, there)):
        return _already(request, fields, there, changed)
    twin = None if there else _twin(data, token)
    if twin and form.cleaned_data.get("anyway") != "yes":
        form.asks["hand_over"] = (
            f"The same was taken a moment ago as order {twin.number}. Is this another one? "
            "If not, close this page."
        )
        return _page(request, form, form, refused=True)
    order = there or services.take_order(token=token, data=data, made_again_from=_again(fields))
    if there is None or there.state in STILL_OPEN:
        return _after(request, form, order, do)
    return redirect("order", number=order.number)


def _changed_since(data, order) -> list[dict]:
    """Where the form differs from the order it made; a deposit that came in meanwhile is no difference."""
    saved = data_of(order)
    paid = data.deposit_paid or saved.deposit_paid
    return differing(mine=replace(services.settled(data, saved), deposit_paid=paid), saved=saved)


def _good(form: OrderForm, do: str) -> bool:
    """Whether the form may be saved that way; else the sentences stand beside their fields."""
    fine = form.is_valid()
    unasked = (
        fine and form.cleaned_data["allergy_state"] == "not_asked" and form.cleaned_data["way"] != "stall"
    )
    if unasked and do in NEEDS_ALLERGIES:
        form.add_error("allergy_state", str(AllergyNotAsked(NEEDS_ALLERGIES[do])))
        return False
    return fine and not form.needs_a_nod


def _token_of(fields):
    """A form whose token was lost still makes one order: its own words are the token."""
    plain = {key: value for key, value in fields.items() if key not in ("do", "anyway")}
    return uuid.uuid5(uuid.NAMESPACE_OID, json.dumps(plain, sort_keys=True) + f"{timezone.localdate()}")


def _twin(data, token):
    return queries.twin_of(
        who=data.who, title=data.title, hand_over_at=data.hand_over_at, quantity=data.quantity,
        since=timezone.now() - JUST_NOW, token=token,
    )  # fmt: skip


def _again(fields):
    again = fields.get("again", "")
    return (
        queries.order_by_number(int(again))
        if again.isascii() and again.isdigit() and len(again) < 9
        else None
    )


def _already(request, fields, order, both):
    """Pressed again after going back and changing something: the order is there, the changes wait."""
    lines = zip(edits.lines_of(fields), order.lines.all(), strict=False)
    fields = fields | {f"line-{n}-line": str(row.pk) for n, row in lines}  # the same lines, not new ones
    messages.warning(
        request, f"This was already taken as order {order.number}. Save to keep what you changed since."
    )
    form = OrderForm(fields | {"revision": str(order.revision)}, order=order)
    form.full_clean()
    action = reverse("order_change", args=[order.number])
    return _page(request, form, form, order=order, action=action, both=both)


def _after(request, form, order, do):
    """What the pressed button does once the order is kept."""
    try:
        if do == "decline":
            services.decline(order=order)
        elif do in ("quote", "book"):
            make_quote(order=order)
            if do == "book" or order.deposit_paid:
                services.book_with_deposit(order=order)
        if do != "decline":
            _store_also(request, form, order)
        if do == "keep" and order.state == State.ENQUIRY:
            messages.success(request, f"Kept as order {order.number}.")
    except OrderError as error:
        messages.warning(request, str(error))
    return redirect("order", number=order.number)


def _store_also(request, form, order):
    """The hours and habits that the answer counted on: stored with the order, and said."""
    now = timezone.now()
    reason = f"for order {order.number}"
    for sentence in also.store(promise.also_of(form, now), now=now, reason=reason, order=order):
        messages.success(request, sentence)


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
        return _page(
            request, form, form, order=now, both=differing(mine=data, saved=data_of(now)), status=409
        )
    messages.success(request, "Saved.")
    _store_also(request, form, order)
    return redirect("order", number=order.number)


def _answer(bound: OrderForm, order, *, longer: bool = False) -> dict:
    """What the page says about the form as it stands."""
    good, doubt = bound.names_say()
    return {
        "answer": promise.answer(bound, now=timezone.now(), order=order, longer=longer),
        "answer_url": _answer_url(order),
        "form_path": _form_path(order),
        "bound": bound,
        "names_good": good,
        "names_doubt": doubt,
        "order": order,
        "together": beside.together(bound),
    }


def _page(request, form, bound, *, order=None, status=200, action="", longer=False, **more):
    context = _answer(bound, order, longer=longer) | {
        "form": form,
        "action": action or request.path,
        "kinds": beside.tiles(form),
        "drawings": beside.drawings_of(bound),
        "many": len(form.lines) > 1,
        "staged": any((line["stage"].value() or "nothing") != "nothing" for line in form.lines),
        "deposit_words": beside.deposit_words(),
        "leave_to": reverse("order", args=[order.number]) if order else reverse("order_list"),
        "nav": "new_order" if order is None else "order_change",
    }
    if form.is_bound and status == 200 and (form.errors or form.line_errors):
        status = 422
    return render(request, "production/new_order.html", context | more, status=status)
