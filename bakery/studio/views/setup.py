"""Set-up: a page of sentences, and a page for each group."""

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.forms import PasswordChangeForm
from django.http import FileResponse, Http404
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from bakery.studio import adapters, backup, forms, groups, queries, services
from bakery.studio.answers import Stint
from bakery.studio.models import BakingHours, HoursChange, Outage, Reading

from .calendar import calendar

SETTINGS = {
    "about": ("Your studio", forms.AboutForm),
    "kitchen": ("Kitchen", forms.KitchenForm),
    "habits": ("Habits", forms.HabitsForm),
    "terms": ("Terms", forms.TermsForm),
    "food": ("Allergens", forms.FoodForm),
}
READ_WRITE = require_http_methods(["GET", "HEAD", "POST"])


def posted(request):
    """What was sent, even when that is nothing; None on a first look."""
    return request.POST if request.method == "POST" else None


@require_safe
def setup(request):
    rows = groups.groups(queries.the_studio(), request.user, backup.copies())
    return render(request, "studio/setup.html", {"groups": rows})


@READ_WRITE
def setup_group(request, group: str):
    """One group: settings of the studio, or one of the lists."""
    if group in SETTINGS:
        return _settings(request, *SETTINGS[group])
    page = {"hours": _hours, "dates": _dates, "tools": _tools, "room": _room, "password": _password,
            "copies": _copies, "calendar": calendar, "prices": _prices}.get(group)  # fmt: skip
    if page is None:
        raise Http404
    return page(request)


def _settings(request, title, form_class):
    form = form_class(posted(request), instance=queries.the_studio())
    if request.method == "POST" and form.is_valid():
        services.change_settings(values=form.changed_values(), reason=f"{title.lower()} changed")
        return _saved(request)
    return render(request, "studio/setup_form.html", {"title": title, "form": form, "note": form.note})


def _prices(request):
    form = forms.PricesForm(posted(request), instance=queries.the_studio())
    if request.method == "POST" and form.is_valid():
        services.change_settings(values=form.changed_values(), reason="prices changed")
        return _saved(request)
    context = {"title": "Prices", "form": form, "note": form.note, "things": groups.things_priced()}
    return render(request, "studio/setup_prices.html", context)


def _hours(request):
    form = forms.WeekForm(posted(request), stints=_week())
    if request.method == "POST" and form.is_valid():
        services.save_hours(stints=form.stints())
        return _saved(request)
    return render(request, "studio/setup_hours.html", {"title": "Baking hours", "form": form})


def _week() -> tuple[Stint, ...]:
    """The ordinary week with touching stretches joined, as the form shows it."""
    found: list[Stint] = []
    for row in BakingHours.objects.all():
        last = found[-1] if found else None
        if last and last.weekday == row.weekday and row.start <= last.end:
            found[-1] = Stint(row.weekday, last.start, max(last.end, row.end), max(last.hands, row.hands))
        else:
            found.append(Stint(row.weekday, row.start, row.end, row.hands))
    return tuple(found)


def _dates(request):
    form = forms.DateForm(posted(request))
    if request.method == "POST" and form.is_valid():
        services.change_date(**form.values())
        return _saved(request, "setup_group", "dates")
    coming = HoursChange.objects.filter(date__gte=timezone.localdate())
    return render(
        request, "studio/setup_dates.html", {"title": "Changed dates", "form": form, "changes": coming}
    )


def _tools(request):
    form = forms.OutageForm(posted(request))
    if request.method == "POST" and form.is_valid():
        services.report_outage(**form.cleaned_data)
        return _saved(request, "setup_group", "tools")
    out = [(forms.tool_name(row.resource), row) for row in Outage.objects.filter(end__gt=timezone.now())]
    return render(
        request, "studio/setup_tools.html", {"title": "Tools that are out", "form": form, "out": out}
    )


def _room(request):
    form = forms.ReadingForm(posted(request))
    if request.method == "POST" and form.is_valid():
        services.add_reading(**form.cleaned_data)
        return _saved(request, "setup_group", "room")
    context = {
        "title": "The room",
        "form": form,
        "readings": Reading.objects.all()[:6],
        "sentence": groups.room_sentence(),
        "drying": adapters.drying(),
    }
    return render(request, "studio/setup_room.html", context)


def _password(request):
    form = PasswordChangeForm(request.user, posted(request))
    if request.method == "POST" and form.is_valid():
        update_session_auth_hash(request, form.save())
        return _saved(request)
    return render(request, "studio/setup_form.html", {"title": "Signing in", "form": form})


def _copies(request):
    if request.method == "POST":
        try:
            copy = backup.make_copy("on demand")
        except backup.CopyFailed as why:
            messages.error(request, str(why))
        else:
            messages.success(request, f"Copied: {copy.name}.")
        return redirect("setup_group", "copies")
    return render(request, "studio/setup_copies.html", {"title": "Copies", "copies": backup.copies()})


@require_safe
def copy_download(request, name: str):
    """One copy as a file; only names that a copy can have are looked for."""
    found = next((copy for copy in backup.copies() if copy.path.name == name), None)
    if found is None:
        raise Http404
    return FileResponse(found.path.open("rb"), as_attachment=True, filename=name)


@require_POST
def date_forget(request, pk: int):
    services.forget_date(pk=pk)
    return _saved(request, "setup_group", "dates")


@require_POST
def tool_back(request, pk: int):
    services.end_outage(pk=pk)
    return _saved(request, "setup_group", "tools")


def _saved(request, *where):
    messages.success(request, "Saved.")
    return redirect(*(where or ("setup",)))
