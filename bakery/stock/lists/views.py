"""Bringing a list in: first a look at every line, then all of it or nothing."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from ..models import StockItem
from . import delivery_lines, own_list, writing
from .csv_in import NAMES, NoTable, Table, read_table
from .forms import ListForm

MOST_SHOWN, MOST_WRONG = 200, 40
HEADS = {
    ListForm.DELIVERY: ("Line", "What", "How much", "Cost", "From"),
    ListForm.CUPBOARD: ("Line", "What", "New or known", "Left", "Level"),
}


@require_http_methods(["GET", "HEAD", "POST"])
def bring_in(request):
    if request.method != "POST":
        what = request.GET.get("what", ListForm.DELIVERY)
        first = {"on": timezone.localdate(), "what": what if what in HEADS else ListForm.DELIVERY}
        return _show(request, ListForm(initial=first))
    form = ListForm(request.POST, request.FILES)
    if not form.is_valid():
        return _show(request, form, status=422)
    try:
        table, read = _read(form)
    except NoTable as wrong:
        form.add_error("file" if form.cleaned_data["file"] else "text", str(wrong))
        return _show(request, form, status=422)
    wrong = [one for one in read if one.errors]
    if "go" in request.POST and not form.cleaned_data["file"] and not wrong:
        return _write(request, form, table, read)
    return _show(request, form, table, read, status=422 if wrong else 200)


def _read(form) -> tuple[Table, list]:
    said = form.cleaned_data
    if said["what"] == ListForm.CUPBOARD:
        table = read_table(form.lines, assumed=own_list.ASSUMED)
        return table, own_list.read_list(table)
    table = read_table(form.lines, assumed=delivery_lines.ASSUMED)
    today = timezone.localdate()
    return table, delivery_lines.read_deliveries(table, supplier=said["supplier"], on=said["on"], today=today)


def _write(request, form, table, read):
    said, values = form.cleaned_data, [one.value for one in read]
    try:
        if said["what"] == ListForm.CUPBOARD:
            new, old = writing.bring_in_list(kept=values, token=said["token"])
            messages.success(request, f"In the cupboard: {new} new, {old} known before.")
            return redirect("cupboard")
        rows = writing.bring_in_deliveries(came=values, token=said["token"])
    except ValidationError as wrong:
        form.add_error(None, f"Nothing was written: {wrong.messages[0]}")
        return _show(request, form, table, read, status=422)
    count = len(values)
    messages.success(request, f"In the cupboard: {count} line{'' if count == 1 else 's'}.")
    return redirect("delivery_done", rows[0].pk) if len(rows) == 1 else redirect("packets")


def _show(request, form, table=None, read=(), status=200):
    """The form again with the text in it, so that it can be put right here, and every line as it was read."""
    text = form.lines if form.is_bound and hasattr(form, "cleaned_data") else ""
    wrong = [one for one in read if one.errors]
    what = form.cleaned_data.get("what", "") if form.is_bound and hasattr(form, "cleaned_data") else ""
    context = {
        "nav": "cupboard",
        "form": form,
        "text": text or (form.data.get("text", "") if form.is_bound else ""),
        "table": table,
        "head": HEADS.get(what, ()),
        "read": read[:MOST_SHOWN],
        "rest": max(0, len(read) - MOST_SHOWN),
        "wrong": wrong[:MOST_WRONG],
        "more_wrong": max(0, len(wrong) - MOST_WRONG),
        "count": len(read),
        "fine": bool(read) and not wrong,
        "notes": _notes(form, table, read) if table else [],
        "shops": _shops(),
    }
    return render(request, "stock/bring_in.html", context, status=status)


def _shops():
    known = StockItem.objects.exclude(supplier="").order_by("supplier")
    return known.values_list("supplier", flat=True).distinct()


def _notes(form, table: Table, read) -> list[str]:
    """What was taken for granted, and what she should look at."""
    notes = [form.guess] if form.guess else []
    if table.assumed:
        heads = ", ".join(NAMES[key][0] for key in table.columns)
        notes.append(f"No headings: the columns are taken as {heads}.")
    if table.unread:
        notes.append(f"Not read: {', '.join(table.unread[:8])}.")
    came = [one.value for one in read if isinstance(one.value, delivery_lines.Came)]
    for one in delivery_lines.known_already(came) if came else ():
        notes.append(f"A delivery is in the books already: {one}. The same one?")
    return notes
