"""Made ahead: put down, moved to another place, gone, and taken back."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from . import ahead_words, made_ahead
from .ahead_forms import AheadForm
from .models import AheadUse, MadeAhead
from .signals import choices


def ahead_context(request) -> dict:
    """The rows beside the shelves; what was just said to be gone can be taken back once."""
    known = choices()
    rows = ahead_words.rows(made_ahead.lying(), dict(known.orders), timezone.now())
    undo = AheadUse.objects.select_related("item").filter(pk=request.session.pop("ahead_use", None)).first()
    return {
        "ahead": rows,
        "ahead_undo": undo,
        "ahead_undo_words": ahead_words.thing(undo.item, undo.quantity) if undo else "",
        "places": MadeAhead.Place.choices,
    }


@require_http_methods(["GET", "HEAD", "POST"])
def ahead_add(request):
    form = AheadForm(request.POST if request.method == "POST" else None, choices=choices())
    if request.method == "POST" and form.is_valid():
        try:
            item = made_ahead.make_ahead(**form.made())
        except ValidationError as wrong:
            form.add_error(None, wrong.messages[0])
        else:
            named = ahead_words.thing(item, item.quantity)
            messages.success(request, f"{item.get_place_display().capitalize()}: {named}.")
            return redirect("cupboard")
    return render(request, "stock/ahead_add.html", {"form": form}, status=422 if form.errors else 200)


@require_POST
def ahead_gone(request, pk):
    use = made_ahead.gone(item=get_object_or_404(MadeAhead, pk=pk))
    if use is not None:
        request.session["ahead_use"] = use.pk
    return redirect("cupboard")


@require_POST
def ahead_back(request, pk):
    use = AheadUse.objects.filter(pk=pk, order="").first()
    if use is not None:
        made_ahead.take_back(use=use)
    return redirect("cupboard")


@require_POST
def ahead_move(request, pk):
    item = get_object_or_404(MadeAhead, pk=pk)
    try:
        item = made_ahead.move_ahead(item=item, place=request.POST.get("place", ""))
    except ValidationError as wrong:
        messages.error(request, wrong.messages[0])
    else:
        messages.success(request, f"{ahead_words.thing(item)}: {item.get_place_display()}.")
    return redirect("cupboard")
