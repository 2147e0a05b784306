"""Making a design and changing its layers: plain forms, a redirect after each."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from bakery.studio.pictures import keep_picture
from bakery.studio.typed import clean

from .. import queries, services
from ..adapters import drawing_of, drawing_of_kind
from ..forms import DesignForm, LayerForm, VariationForm
from ..models import Design, Layer
from ..practice import advice_for
from ..safety import inedible_in
from .showing import layer_rows

STOP = 422


def _design(slug) -> Design:
    design = queries.design_by_slug(slug)
    if design is None:
        raise Http404
    return design


@require_http_methods(["GET", "HEAD", "POST"])
def design_new(request):
    form = DesignForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            design = services.make_design(**form.cleaned_data)
            return redirect("design", slug=design.slug)
        except ValidationError as wrong:
            form.add_error(None, wrong)
    kinds = [{"kind": kind, "drawing": drawing_of_kind(kind)} for kind in queries.kinds()]
    picked = form["kind"].value() or (str(kinds[0]["kind"].pk) if kinds else "")
    context = {"form": form, "kinds": kinds, "picked": str(picked)}
    return render(request, "designs/new.html", context, status=STOP if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def design_change(request, slug):
    """Name, size and shape, and the layers below."""
    design = _design(slug)
    form = DesignForm(request.POST or None, instance=design)
    if request.method == "POST" and form.is_valid():
        try:
            services.change_design(design=get_object_or_404(Design, slug=slug), **form.cleaned_data)
            return redirect("design", slug=slug)
        except ValidationError as wrong:
            form.add_error(None, wrong)
            design.refresh_from_db()
    return _change_page(request, slug, form=form)


def _change_page(request, slug, *, form=None, layer_form=None, layer_pk=None, variation_form=None):
    """The page with whichever form was refused; everything she typed is still in it."""
    design = _design(slug)
    rows = layer_rows(design)
    for row in rows:
        row["form"] = layer_form if row["layer"].pk == layer_pk else LayerForm.of(row["layer"])
    adding = layer_form if layer_form is not None and layer_pk is None else LayerForm(auto_id="new-%s")
    wrong = any(one is not None and one.errors for one in (form, layer_form, variation_form))
    context = {
        "design": design,
        "form": form if form is not None else DesignForm(instance=design),
        "rows": rows,
        "adding": adding,
        "variation_form": variation_form or VariationForm(auto_id="base-%s"),
        "variations": [
            {"variation": one, "drawing": drawing_of(design, one)} for one in design.variations.all()
        ],
        "stencils": queries.stencil_sets(),
        "advice": [*inedible_in(design.layers.all()), *advice_for(design.layers.all())],
        "open_layer": layer_pk,
    }
    return render(request, "designs/change.html", context, status=STOP if wrong else 200)


@require_POST
def design_lay_out(request, slug):
    services.lay_out_usual_layers(design=_design(slug))
    return _back(slug)


@require_POST
def design_picture(request, slug):
    """The picture that gave the idea, with where it came from; or none any more."""
    design = _design(slug)
    said = clean(request.POST.get("picture_from", ""))[:200]
    try:
        gone = request.POST.get("gone") == "yes"
        kept = None if gone else keep_picture(upload=request.FILES.get("picture"), origin=said)
        services.put_picture(design=design, picture=kept, said_from=said)
    except ValidationError as wrong:
        messages.error(request, wrong.messages[0])
        return redirect(f"{reverse('design_change', args=[slug])}#design")
    return redirect("design", slug=slug)


@require_POST
def design_put_away(request, slug):
    away = request.POST.get("put_away") == "yes"
    design = services.set_put_away(design=get_object_or_404(Design, slug=slug), put_away=away)
    messages.success(request, f"{design.name} is {'put away' if away else 'back in the list'}.")
    return redirect("design", slug=slug) if not away else redirect("design_list")


@require_POST
def layer_add(request, slug):
    form = LayerForm(request.POST, auto_id="new-%s")
    if not _try(form, lambda: services.add_layer(design=_design(slug), data=form.data_for_service())):
        return _change_page(request, slug, layer_form=form)
    return _back(slug)


@require_POST
def layer_change(request, slug, pk):
    layer = get_object_or_404(Layer, pk=pk, design__slug=slug)
    form = LayerForm(request.POST, auto_id=f"layer-{pk}-%s")
    if not _try(form, lambda: services.change_layer(layer=layer, data=form.data_for_service())):
        return _change_page(request, slug, layer_form=form, layer_pk=pk)
    return _back(slug, f"layer-{pk}")


@require_POST
def layer_move(request, slug, pk):
    layer = get_object_or_404(Layer, pk=pk, design__slug=slug)
    services.move_layer(layer=layer, by=-1 if request.POST.get("to") == "sooner" else 1)
    return _back(slug, f"layer-{pk}")


@require_POST
def layer_remove(request, slug, pk):
    services.remove_layer(design=_design(slug), layer_id=pk)
    return _back(slug)


@require_POST
def variation_add(request, slug):
    form = VariationForm(request.POST, auto_id="base-%s")
    if not _try(form, lambda: services.add_variation(design=_design(slug), **form.cleaned_data)):
        return _change_page(request, slug, variation_form=form)
    return _back(slug, "colours")


@require_POST
def variation_remove(request, slug, pk):
    try:
        services.remove_variation(design=_design(slug), variation_id=pk)
    except ValidationError as wrong:
        messages.error(request, wrong.messages[0])
    return _back(slug, "colours")


def _try(form, write) -> bool:
    """True when the form was right and the service took it; else its sentences stand beside their fields."""
    if not form.is_valid():
        return False
    try:
        write()
    except ValidationError as wrong:
        for field, said in _by_field(wrong).items():
            form.add_error(field if field in form.fields else None, said)
        return False
    return True


def _by_field(wrong: ValidationError) -> dict:
    return wrong.message_dict if hasattr(wrong, "error_dict") else {None: wrong.messages}


def _back(slug, place: str = "layers"):
    return redirect(reverse("design_change", args=[slug]) + f"#{place}")
