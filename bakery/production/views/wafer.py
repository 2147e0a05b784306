"""The cut plan of wafer paper: for a design, an order, tonight or the week; a sheet a page when printed."""

from datetime import timedelta

from django import forms
from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from bakery.craft.packing import GAP_MM, MARGIN_MM
from bakery.designs.adapters import drawing_of
from bakery.designs.queries import design_by_slug
from bakery.orders import edits
from bakery.orders.fields import Choice, Count
from bakery.orders.queries import order_by_number
from bakery.stock.offcuts import cut_up, keep_offcuts, kept_offcuts, wafer_item
from bakery.stock.sizes import wafer_sheet

from ..adapters import midnight
from ..wafer import pieces
from ..wafer.cutting import cut_view

SHEETS = {"a4": ("A4, 210 x 297 mm", (210.0, 297.0)), "8x10": ("8 x 10 in, 203 x 254 mm", (203.2, 254.0))}
GAP, MARGIN, COOKIES = int(GAP_MM), int(MARGIN_MM), 36


class CutForm(forms.Form):
    sheet = Choice(label="Sheet", usual="a4")
    gap = Count(least=0, most=30, blank=GAP, what="The gap", label="Gap between pieces, mm")
    margin = Count(least=0, most=40, blank=MARGIN, what="The margin", label="Margin of the sheet, mm")
    count = Count(least=1, most=2000, blank=COOKIES, what="How many cookies", label="Cookies")

    def __init__(self, data, *, own=()):
        super().__init__(data)
        self.sizes = dict(SHEETS)
        if own and own not in [size for _, size in SHEETS.values()]:
            self.sizes = {"own": (f"In the cupboard, {own[0]:.0f} x {own[1]:.0f} mm", own)} | self.sizes
        self.fields["sheet"].choices = [(key, name) for key, (name, _) in self.sizes.items()]
        usual = next((key for key, (_, size) in self.sizes.items() if size == own), "a4")
        self.fields["sheet"].usual = usual

    def clean(self):
        found = self.cleaned_data
        wide, high = self.sizes[found["sheet"]][1]
        if found.get("margin") is not None and 2 * found["margin"] >= min(wide, high):
            self.add_error("margin", "Nothing of the sheet is left inside that margin.")
        return found


@require_GET
def wafer(request):
    """Reads only; what it is for stands in the address."""
    form = CutForm(edits.typed(request.GET), own=tuple(wafer_sheet()))
    what = _what(edits.typed(request.GET))
    if not form.is_valid():
        return render(request, "production/wafer.html", {"form": form, "what": what}, status=422)
    said = form.cleaned_data
    kept = kept_offcuts()
    view = _view(form, what, kept)
    context = {"form": form, "what": what, "view": view, "sheet_words": form.sizes[said["sheet"]][0]}
    more = {"picked": said["sheet"], "can_keep": bool(view.keep or view.cut_up) and wafer_item() is not None}
    more |= {"seen": ",".join(str(one.packet) for one in kept)}
    return render(request, "production/wafer.html", context | more)


def _view(form, what, kept):
    said = form.cleaned_data
    wanted = what["wanted"](said["count"])
    return cut_view(wanted, form.sizes[said["sheet"]][1], said["gap"], said["margin"], kept)


@require_POST
def wafer_keep(request):
    """The offcuts of this plan lie in the cupboard now. Pressed twice a day it is once."""
    fields = edits.typed(request.POST)
    form, what, item = CutForm(fields, own=tuple(wafer_sheet())), _what(fields), wafer_item()
    token = f"offcut {timezone.localdate()} {sorted((k, v) for k, v in fields.items())}"
    seen = set(fields.get("seen", "").split(",")) - {""}
    kept = tuple(one for one in kept_offcuts() if str(one.packet) in seen)
    if item is not None and form.is_valid() and len(kept) == len(seen):  # else they are cut up already
        view, size = _view(form, what, kept), form.sizes[form.cleaned_data["sheet"]][1]
        packets = keep_offcuts(item=item, sheet=size, cuts=view.keep, token=token)
        cut_up(packets=view.cut_up)
        codes = ", ".join(packet.code for packet in packets)
        if codes:
            messages.success(request, f"Kept: write {codes} on {'it' if len(packets) == 1 else 'them'}.")
    return redirect("cupboard")


def _what(asked) -> dict:
    """What the pieces are for: a title, hidden fields that keep it, pictures, and the pieces themselves."""
    slug, number = asked.get("design", "")[:90], asked.get("order", "")
    if slug:
        design = design_by_slug(slug)
        if design is None:
            raise Http404
        return {
            "title": design.name, "keep": [("design", design.slug)], "drawings": [drawing_of(design)],
            "design": design, "wanted": lambda count: pieces.of_design(design, count),
        }  # fmt: skip
    if number:
        order = (
            order_by_number(int(number))
            if number.isascii() and number.isdigit() and len(number) < 9
            else None
        )
        if order is None:
            raise Http404
        drawings = [drawing_of(line.design, line.variation) for line in order.lines.all() if line.design_id]
        return {
            "title": order.title, "keep": [("order", order.number)], "drawings": drawings[:3],
            "order": order, "wanted": lambda count: pieces.of_order(order),
        }  # fmt: skip
    return _days(asked.get("when") == "week")


def _days(week: bool) -> dict:
    first = midnight(timezone.localdate())
    days = 7 if week else 1
    return {
        "title": "this week" if week else "tonight", "keep": [("when", "week" if week else "tonight")],
        "drawings": [], "when": "week" if week else "tonight",
        "wanted": lambda count: pieces.of_jobs(first, first + timedelta(days=days)),
    }  # fmt: skip
