"""The site, and a door through which the kill tests ask for computations."""

from django.contrib.auth.decorators import login_not_required
from django.db import transaction
from django.http import HttpResponse
from django.urls import include, path
from django.views.decorators.csrf import csrf_exempt

from bakery.background.services import enqueue
from bakery.urls import handler404, handler500  # noqa: F401

from .models import Ask


@csrf_exempt
@login_not_required
def ask(request):
    with transaction.atomic():
        _, fresh = Ask.objects.get_or_create(key=request.POST["key"])
        if fresh:  # pressing again after a kill must not ask twice
            seconds, slow = float(request.POST["seconds"]), float(request.POST.get("slow_effects", 0))
            args = {"key": request.POST["key"], "seconds": seconds, "slow_effects": slow}
            enqueue("probe", request.POST["key"], args)
    return HttpResponse("asked")


@csrf_exempt
@login_not_required
def change(request):
    """A change, and in the same transaction the wish to compute all anew, as the services do it."""
    with transaction.atomic():
        change = Ask.objects.create(key=request.POST["key"])
        enqueue("count", "all", {"seconds": float(request.POST["seconds"])})
    return HttpResponse(change.pk)


urlpatterns = [path("probe/", ask), path("probe/change/", change), path("", include("bakery.urls"))]
