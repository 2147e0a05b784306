"""One airbrush bottle: its dried shade, how it covers, its drops."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from bakery.stock import colour_book, swatches
from bakery.stock.models import StockItem, Swatch

from .. import words
from ..forms import BottleForm

FIELDS = ("hex", "hides", "shake_first", "alcohol", "shimmer", "drops_per_ml")


def _bottle(pk) -> StockItem:
    return get_object_or_404(StockItem, pk=pk, group=StockItem.Group.AIRBRUSH)


@require_http_methods(["GET", "POST"])
def bottle(request, pk):
    item = _bottle(pk)
    data = request.POST if request.method == "POST" else None
    first = {name: getattr(item, name) for name in FIELDS} | {"drops_per_ml": words.number(item.drops_per_ml)}
    form = BottleForm(data, initial={**first, "hex": request.GET.get("hex", "")[:7] or item.hex})
    if data is not None and form.is_valid():
        try:
            colour_book.describe_bottle(item=item, **form.cleaned_data)
            messages.success(request, f"{item.name} is as you say now.")
            return redirect("colours")
        except ValidationError as wrong:
            form.add_error(None, wrong.messages)
    seen = sum(1 for row in Swatch.objects.filter(refused=False) if str(item.pk) in row.drops)
    return render(request, "bench/bottle.html", {
        "item": item, "form": form, "seen": seen, "nav": "colours",
        "shake": words.SHAKE, "alcohol": words.ALCOHOL,
    }, status=422 if form.errors else 200)  # fmt: skip


@require_POST
def bottle_anew(request, pk):
    item = _bottle(pk)
    count = swatches.forget_bottle(item=item)
    said = f"{count} swatch{'es' if count != 1 else ''} with it no longer count{'' if count != 1 else 's'}."
    messages.success(request, f"{item.name} starts anew: {said}")
    return redirect("colour_bottle", item.pk)
