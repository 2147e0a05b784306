"""What came: a delivery, a line an item; and what was mixed or left over."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from bakery.studio.typed import clean, cleaned

from . import ledger, ledger_words
from .ledger_forms import MOST_LINES, DeliveryForm, Items, Lines, MixedForm
from .mixing import parts_of
from .models import Delivery
from .runout.shopping import NOWHERE, shopping_list

FIRST_LINES, MORE_LINES = 3, 3


@require_http_methods(["GET", "POST"])
def delivery(request):
    items = Items()
    if request.method != "POST":
        shop, first = _first(request, items)
        form = DeliveryForm(initial={"on": timezone.localdate(), "supplier": shop})
        return _show(request, form, Lines(form_kwargs={"items": items}, initial=first), items)
    form = DeliveryForm(request.POST)
    if "more" in request.POST:
        return _show(request, form.__class__(initial=_said(request, form)), _longer(request, items), items)
    lines = Lines(cleaned(request.POST), form_kwargs={"items": items})
    fine = [form.is_valid(), lines.is_valid()]
    if not all(fine):
        return _show(request, form, lines, items, status=422)
    if not lines.lines():
        already = Delivery.objects.filter(token=form.cleaned_data["token"]).exists()
        if not already:
            form.add_error(None, "Which things came? One line is enough.")
            return _show(request, form, lines, items, status=422)
    return _book(request, form, lines, items)


def _book(request, form, lines, items):
    said = form.cleaned_data
    try:
        row = ledger.receive(
            supplier=said["supplier"], on=said["on"], lines=lines.lines(), token=said["token"]
        )
    except ValidationError as wrong:
        form.add_error(None, wrong.messages[0])
        return _show(request, form, lines, items, status=422)
    packets = list(row.packets.select_related("item"))
    messages.success(request, f"In the cupboard: {_listed(packets)}.")
    return redirect("delivery_done", row.pk)


def _listed(packets) -> str:
    named = list(dict.fromkeys(packet.item.name for packet in packets))
    return ", ".join(named[:4]) + (f" and {len(named) - 4} more" if len(named) > 4 else "")


def _first(request, items) -> tuple[str, list[dict]]:
    """A shop's part of the shopping list, where she bought all of it; else three lines, the first for the
    item whose page she comes from.
    """
    bought = clean(request.GET.get("bought", ""))[:80]
    if bought:
        shops = shopping_list(timezone.now()).shops
        lines = next((shop.lines for shop in shops if shop.name == bought), ())
        first = [{"item": str(line.item.pk), "much": line.typed} for line in lines[: MOST_LINES - 1]]
        return ("" if bought == NOWHERE else bought) if lines else "", [*first, {}]
    item = items.by_key.get(request.GET.get("item", ""))
    key = str(item.pk) if item else ""
    return item.supplier if item else "", [{"item": key}] + [{}] * (FIRST_LINES - 1)


def _said(request, form) -> dict:
    return {name: form.data.get(name, "") for name in form.fields}


def _longer(request, items):
    """The same lines as typed, and some more: for whoever has no JavaScript, nothing is checked yet."""
    data = cleaned(request.POST)
    try:
        count = min(int(data.get("form-TOTAL_FORMS", FIRST_LINES)), MOST_LINES - MORE_LINES)
    except ValueError:
        count = FIRST_LINES
    names = ("item", "much", "cost", "best_before", "lot")
    typed = [{name: data.get(f"form-{n}-{name}", "") for name in names} for n in range(max(count, 0))]
    return Lines(form_kwargs={"items": items}, initial=typed + [{}] * MORE_LINES)


def _show(request, form, lines, items, status=200):
    shops = sorted({item.supplier for item in items.by_key.values() if item.supplier})
    context = {"nav": "cupboard", "form": form, "lines": lines, "shops": shops, "empty": not items.by_key}
    return render(request, "stock/delivery.html", context, status=status)


@require_http_methods(["GET", "HEAD"])
def delivery_done(request, pk):
    """What to write on each packet, once it is in the books."""
    row = Delivery.objects.filter(pk=pk).first()
    if row is None:
        return redirect("cupboard")
    packets = [
        {"packet": packet, "much": ledger_words.much(packet.quantity, packet.unit)}
        for packet in row.packets.select_related("item").order_by("pk")
    ]
    return render(
        request, "stock/delivery_done.html", {"nav": "cupboard", "delivery": row, "packets": packets}
    )


@require_http_methods(["GET", "POST"])
def mixed(request):
    form = MixedForm(request.POST if request.method == "POST" else None,
                     initial={"colour": request.GET.get("colour", "")})  # fmt: skip
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        parts = parts_of(said["colour"], said["quantity"]) if said["how"] == "new" else []
        tub = ledger.make(colour=said["colour"], quantity=said["quantity"], parts=parts, place=said["place"],
                          best_before=said["keeps"], token=str(said["token"]))  # fmt: skip
        much = ledger_words.much(tub.quantity, tub.unit)
        messages.success(request, f"{tub.code}: {much} of {said['colour'].name}. Write {tub.code} on it.")
        return redirect("packet", tub.code)
    return render(
        request, "stock/mixed.html", {"nav": "cupboard", "form": form}, status=422 if form.errors else 200
    )
