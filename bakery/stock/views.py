"""The cupboard page and its marks."""

from uuid import uuid4

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from . import ledger_pages, queries, services
from .ahead_views import ahead_context
from .forms import ItemForm
from .models import LevelMark, StockItem
from .runout.shorts import headline, shorts_of
from .signals import needs


def cupboard_context(undo: LevelMark | None = None) -> dict:
    now = timezone.now()
    shelves = queries.shelves()
    items = [item for shelf in shelves for item in shelf.items]
    found = shorts_of(now, needs(now), items)
    answer, meaning = headline(found, items, now)
    return {
        "answer": answer,
        "meaning": meaning,
        "shelves": shelves,
        "shorts": found.rows,
        "found": found,
        "bottles": _bottles(found, items),
        "undo": undo,
    }


def _bottles(found, items) -> list[dict]:
    """Five airbrush bottles for the band, the short ones first."""
    airbrush = [row.item for row in found.rows if row.item.group == StockItem.Group.AIRBRUSH]
    airbrush += [item for item in items if item.group == StockItem.Group.AIRBRUSH and item not in airbrush]
    left = {one.item.pk: one.left or 0 for one in found.outlooks}
    return [
        {
            "name": item.name,
            "hex": item.hex or "#9aa7b2",
            "level": ledger_pages.picture_level(item, left[item.pk]),
            "state": item.level,
        }
        for item in airbrush[:5]
    ]


@require_safe
def cupboard(request):
    undo = (
        LevelMark.objects.select_related("item").filter(pk=request.session.pop("cupboard_mark", None)).first()
    )
    context = cupboard_context(undo)
    books = ledger_pages.questions(timezone.now(), context["found"]) | {"look": uuid4()}
    return render(request, "stock/cupboard.html", context | books | ahead_context(request))


@require_POST
def item_level(request, pk):
    item = get_object_or_404(StockItem, pk=pk)
    try:
        mark = services.mark_level(item=item, level=request.POST.get("state", ""))
    except ValidationError as wrong:
        messages.error(request, wrong.messages[0])
        return redirect("cupboard")
    return _answer(request, mark)


@require_POST
def item_undo(request, pk, mark):
    services.undo_mark(item=get_object_or_404(StockItem, pk=pk), mark_id=mark)
    return _answer(request, None)


def _answer(request, mark):
    """The page again; htmx gets the parts that changed, everyone else a redirect."""
    if request.htmx:
        return render(request, "stock/_cupboard.html", cupboard_context(mark))
    if mark:
        request.session["cupboard_mark"] = mark.pk
    return redirect("cupboard")


@require_http_methods(["GET", "HEAD", "POST"])
def item_add(request):
    form = ItemForm(request.POST or None, initial={"group": request.GET.get("shelf", "")})
    if request.method == "POST" and form.is_valid():
        try:
            item = services.add_item(**form.cleaned_data)
            messages.success(request, f"{item.name} is in the cupboard.")
            return redirect("cupboard")
        except ValidationError as wrong:
            form.add_error(None, wrong)
    return render(request, "stock/item_add.html", {"form": form}, status=200 if not form.errors else 422)
