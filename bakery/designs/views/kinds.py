"""How long each kind takes: one screen, a field a kind."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from ..kind_minutes import KindMinutesForm, kind_rows, set_kind_minutes
from ..models import Kind


@require_http_methods(["GET", "HEAD", "POST"])
def kind_minutes(request):
    kinds = list(Kind.objects.all())
    form = KindMinutesForm(request.POST if request.method == "POST" else None, kinds=kinds)
    if request.method == "POST" and form.is_valid():
        set_kind_minutes(minutes=form.cleaned_data)
        messages.success(request, "Saved.")
        return redirect("kind_minutes")
    return render(request, "designs/kinds.html", {"form": form, "rows": kind_rows(form, kinds)})
