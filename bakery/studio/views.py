from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET


@require_GET
def first(request):
    return HttpResponse("")


def form_out_of_date(request, reason=""):
    return render(
        request,
        "studio/sorry.html",
        {"sentence": "This page was open too long. Go back, reload and press again."},
        status=403,
    )


def not_found(request, exception=None):
    return render(request, "studio/sorry.html", {"sentence": "There is nothing at this address."}, status=404)


def broken(request):
    return render(
        request,
        "studio/sorry.html",
        {"sentence": "Something broke here. What you entered is kept in your browser."},
        status=500,
    )
