"""The designs as a list, and one design: the cookie after each layer, with the mist between."""

from django.http import Http404
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from .. import queries
from ..adapters import coloured_layers, drawing_of, usual_wait
from ..models import Design
from ..practice import advice_for
from ..reckoning import reckon
from ..safety import inedible_in
from ..words import WAIT_WORDS, by_hand, layer_words, stencil_words, waits_of

HOW_MANY = 36
LARGE, SMALL = 206, 140  # px for 95 mm; many layers are drawn smaller, so that a row still holds them
MANY_LAYERS = 3


@require_safe
def design_list(request):
    put_away = request.GET.get("put_away") == "yes"
    found = queries.designs_put_away() if put_away else queries.designs_in_use()
    rows = [_listed(design) for design in found]
    context = {
        "rows": rows,
        "put_away": put_away,
        "some_put_away": Design.objects.filter(put_away=True).exists(),
    }
    return render(request, "designs/list.html", context)


def _listed(design: Design) -> dict:
    variations = list(design.variations.all())
    return {
        "design": design,
        "drawing": drawing_of(design, variations[0] if variations else None),
        "bases": ", ".join(variation.base.name for variation in variations),
    }


@require_safe
def design(request, slug):
    found = queries.design_by_slug(slug)
    if found is None:
        raise Http404
    variations = list(found.variations.all())
    shown = variations[len(variations) // 2] if variations else None
    return render(request, "designs/design.html", {
        "design": found,
        "rows": layer_rows(found, shown),
        "drawing": drawing_of(found, shown),
        "size": LARGE if len(found.layers.all()) <= MANY_LAYERS else SMALL,
        "sold": queries.last_quoted(found),
        "variations": [{"variation": one, "drawing": drawing_of(found, one)} for one in variations],
        "bases_title": _bases_title(len(variations)),
        "many": reckon(found, quantity=HOW_MANY, now=timezone.now()),
        "stencils": stencil_words(found),
        "advice": [*inedible_in(found.layers.all()), *advice_for(found.layers.all())],
        "has_wafer": any(layer.kind == layer.Kind.WAFER for layer in found.layers.all()),
        "other_ways": [by_hand(layer) for layer in found.layers.all() if layer.another_way],
    })  # fmt: skip


def _bases_title(count: int) -> str:
    words = ("No base colour yet", "On one base colour", "On two base colours", "On three base colours",
             "On four base colours", "On five base colours")  # fmt: skip
    return words[count] if count < len(words) else f"On {count} base colours"


def layer_rows(design: Design, variation=None) -> list[dict]:
    """One row a layer, with the wait that comes before it; a last row waits until the bag."""
    rows, below = [], None
    waits = waits_of(design)
    for at, (layer, colours) in enumerate(coloured_layers(design, variation)):
        wait = layer.wait or usual_wait(layer.kind, below)
        rows.append({
            "layer": layer,
            "number": at + 1,
            "drawing": drawing_of(design, variation, upto=at + 1),
            "title": layer.title or layer.get_kind_display().capitalize(),
            "words": layer_words(layer, colours),
            "wait": {"title": WAIT_WORDS[wait], **waits[wait]} if wait else None,
            "seed": at + 1,
        })  # fmt: skip
        below = layer.kind
    if rows:
        rows[-1]["after"] = {"title": WAIT_WORDS["dry_through"], **waits["dry_through"]}
    return rows
