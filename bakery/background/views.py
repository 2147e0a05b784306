"""Progress of a computation, for pages to poll, and calling it off."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe
from django_htmx.http import HttpResponseStopPolling, trigger_client_event

from . import services
from .models import Computation


@require_safe
@never_cache
def progress(request: HttpRequest, pk: int) -> HttpResponse:
    """For htmx the fragment, ending the polling (status 286) once it is over; otherwise a page."""
    row = get_object_or_404(Computation, pk=pk)
    if not request.htmx:
        return render(request, "background/progress.html", {"computation": row, "back": _back(request)})
    response = render(request, "background/_progress.html", {"computation": row})
    if row.is_over:
        response = trigger_client_event(response, "computation-over", {"kind": row.kind, "state": row.state})
        response.status_code = HttpResponseStopPolling.status_code
    return response


@require_POST
def cancel(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(Computation, pk=pk)
    services.cancel(pk=row.pk)
    return _show(request, row.pk)


@require_POST
def try_again(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(Computation, pk=pk)
    again = services.try_again(pk=row.pk)
    return _show(request, (again or row).pk)


def _show(request: HttpRequest, pk: int) -> HttpResponse:
    if request.htmx:
        return render(request, "background/_progress.html", {"computation": Computation.objects.get(pk=pk)})
    return redirect("background:progress", pk=pk)


def _back(request: HttpRequest) -> str:
    """The page she came from, when it is one of ours."""
    page = request.META.get("HTTP_REFERER", "")
    ours = "/" in page and url_has_allowed_host_and_scheme(page, {request.get_host()})
    return page if ours and "/background/" not in page else "/"
