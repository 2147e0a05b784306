"""Tonight: the list, one press for each run, the room's reading."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from bakery.studio.services import add_reading

from .. import services
from ..forms import CountForm, RoomForm
from ..queries.morning import last_answer, question
from ..queries.tonight import tonight_view
from ..queries.undoable import just_taken, off_day
from .sayings import note

MOST_KEYS = 200


@require_safe
@never_cache
def tonight(request):
    """The question about last evening first; else the list. An unchanged list answers a poll with nothing."""
    now = timezone.now()
    if not request.htmx and "list" not in request.GET:
        asked = question(now)
        if asked is not None:
            from .morning import show

            return show(request, asked, now)
    view = tonight_view(now)
    if request.htmx and request.GET.get("seen") == view.version:
        return HttpResponse(status=204)
    if request.method == "HEAD":
        return page(request, view, now)
    if view.stale and not view.working and not view.trouble:
        services.ask_for_plan()
    if view.is_today:
        services.freeze(day=timezone.localdate(view.session.start), jobs=view.jobs, now=now)
    return page(request, view, now)


def page(request, view, now, **more):
    """The page around the list, with what can still be taken back."""
    context = {
        "view": view,
        "nav_note": note(now),
        "answered": last_answer(now),
        "taken": just_taken(now),
        "off_day": off_day(now),
        "room_form": RoomForm(),
    }
    return render(request, "production/tonight.html", context | more)


@require_POST
def run_start(request):
    services.start_run(keys=keys_of(request), now=timezone.now())
    return back()


@require_POST
def run_done(request):
    """Done, or so many of it."""
    form = CountForm(request.POST)
    count = form.cleaned_data.get("count") if form.is_valid() else None
    if form.errors:
        messages.error(request, "How many got done? Give a whole number, or leave it empty for all of them.")
        return back()
    jobs = services.finish_run(keys=keys_of(request), now=timezone.now(), count=count)
    part = [job for job in jobs if job.state != job.State.DONE or job.done_count]
    if part:
        done = sum(job.done_count or job.cookies for job in jobs if job.state == job.State.DONE)
        total = sum(job.cookies for job in jobs)
        messages.info(request, f"{done} of {total} are done; the rest gets a new place.")
        services.answer_now(reason=services.said_so_many(jobs))
    return back()


@require_POST
def job_undo(request):
    services.undo_run(keys=keys_of(request))
    return back()


@require_POST
def room_reading(request):
    """A new reading of the room; it counts for the next day and a half."""
    form = RoomForm(request.POST)
    if form.is_valid():
        add_reading(**form.cleaned_data)
        messages.success(request, "The reading is kept; it counts for the next 36 hours.")
        return back()
    now = timezone.now()
    return page(request, tonight_view(now), now, room_form=form, room_open=True)


def keys_of(request) -> list[str]:
    return [key[:80] for key in request.POST.getlist("key")[:MOST_KEYS]]


def back():
    response = redirect("tonight")
    response["Location"] += "?list"
    return response
