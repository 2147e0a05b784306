"""Stencil sets: the list, one set with its pieces, and what a picture says is cut out."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from bakery.studio.models import Picture
from bakery.studio.pictures import keep_picture

from .. import stencil_services
from ..measuring import measured, shown
from ..models import StencilPiece, StencilSet
from ..stencil_forms import LookForm, PieceForm, SetForm

STOP = 422
SET_FIELDS = ("name", "fits_width_mm", "fits_height_mm", "note")
PIECE_FIELDS = ("name", "role", "copies", "cut_out_percent")
NEW_PIECE = {"role": "background", "copies": 1, "cut_out_percent": 25}


@require_http_methods(["GET", "HEAD", "POST"])
def stencil_list(request):
    """All sets; a name is enough for a new one."""
    form = SetForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        row = _kept(form, stencil_services.keep_set, **form.cleaned_data)
        if row is not None:
            return redirect("stencil_set", row.pk)
    sets = StencilSet.objects.prefetch_related("pieces__layers__design")
    rows = [{"set": row, "pieces": list(row.pieces.all()), "designs": _designs(row)} for row in sets]
    return render(
        request, "designs/stencils.html", {"form": form, "rows": rows}, status=STOP if form.errors else 200
    )


def _designs(row) -> list:
    found = {layer.design.pk: layer.design for piece in row.pieces.all() for layer in piece.layers.all()}
    return sorted(found.values(), key=lambda design: design.name)


@require_http_methods(["GET", "HEAD", "POST"])
def stencil_set(request, pk):
    row = get_object_or_404(StencilSet, pk=pk)
    form = SetForm(request.POST or None, initial={name: getattr(row, name) for name in SET_FIELDS})
    if request.method == "POST" and form.is_valid():
        if _kept(form, stencil_services.keep_set, row=row, **form.cleaned_data) is not None:
            messages.success(request, "The set is as you wrote it now.")
            return redirect("stencil_set", pk)
        row.refresh_from_db()
    return _set_page(request, row, form=form)


@require_POST
def piece_add(request, pk):
    return _piece(request, get_object_or_404(StencilSet, pk=pk), None)


@require_POST
def piece_change(request, pk, piece):
    row = get_object_or_404(StencilPiece.objects.select_related("stencil_set"), pk=piece, stencil_set=pk)
    return _piece(request, row.stencil_set, row)


def _piece(request, stencil_set, piece):
    form = PieceForm(request.POST)
    if form.is_valid():
        said = form.cleaned_data
        if _kept(form, stencil_services.keep_piece, stencil_set=stencil_set, row=piece, **said) is not None:
            messages.success(request, f"{said['name']} is written down.")
            return redirect("stencil_set", stencil_set.pk)
    return _set_page(request, stencil_set, piece_form=form, piece=piece)


def _set_page(request, row, *, form=None, piece_form=None, piece=None):
    form = form or SetForm(initial={name: getattr(row, name) for name in SET_FIELDS})
    pieces = []
    for one in row.pieces.all():
        mine = piece_form if piece and one.pk == piece.pk else None
        initial = {name: getattr(one, name) for name in PIECE_FIELDS}
        pieces.append({"piece": one, "form": mine or PieceForm(initial=initial, auto_id=f"id_{one.pk}_%s")})
    new = piece_form if piece_form and piece is None else PieceForm(initial=NEW_PIECE, auto_id="id_new_%s")
    context = {"set": row, "form": form, "pieces": pieces, "new": new}
    wrong = form.errors or (piece_form and piece_form.errors)
    return render(request, "designs/stencil_set.html", context, status=STOP if wrong else 200)


def _kept(form, service, **said):
    """What the service made of it; None with its words beside the fields."""
    try:
        return service(**said)
    except ValidationError as wrong:
        known = getattr(wrong, "error_dict", None)
        for field, errors in (known or {None: wrong.messages}).items():
            form.add_error(field if field in form.fields else None, errors)
        return None


@require_http_methods(["GET", "HEAD", "POST"])
def cut_out(request, pk, piece):
    """A picture comes in, is looked at, and its share is agreed to."""
    row = get_object_or_404(StencilPiece.objects.select_related("stencil_set"), pk=piece, stencil_set=pk)
    if request.method == "POST" and "use" in request.POST:
        return _use(request, row)
    if request.method == "POST":
        try:
            picture = keep_picture(upload=request.FILES.get("picture"), origin=f"stencil {row}")
        except ValidationError as wrong:
            return _look(request, row, None, wrong=wrong.messages[0], status=STOP)
        return redirect(f"{reverse('cut_out', args=[pk, piece])}?{urlencode({'picture': picture.pk})}")
    return _look(request, row, _picture(request.GET.get("picture", "")))


def _use(request, row):
    text = request.POST.get("use", "")
    if not (text.isascii() and text.isdigit() and len(text) <= 3 and int(text) <= 100):
        return _look(request, row, None, wrong="A share lies from 0 to 100 %.", status=STOP)
    stencil_services.keep_cut_out(piece=row, percent=int(text))
    messages.success(request, f"{row}: {int(text)} % cut out. Drops and prices follow.")
    return redirect("stencil_set", row.stencil_set_id)


def _look(request, row, picture, *, wrong="", status=200):
    context = {"piece": row, "picture": picture, "wrong": wrong}
    if picture is not None:
        said = _said(request.GET)
        found = measured(picture, **said)
        form = LookForm(initial=said | {"level": found.level})
        context |= {"found": found, "form": form, "query": urlencode(said | {"level": found.level})}
    return render(request, "designs/cut_out.html", context, status=status)


def _said(data) -> dict:
    """How to read the picture; what cannot be read means the usual."""
    form = LookForm(data)
    form.is_valid()
    said = form.cleaned_data
    return {
        "level": said.get("level"),
        "cut": said.get("cut") or "dark",
        "edge": said.get("edge") or "look",
    }


def _picture(text) -> Picture | None:
    if not (text.isascii() and text.isdigit() and len(text) < 12):
        return None
    return Picture.objects.filter(pk=int(text), origin__startswith="stencil ").first()


@require_safe
def cut_out_picture(request, pk):
    """The picture as it was read, drawn anew."""
    picture = _picture(str(pk)) or get_object_or_404(Picture.objects.none())
    answer = HttpResponse(shown(picture, **_said(request.GET)), content_type="image/png")
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cache-Control"] = "private, max-age=3600"
    return answer
