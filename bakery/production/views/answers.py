"""The answer to what went wrong: what holds, whom to ring, what moves, other ways; and taking it back."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from .. import services
from ..forms import UntilForm
from ..models import Setback
from ..other_ways import ways_out
from ..queries import freshness
from ..queries.answer import answer_view
from .sayings import note

MOST_PLACES = 60


@require_safe
@never_cache
def answer(request, pk):
    """What was said, and what follows from it."""
    setback = get_object_or_404(Setback, pk=pk)
    return show(request, setback, timezone.now())


def show(request, setback, now, **more):
    view = answer_view(setback, now)
    form = UntilForm(now=now, initial={"until": timezone.localtime(setback.until) if setback.until else None})
    context = {"view": view, "nav": "tonight", "nav_note": note(now), "until_form": form}
    return render(request, "production/answer.html", context | more)


@require_safe
@never_cache
def ways(request, pk):
    """Other ways, each tried with a plan: asked for after the page, so that nobody waits for them."""
    now, setback = timezone.now(), get_object_or_404(Setback, pk=pk)
    found = ways_out(setback, freshness.proposal(), now)
    if request.htmx:
        return render(
            request, "production/_answer_ways.html", {"ways": found, "asked": True, "setback": setback}
        )
    return show(request, setback, now, ways=found, asked=True)


@require_POST
def way(request, pk):
    """Take another way: one press, kept as she said it, answered like everything else."""
    now, setback = timezone.now(), get_object_or_404(Setback, pk=pk)
    title = next((one.title for one in ways_out(setback, freshness.proposal(), now)
                  if one.value == request.POST.get("use")), "")  # fmt: skip
    kind, _, named = request.POST.get("use", "").partition(":")
    dryer = named.split(";") if kind == "dryer" else []
    places = places_of(request.POST.get("use", "")) if not dryer else []
    if not title or not (places or dryer):
        messages.info(request, "That way is out of date; look at the newest.")
        return redirect("answer", pk)
    what = {"without": places} if kind == "without" else {"places": places}
    said = services.another_way(title=title, now=now, dryer=dryer, **what)
    services.answer_now(reason=said.words, now=now)
    return redirect("answer", said.pk)


def places_of(text: str) -> list[tuple[str, str, int]]:
    """ "other:o118,l1,1;o118,l2,1" as places; nothing where it makes no sense."""
    found = []
    for part in text.partition(":")[2].split(";")[:MOST_PLACES]:
        pieces = part.split(",")
        if len(pieces) != 3 or not (pieces[2].isascii() and pieces[2].isdigit() and len(pieces[2]) < 4):
            return []
        found.append((pieces[0], pieces[1], int(pieces[2])))
    return found


@require_POST
def undo(request, pk):
    """As if it had never been said."""
    now = timezone.now()
    said = services.undo_setback(pk=pk, now=now)
    if said is not None:
        services.answer_now(reason="", now=now)
        messages.info(request, "Taken back: it is as if you had never said it.")
    response = redirect("tonight")
    response["Location"] += "?list"
    return response


@require_POST
def until(request, pk):
    """It is back, dry or there at another time."""
    now, setback = timezone.now(), get_object_or_404(Setback, pk=pk)
    form = UntilForm(request.POST, now=now)
    if not form.is_valid():
        return show(request, setback, now, until_form=form)
    changed = services.change_until(pk=pk, until=form.cleaned_data["until"], now=now)
    if changed is not None:
        services.answer_now(reason=changed.words, now=now)
    return redirect("answer", pk)
