"""One item with its packets, one packet with where it went, and one press for each thing that happens to
them.
"""

from uuid import uuid4

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST, require_safe

from . import ledger, ledger_pages
from .ledger_forms import HowMuchForm, OffcutForm, OpenForm, WasteForm
from .models import Move, Packet, StockItem


def _item(pk) -> StockItem:
    return get_object_or_404(StockItem, pk=pk)


def _packet(code) -> Packet:
    return get_object_or_404(Packet.objects.select_related("item", "colour", "delivery"), code=code.upper())


def item_kept(packet: Packet) -> StockItem:
    """The item whose unit a packet is kept in; a mixed colour is kept like one."""
    return packet.item or StockItem(name=packet.colour.name, unit=packet.unit)


@require_safe
def item(request, pk):
    row = _item(pk)
    return _item_page(request, row, HowMuchForm(item=row))


def _item_page(request, row, form, status=200, offcut=None):
    context = ledger_pages.item_page(row, timezone.now()) | {"form": form, "look": uuid4()}
    if row.group == StockItem.Group.WAFER:
        context["offcut"] = offcut or OffcutForm(prefix="offcut")
    return render(request, "stock/item.html", context, status=status)


@require_POST
def item_count(request, pk):
    row = _item(pk)
    form = HowMuchForm(request.POST, item=row)
    if not form.is_valid():
        return _item_page(request, row, form, status=422)
    ledger.count_item(item=row, quantity=form.cleaned_data["much"], token=str(form.cleaned_data["token"]))
    messages.success(request, f"{row.name}: counted.")
    return redirect("item", pk)


@require_POST
def item_offcut(request, pk):
    row = get_object_or_404(StockItem, pk=pk, group=StockItem.Group.WAFER)
    form = OffcutForm(request.POST, prefix="offcut")
    if form.is_valid():
        said = form.cleaned_data
        try:
            piece = ledger.keep_offcut(item=row, width_mm=said["width"], height_mm=said["height"],
                                       token=str(said["token"]))  # fmt: skip
        except ValidationError as wrong:
            form.add_error("width", wrong.messages[0])
        else:
            messages.success(request, f"{piece.code}: {piece.width_mm} x {piece.height_mm} mm kept.")
            return redirect("item", pk)
    return _item_page(request, row, HowMuchForm(item=row), status=422, offcut=form)


@require_POST
def item_foot(request, pk):
    row = _item(pk)
    said = request.POST.get("foot")
    if said not in ("above", "below"):
        messages.error(request, "Above the label's foot, or below it?")
        return redirect("item", pk)
    ledger.say_foot(item=row, above=said == "above", token=request.POST.get("token", "")[:40])
    if said == "above":
        messages.success(request, f"{row.name}: enough, nothing to buy.")
        return redirect(_back(request, "cupboard"))
    messages.success(request, f"{row.name}: low. Count the drops if you like, or buy some.")
    return redirect("item", pk)


def _back(request, fallback):
    """Where the press came from, if that is one of our pages."""
    to = request.POST.get("to", "")
    ours = to.startswith("/") and url_has_allowed_host_and_scheme(to, allowed_hosts={request.get_host()})
    return to if ours else fallback


@require_safe
def packets(request):
    """Which packet went where? By the code written on it."""
    code = request.GET.get("code", "").strip().upper()[:12]
    if code and Packet.objects.filter(code=code).exists():
        return redirect("packet", code)
    return render(request, "stock/packets.html", ledger_pages.all_packets(code, timezone.localdate()))


@require_safe
def packet(request, code):
    return _packet_page(request, _packet(code))


def _packet_page(request, row, status=200, **forms):
    kept = item_kept(row)
    usual = {
        "count_form": HowMuchForm(item=kept, prefix="count"),
        "open_form": OpenForm(
            packet=row, prefix="open", initial={"on": row.opened_on or timezone.localdate()}
        ),
        "waste_form": WasteForm(item=kept, prefix="waste"),
    }
    context = ledger_pages.packet_page(row, timezone.now()) | usual | forms
    return render(request, "stock/packet.html", context, status=status)


@require_POST
def packet_count(request, code):
    row = _packet(code)
    form = HowMuchForm(request.POST, item=item_kept(row), prefix="count")
    if not form.is_valid():
        return _packet_page(request, row, status=422, count_form=form)
    ledger.count(packet=row, quantity=form.cleaned_data["much"], token=str(form.cleaned_data["token"]))
    messages.success(request, f"{row.code}: counted.")
    return redirect("packet", row.code)


@require_POST
def packet_open(request, code):
    row = _packet(code)
    if "closed" in request.POST:
        ledger.open_packet(packet=row, on=None)
        return redirect("packet", row.code)
    form = OpenForm(request.POST, packet=row, prefix="open")
    if not form.is_valid():
        return _packet_page(request, row, status=422, open_form=form)
    ledger.open_packet(packet=row, on=form.cleaned_data["on"])
    messages.success(request, f"{row.code}: open.")
    return redirect("packet", row.code)


@require_POST
def packet_waste(request, code):
    row = _packet(code)
    form = WasteForm(request.POST, item=item_kept(row), prefix="waste")
    if not form.is_valid():
        return _packet_page(request, row, status=422, waste_form=form)
    said = form.cleaned_data
    try:
        ledger.waste(packet=row, quantity=said["much"], reason=said["reason"], token=str(said["token"]))
    except ValidationError as wrong:
        form.add_error("much", wrong.messages[0])
        return _packet_page(request, row, status=422, waste_form=form)
    messages.success(request, f"{row.code}: thrown away. It can be taken back below.")
    return redirect("packet", row.code)


@require_POST
def move_back(request, pk):
    move = get_object_or_404(Move.objects.select_related("packet"), pk=pk)
    try:
        ledger.put_back(move=move)
        messages.success(request, "Taken back; both lines stay in the books.")
    except ValidationError as wrong:
        messages.error(request, wrong.messages[0])
    return redirect(_back(request, move.packet))


@require_POST
def flag_answer(request, pk):
    ledger.answer_flag(move=get_object_or_404(Move.objects.select_related("packet"), pk=pk))
    return redirect("cupboard")


@require_safe
def order_packets(request, order):
    """What went into an order: its packets, and those in the colours mixed for it."""
    return render(request, "stock/order_packets.html", ledger_pages.order_page(order, timezone.now()))
