"""One item's facts: pack, shop, days, label."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from . import services
from .about_forms import AboutForm
from .models import StockItem


@require_http_methods(["GET", "HEAD", "POST"])
def item_about(request, pk):
    item = get_object_or_404(StockItem, pk=pk)
    form = AboutForm(request.POST if request.method == "POST" else None, item=item)
    if request.method == "POST" and form.is_valid():
        try:
            services.change_item(item=item, **form.facts())
            messages.success(request, f"{item.name}: written down.")
            return redirect("item", pk)
        except ValidationError as wrong:
            form.add_error(None, wrong.messages[0])
    context = {"nav": "cupboard", "item": item, "form": form}
    return render(request, "stock/item_about.html", context, status=422 if form.errors else 200)
