"""The mixing bench: everything it needs stands in its address, so nothing is saved and nothing is lost."""

from urllib.parse import urlencode

from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET
from django_htmx.http import replace_url

from bakery.stock.models import Colour, Swatch

from .. import book, mixing, words
from ..forms import MixForm, drops_typed


@require_GET
def mix(request):
    """The whole page, or only the answer while she types."""
    shelf = mixing.Shelf()
    grounds = mixing.grounds()
    tried = _tried(request)
    form = MixForm(_typed(request, tried), grounds=grounds)
    good = form.is_valid()
    wanted = form.cleaned_data.get("want", "") if good else ""
    tried = tried if tried and tried.wanted == wanted else None  # it says nothing about another wish
    context = {"form": form, "shelf": shelf, "tried": tried, "steps": words.STEPS}
    if good:
        own = _own(request, shelf, wanted)
        found = mixing.at_the_bench(
            shelf,
            wanted=wanted,
            ground=form.shade_below,
            coats=form.how_many_coats,
            own=own,
            run_drops=form.cleaned_data["much"] or 0,
            tried=tried,
        )
        context |= _answer(found, form, own, tried)
    if getattr(request, "htmx", False) and request.htmx.target == "mix-answer":
        answer = render(request, "bench/_mix_answer.html", context)
        return replace_url(answer, context["address"]) if good else answer
    context |= {"book": _from_the_book(), "planned": book.planned_sprays(timezone.now())}
    return render(request, "bench/mix.html", context, status=200 if good else 422)


def _tried(request) -> Swatch | None:
    pk = request.GET.get("tried", "")
    if not (pk.isascii() and pk.isdigit() and len(pk) < 10):
        return None
    row = get_object_or_404(Swatch, pk=int(pk))
    return row if row.wanted else None


def _typed(request, tried):
    data = request.GET.copy()
    if tried and "want" not in data:
        data["want"] = tried.wanted
    if "coats" not in data:
        data["coats"] = "1"
    return data


def _own(request, shelf, wanted: str) -> dict[int, int]:
    """Her own drops: those she changed, as long as she wants the same colour."""
    drops = drops_typed(request.GET, [item.pk for item in shelf.usable])
    made_for, were = request.GET.get("made_for"), request.GET.get("were")
    if not drops or (made_for is not None and made_for != wanted):
        return {}
    if were is not None and were == _text(drops) and request.GET.get("own") != "yes":
        return {}
    return drops


def _text(drops: dict[int, int]) -> str:
    return ",".join(f"{pk}:{n}" for pk, n in sorted(drops.items()))


def _answer(found, form, own, tried) -> dict:
    said = form.cleaned_data
    settings = {
        "want": found.wanted,
        "ground": said["ground"],
        "coats": said["coats"],
        "much": said["much"] or "",
        "tried": tried.pk if tried and not own else "",
    }
    settings = {key: value for key, value in settings.items() if value and (key, value) != ("coats", "1")}
    mixed = {line.item.pk: line.drops for line in found.mix.lines} if found.mix else {}
    return {
        "bench": found,
        "mix": found.mix,
        "settings": urlencode(settings),
        "were": _text(mixed),
        "own": bool(own),
        "rows": _rows(found, mixed),
        "coats": int(form.how_many_coats),
        "below": dict(form.fields["ground"].choices).get(said["ground"], "white icing"),
        "address": f"{reverse('colour_mix')}?{urlencode(settings)}"
        + (f"&{found.mix.query}" if own and found.mix else ""),
    }


def _rows(found, mixed) -> dict:
    """Bottles in the recipe first, the rest of the shelf to add from."""
    lines = found.mix.lines if found.mix else ()
    rest = [item for item in found.shelf if item.pk not in mixed]
    return {"lines": lines, "rest": rest}


def _from_the_book():
    return list(Colour.objects.filter(put_away=False).order_by("medium", "name"))
