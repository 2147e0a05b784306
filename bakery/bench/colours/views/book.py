"""The Colours page, one colour, and writing it down."""

from math import ceil

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bakery.stock import colour_book
from bakery.stock.models import Colour, Level
from bakery.studio.pictures import keep_picture

from .. import book, words
from ..forms import PARTS, ColourForm, PartForm, amount, bottles_for_parts, drops_typed

PHOTOS = (("mixed", "How it looked when mixed"), ("dry", "How it dried"))
TOO_LONG = "Up to 20 kg, or 5,000 drops."


@require_GET
def colours(request):
    found = book.overview()
    out = sum(1 for row in found["bottles"] if row["item"].level == Level.OUT)
    return render(request, "bench/colours.html", found | {
        "out": out, "thick_in_gun": words.THICK_IN_GUN, "deepens": words.DEEPENS, "paper": words.PAPER,
        "fades": words.FADES,
    })  # fmt: skip


class MuchForm(forms.Form):
    much = amount("Make it for", 20000, 1)


@require_GET
def colour(request, pk):
    row = get_object_or_404(
        Colour.objects.select_related("photo_mixed", "photo_dry")
        .defer("photo_mixed__jpeg", "photo_dry__jpeg")
        .prefetch_related("parts__item"),
        pk=pk,
    )
    now = timezone.now()
    wanted = book.wanted_of(row, now)
    icing = row.medium == Colour.Medium.ICING
    whole = 100.0 if icing else float(sum(part.drops for part in row.parts.all())) or 10.0
    tonight = book.wanted_tonight(wanted, now)
    form = MuchForm(request.GET if "much" in request.GET else None)
    much = form.cleaned_data.get("much") if form.is_bound and form.is_valid() else None
    much = float(much) if much else 5 * ceil(tonight / 5) or whole
    parts = book.part_rows(row, much / whole)
    return render(request, "bench/colour.html", {
        "row": row, "icing": icing, "parts": parts, "much": words.number(much), "form": form,
        "unit": "g" if icing else "drops", "tonight": round(tonight), "wanted": wanted[:6],
        "tubs": book.tubs(row), "orders": book.orders_with(row), "designs": book.used_in(row),
        "rules": words.rules_of(row, list(row.parts.all())), "photos": _photos(row),
    }, status=422 if form.errors else 200)  # fmt: skip


def _photos(row: Colour) -> list[dict]:
    found = [("when mixed", row.photo_mixed), ("when dry", row.photo_dry)]
    return [{"when": when, "picture": picture} for when, picture in found if picture]


@require_http_methods(["GET", "POST"])
def colour_add(request):
    return _write(request, None, _first(request))


@require_http_methods(["GET", "POST"])
def colour_change(request, pk):
    row = get_object_or_404(Colour.objects.prefetch_related("parts__item"), pk=pk)
    first = {"name": row.name, "hex": row.hex, "rest_hours": row.rest_hours, "note": row.note}
    parts = [
        {"item": str(part.item_id), "drops": words.number(part.drops) if part.drops else None,
         "grams": words.number(part.grams) if part.grams else None}
        for part in row.parts.all()
    ]  # fmt: skip
    return _write(request, row, (first, parts))


def _first(request) -> tuple[dict, list]:
    """What the mixing bench hands over: a shade and drops by bottle."""
    get = request.GET
    medium = get.get("medium") if get.get("medium") in Colour.Medium.values else "icing"
    pks = [int(key[1:]) for key in get if key[:1] == "d" and key[1:].isascii() and key[1:9].isdigit()][:20]
    parts = [{"item": str(pk), "drops": n} for pk, n in drops_typed(get, pks).items()]
    return {"medium": medium, "hex": get.get("hex", "")[:7]}, parts


def _write(request, row: Colour | None, first):
    initial, parts = first
    items = bottles_for_parts()
    data = request.POST if request.method == "POST" else None
    form = ColourForm(data, colour=row, initial=initial)
    rows = [
        PartForm(data, items=items, prefix=f"part-{n}", initial=parts[n] if n < len(parts) else None)
        for n in range(max(PARTS, len(parts)))
    ]
    if data is not None and all([form.is_valid(), *[one.is_valid() for one in rows]]):
        saved = _save(request, form, rows, row)
        if saved is not None:
            return redirect("colour", saved.pk)
    wrong = bool(form.errors) or any(one.errors for one in rows)
    return render(request, "bench/colour_form.html", {
        "form": form, "parts": rows, "row": row, "photos": PHOTOS, "nav": "colours",
        "icing": (row.medium if row else form["medium"].value()) == "icing", "thick": words.THICK_IN_GUN,
    }, status=422 if data is not None and wrong else 200)  # fmt: skip


def _save(request, form, rows, row):
    said = form.cleaned_data
    medium = row.medium if row else said["medium"]
    parts = [part for one in rows if (part := one.made())]
    try:
        pictures = _pictures(request, said["name"])
        saved = colour_book.save_colour(colour=row, name=said["name"], medium=medium, hex=said["hex"],
                                        parts=parts, rest_hours=said["rest_hours"],
                                        note=said["note"])  # fmt: skip
    except ValidationError as wrong:
        _tell(form, wrong)
        return None
    for when, picture in pictures.items():
        colour_book.keep_photo(colour=saved, when=when, picture=picture)
    messages.success(request, f"{saved.name} is in the book.")
    for sentence in (
        words.rules_of_icing(saved.parts.select_related("item"))[:-1] if medium == "icing" else ()
    ):
        messages.warning(request, sentence)
    return saved


def _pictures(request, name: str) -> dict:
    return {
        when: keep_picture(upload=request.FILES[f"photo_{when}"], origin=f"{name}, {when}")
        for when, _ in PHOTOS
        if request.FILES.get(f"photo_{when}")
    }


def _tell(form, wrong: ValidationError) -> None:
    """Sentences to their fields; what has no field of its own stands on top."""
    if not hasattr(wrong, "error_dict"):
        form.add_error(None, wrong.messages)
        return
    for field, sentences in wrong.message_dict.items():
        form.add_error(field if field in form.fields else None, sentences)


@require_POST
def colour_away(request, pk):
    row = get_object_or_404(Colour, pk=pk)
    row = colour_book.put_colour_away(colour=row, put_away=request.POST.get("put_away") == "yes")
    messages.success(request, f"{row.name} is {'put away' if row.put_away else 'back in the book'}.")
    return redirect("colour", row.pk)
