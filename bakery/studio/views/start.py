"""Five questions, then tonight."""

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from bakery.craft.work import Shop
from bakery.studio import queries, services
from bakery.studio.answers import USUAL_HOURS, StartAnswers, stints_of
from bakery.studio.forms import StartForm
from bakery.studio.room import dozens_in, minutes_of_week


@require_http_methods(["GET", "HEAD", "POST"])
def start(request):
    studio = queries.the_studio()
    if studio.started:
        return redirect("first")
    form = StartForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid() and "count" not in request.POST:
        try:
            services.start_studio(answers=form.answers())
        except services.AlreadyBaking as why:
            form.add_error(None, str(why))
        else:
            return redirect("new_order")
    return render(request, "studio/start.html", {"form": form, "result": result_of(form, studio)})


@require_POST
def start_result(request) -> HttpResponse:
    """The plaque alone, while she taps."""
    form = StartForm(request.POST)
    form.is_valid()
    return render(request, "studio/_start_result.html", {"result": result_of(form, queries.the_studio())})


def result_of(form: StartForm, studio) -> dict | None:
    """What the answers come to: hours a week, as dozens of plain cookies. None while they cannot be read."""
    if not form.is_bound:
        answers = StartAnswers(stints_of(USUAL_HOURS))
    elif form.is_valid():
        answers = form.answers()
    else:
        return None
    shop = Shop(
        cookies_per_sheet=answers.cookies_per_sheet,
        cookies_per_tray=answers.cookies_per_sheet,
        rack_places=answers.rack_places,
        cookies_per_batch=answers.cookies_per_batch,
    )
    total, left = minutes_of_week(answers.stints, studio.wash_up_minutes)
    return {"minutes": total, "dozens": dozens_in(left, shop, float(studio.padding))}
