"""Sprayed swatches: what it dried to, what that taught, and one more try."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bakery.stock import swatches as rows
from bakery.stock.models import Swatch
from bakery.studio.models import Picture

from .. import mixing, words
from ..forms import SwatchForm, drops_typed

NEWEST = 24


@require_GET
def swatches(request):
    """The newest, those held back, and the ones worth spraying next."""
    shelf = mixing.Shelf()
    held = {shelf.rows[at].pk for at in shelf.known.held_back}
    found = Swatch.objects.order_by("-at", "-pk")[:NEWEST]
    return render(request, "bench/swatches.html", {
        "rows": [_row(shelf, one, held) for one in found], "next": mixing.first_swatches(shelf),
        "count": len(shelf.rows), "nav": "colours",
    })  # fmt: skip


def _row(shelf, one: Swatch, held) -> dict:
    drops = ", ".join(
        f"{words.number(n)} {mixing.short_name(shelf.by_pk[pk])}"
        for pk, n in one.drops.items()
        if pk in shelf.by_pk
    )
    return {"row": one, "drops": drops or "bottles that are gone", "held": one.pk in held}


@require_http_methods(["GET", "POST"])
def swatch_add(request):
    shelf, grounds = mixing.Shelf(), mixing.grounds()
    data = request.POST if request.method == "POST" else None
    asked = data if data is not None else request.GET
    first = {name: request.GET.get(name, "")[:40] for name in ("hex", "ground", "want")}
    form = SwatchForm(data, grounds=grounds, initial={**first, "coats": request.GET.get("coats", "1")[:1]})
    drops = drops_typed(asked, [item.pk for item in shelf.usable])
    photo = Picture.objects.filter(sha256=str(asked.get("photo", ""))[:64]).defer("jpeg").first()
    if data is not None and form.is_valid():
        saved = _save(form, shelf, drops, photo)
        if saved is not None:
            messages.success(request, "The swatch is kept, and its bottles have learnt from it.")
            return redirect("colour_swatch", saved.pk)
    cup = [(item, drops.get(item.pk, "")) for item in shelf.usable]
    cup.sort(key=lambda row: (not row[1], row[0].name))
    return render(request, "bench/swatch_form.html", {
        "form": form, "cup": cup, "photo": photo, "nav": "colours", "back": _back(asked),
    }, status=422 if form.errors else 200)  # fmt: skip


def _back(asked) -> str:
    """What was typed so far, for the way over a photo."""
    keep = asked.copy()
    for name in ("csrfmiddlewaretoken", "hex", "hex_pick", "hex_was", "photo"):
        keep.pop(name, None)
    return f"{reverse('colour_photo')}?for=swatch&{keep.urlencode()[:600]}"


def _save(form, shelf, drops, photo):
    said = form.cleaned_data
    try:
        return rows.add_swatch(
            drops={shelf.by_pk[str(pk)]: n for pk, n in drops.items()},
            ground=form.grounds.get(said["ground"], ""), coats=said["coats"], hex=said["hex"],
            wanted=said["want"], photo=photo,
        )  # fmt: skip
    except ValidationError as wrong:
        form.add_error(None, wrong.messages)
        return None


@require_GET
def swatch(request, pk):
    row = get_object_or_404(Swatch.objects.select_related("photo").defer("photo__jpeg"), pk=pk)
    shelf = mixing.Shelf()
    held = {shelf.rows[at].pk for at in shelf.known.held_back}
    about = {"ground": row.ground, "coats": float(row.coats)}
    counts = mixing.counts_of(row)
    mix = mixing.foretell(shelf, counts, wanted=row.hex, **about)
    more = mixing.at_the_bench(shelf, wanted=row.wanted, tried=row, **about) if row.wanted and mix else None
    return render(request, "bench/swatch.html", {
        "row": row, "mix": mix, "held": row.pk in held, "more": more.mix if more else None,
        "miss": mixing.apart(row.wanted, row.hex) if row.wanted else None, "nav": "colours",
        "rests_on": len(shelf.rows), "drops": _row(shelf, row, held)["drops"],
    })  # fmt: skip


@require_POST
def swatch_refuse(request, pk):
    row = rows.refuse_swatch(
        swatch=get_object_or_404(Swatch, pk=pk), refused=request.POST.get("refused") == "yes"
    )
    messages.success(request, "It counts no more." if row.refused else "It counts again.")
    return redirect("colour_swatch", row.pk)
