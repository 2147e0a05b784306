"""Orders: the list, the closed ones, and one order."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from bakery.orders import edits, services
from bakery.orders import queries as reads
from bakery.orders.errors import OrderChangedMeanwhile
from bakery.orders.models import OrderLine, State
from bakery.orders.options import may_have_options
from bakery.orders.small_forms import AllergyForm, MoveForm, PaymentForm
from bakery.orders.text import clean, one_line
from bakery.orders.versions import offered

from .. import promise
from ..queries.order_list import closed_rows, search_rows
from ..queries.order_list import order_list as read_list
from ..queries.order_page import order_page
from ..wafer.pieces import has_wafer

ASKED = (State.ENQUIRY, State.QUOTED, State.LAPSED)


@require_safe
def order_list(request):
    """Who waits for her, what is booked, and where there is room."""
    now, words = timezone.now(), one_line(request.GET.get("q", ""))[:80]
    context = {"list": read_list(now), "q": words}
    if words:
        context["found"] = search_rows(words, now)
    return render(request, "production/orders.html", context)


@require_safe
def order_closed(request):
    """Handed over, or come to nothing: the newest first."""
    which = "nothing" if request.GET.get("which") == "nothing" else "handed_over"
    number = clean(request.GET.get("page", "1"))
    words = one_line(request.GET.get("q", ""))[:80]
    page = reads.past_orders(page=number, which=which, words=words)
    context = {"page": page, "rows": closed_rows(page, timezone.now()), "which": which, "q": words}
    return render(request, "production/orders_closed.html", context)


@require_safe
def order(request, number):
    """One order: where it stands, what is still to do, what to send."""
    return show_order(request, number)


def show_order(request, number, *, status=200, **forms):
    """The page of one order; `forms` are small forms that came back with a sentence."""
    found = reads.order_by_number(number)
    if found is None:
        raise Http404
    now = timezone.now()
    context = {
        "order": found,
        "view": order_page(found, now),
        "stages": OrderLine.Stage.choices,
        "move_form": MoveForm.of(found),
        "allergy_form": AllergyForm.of(found),
        "payment_form": PaymentForm(),
        "nav": "order",
        "may_offer": may_have_options(found),
        "offered": len(offered(found)),
        "has_wafer": has_wafer(found),
    }
    if _waits(found, now):
        context["waits"] = True
        if request.GET.get("ask"):  # without JavaScript; else the page fetches it alone
            context["answer"] = promise.answer_to(found, now=now)
    return render(request, "production/order.html", context | forms, status=status)


@require_safe
def order_promise(request, number):
    """Whether an order that is not booked yet fits, asked of the plan: the page fetches it alone."""
    found, now = _order(number), timezone.now()
    answer = promise.answer_to(found, now=now) if _waits(found, now) else None
    return render(request, "production/_order_promise.html", {"order": found, "answer": answer})


def _waits(order, now) -> bool:
    return order.state in ASKED and order.hand_over_at > now


@require_POST
def order_move(request, number):
    """Another hand-over. A form with a fault comes back on the page; a change meanwhile is told."""
    found = _order(number)
    form = MoveForm(edits.typed(request.POST), prefix="move")
    if not form.is_valid():
        return show_order(request, number, status=422, move_form=form)
    revision = form.cleaned_data["revision"] or 0
    try:
        services.move_hand_over(order=found, revision=revision, hand_over_at=form.cleaned_data["hand_over"])
    except OrderChangedMeanwhile as error:
        messages.warning(request, "This order was changed in another tab meanwhile. Look, then press again.")
        fields = edits.typed(request.POST) | {"move-revision": str(error.order.revision)}
        form = MoveForm(fields, prefix="move")
        return show_order(request, number, status=409, move_form=form)
    messages.success(request, "Moved. The plan follows as a proposal where it touches what you have seen.")
    return redirect("order", number=number)


@require_POST
def order_allergies(request, number):
    """What they said when asked."""
    found = _order(number)
    form = AllergyForm(edits.typed(request.POST), prefix="ask")
    if not form.is_valid():
        return show_order(request, number, status=422, allergy_form=form)
    services.tell_allergies(order=found, **form.cleaned_data)
    return redirect("order", number=number)


@require_POST
def order_pay(request, number):
    """Money that came in."""
    found = _order(number)
    form = PaymentForm(edits.typed(request.POST))
    if not form.is_valid():
        return show_order(request, number, status=422, payment_form=form)
    said = form.cleaned_data
    on = timezone.localdate(said["on"]) if said["on"] else timezone.localdate()
    services.record_payment(order=found, what=said["what"], amount=said["amount"], on=on, note=said["note"])
    messages.success(request, "Recorded.")
    return redirect("order", number=number)


def _order(number):
    found = reads.order_by_number(number)
    if found is None:
        raise Http404
    return found
