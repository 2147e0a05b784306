"""Platter: guests in, a tray with its price out; one press makes an order of it."""

from django.shortcuts import render
from django.views.decorators.http import require_GET
from django_htmx.http import reselect, reswap, retarget

from bakery.orders import edits

from ..platter.choices import OCCASIONS
from ..platter.form import PlatterForm, first_values
from ..platter.laid import view_of


@require_GET
def platter(request):
    """The whole page, or only its answer while she types. Nothing is saved here."""
    asked = edits.typed(request.GET)
    form = PlatterForm(asked if "guests" in asked else first_values())
    view = view_of(form)
    context = {"form": form, "view": view, "occasions": OCCASIONS, "rows": _rows(form, view)}
    live = getattr(request, "htmx", False) and request.htmx.target == "platter-answer"
    if not live:
        return render(request, "production/platter.html", context, status=200 if view else 422)
    if view and "wrong" not in asked:
        return render(request, "production/_platter_answer.html", context)
    page = render(request, "production/platter.html", context)  # sentences come to their fields, or go
    return reselect(reswap(retarget(page, "#platter-page"), "outerHTML"), "#platter-page")


def _rows(form, view):
    """The three parts of the mix: which design, how many, and how many it would be."""
    counts = {}
    for part in view.parts if view else ():
        counts[part.role] = counts.get(part.role, 0) + part.quantity
    return [
        {"pick": form[role], "many": form[f"n_{role}"], "usual": counts.get(role, 0)}
        for role in ("feature", "colours", "plain")
    ]
