"""A changed plan, in plain words: take it or leave it. Nothing moves before."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from .. import services
from ..models import Plan
from ..queries import freshness
from ..queries.answer import setback_of
from ..queries.proposal import proposal_view
from .sayings import note


@require_safe
@never_cache
def proposal(request):
    """The proposal; while it is being worked out, that; without one, back to tonight."""
    now = timezone.now()
    plan = freshness.proposal()
    if plan is None:
        if freshness.being_worked_out():
            context = {"nav": "proposal", "nav_note": note(now), "computation": freshness.computing()}
            return render(request, "production/working.html", context)
        if not request.htmx:
            messages.info(request, "Nothing has to move.")
        return redirect("tonight")
    if (said := setback_of(plan, now)) is not None:
        return redirect("answer", said.pk)
    view = proposal_view(plan, freshness.wall(), now)
    return render(request, "production/proposal.html", {"view": view, "nav_note": note(now)})


@require_POST
def proposal_take(request, pk):
    taken = services.take_proposal(pk=pk, now=timezone.now())
    if taken:
        messages.success(request, "Taken: the new plan is on the wall.", extra_tags="taken")
    else:
        messages.warning(request, "That proposal is out of date; look at the newest.")
        return redirect("proposal")
    return redirect("tonight")


@require_POST
def proposal_leave(request, pk):
    services.leave_proposal(pk=pk, now=timezone.now())
    messages.info(request, "Left: the plan on the wall stays as it is.")
    return redirect("tonight")


@require_POST
def proposal_undo(request):
    """Put the plan back that hung there before the last one was taken."""
    wall = Plan.objects.filter(state=Plan.State.WALL).only("pk").first()
    if wall and services.undo_take(pk=wall.pk):
        messages.info(request, "Undone: the earlier plan is on the wall again.")
    else:
        messages.info(request, "There is nothing to undo.")
    return redirect("tonight")


@require_POST
def sort_out(request):
    """Sort out the week: look for a better plan now, also one that was left before."""
    services.ask_for_plan(reason="You asked to sort out the week.", force=True)
    return redirect("proposal")
