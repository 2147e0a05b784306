"""The one question about an evening, asked at the next opening or from "Not all done"."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from .. import services
from ..forms import FinishForm
from ..queries.morning import last_answer, question
from ..touching import touched_of
from .sayings import note

ANSWERS = ("all", "but", "nothing")


@require_safe
@never_cache
def morning(request):
    """The question by itself; with ?tonight about what has passed of this evening."""
    now = timezone.now()
    asked = question(now, tonight="tonight" in request.GET)
    if asked is None:
        messages.info(request, "There is nothing left to ask about.")
        return redirect("tonight")
    return show(request, asked, now, picking="but" in request.GET)


def show(request, asked, now, *, form=None, picking=False, picked=(), status=200):
    context = {
        "asked": asked,
        "form": form or FinishForm(),
        "picking": picking or asked.tonight,
        "picked": set(picked),
        "touched": touched_of(asked.floods, now),
        "nav": "morning",
        "nav_note": note(now),
    }
    return render(request, "production/morning.html", context, status=status)


@require_POST
def morning_answer(request):
    """All done, all but …, or nothing. Sent twice it is said once."""
    now, answer = timezone.now(), request.POST.get("answer")
    asked = question(now, tonight="tonight" in request.POST)
    # A form from another day says nothing about this one.
    if asked is None or request.POST.get("day") != asked.day.isoformat() or answer not in ANSWERS:
        return redirect("tonight")
    day = asked.day
    form = FinishForm(request.POST)
    picked = {key[:80] for key in request.POST.getlist("not_done")[:500]}
    if not form.is_valid():
        return show(request, asked, now, form=form, picking=answer == "but", picked=picked, status=422)
    if answer == "but" and "picking" not in request.POST:
        return show(request, asked, now, form=form, picking=True)
    counts, wrong = counts_of(request, asked)
    if wrong:
        form.add_error(None, wrong)
        return show(request, asked, now, form=form, picking=True, picked=picked, status=422)
    not_done = {key for run in asked.runs if run.keys[0] in picked for key in run.keys}
    services.answer_evening(
        day=day, answer=answer, now=now, not_done=not_done, counts=counts, finished_at=form.moment(day)
    )
    if answer == "all":
        return redirect("tonight")
    services.answer_now(reason=services.latest_reason(), now=now)
    return redirect("proposal")


def counts_of(request, asked) -> tuple[dict[str, int], str]:
    """ "11 of 24": how many of a run's cookies were done, shared out over its jobs in their order."""
    counts: dict[str, int] = {}
    for run in asked.runs:
        text = request.POST.get(f"count-{run.id}", "").strip()
        if not text:
            continue
        if not (text.isascii() and text.isdigit() and len(text) <= 4):
            return {}, f"How many of “{run.title}” were done? Give a whole number, or leave it empty."
        left = int(text)
        if left >= run.cookies_count:
            continue
        for job in run.jobs:
            counts[job.key] = min(job.cookies, left)
            left -= counts[job.key]
    return counts, ""


@require_POST
def morning_undo(request):
    """Take the last answer back."""
    evening = last_answer(timezone.now())
    if evening is not None:
        services.undo_evening(day=evening.date)
        messages.info(request, "Taken back: it counts as done as planned until you say otherwise.")
    return redirect("tonight")
