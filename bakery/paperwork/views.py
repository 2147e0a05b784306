"""Papers on screen and as PDF. Printing the day sheet keeps it; a quote is a snapshot already."""

from datetime import date, timedelta

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from bakery.production.services.evenings import mark_printed

from . import queries, services
from .day import day_sheet as sheet_of
from .models import Paper
from .quote import quote_paper as paper_of
from .quote import status_of
from .rendering import MISSING, NoPdfHere, can_print, set_pdf
from .shopping import shopping_sheet
from .week import week_sheet


def _quote(number, version):
    quote = queries.quote_of(number, version)
    if quote is None:
        raise Http404
    return quote


@require_safe
def quote_paper(request, number, version):
    """The quote as a page of the same template; `?format=pdf` is the PDF."""
    if request.GET.get("format") == "pdf":
        return redirect("quote_pdf", number=number, version=version)
    quote = _quote(number, version)
    paper = paper_of(quote) | {"status": _status(quote)}
    return render(request, "paperwork/quote.html", {
        "title": paper["label"],
        "paper": paper,
        "foot": paper["foot"],
        "style": "quote",
        "body": "paperwork/_quote.html",
        "pdf": reverse("quote_pdf", args=[number, version]),
        "order_label": f"Order {number}",
        "order_url": f"/orders/{number}/",
        "missing": "" if can_print() else MISSING,
        "nav": "order_list",
    })  # fmt: skip


def _status(quote) -> str:
    return status_of(quote, queries.newest_version(quote.order_id), timezone.now())


@require_safe
def quote_pdf(request, number, version):
    quote = _quote(number, version)
    kept = services.keep_paper(
        kind=Paper.Kind.QUOTE, key=f"{number}/{version}", make=lambda: paper_of(quote), now=timezone.now()
    )
    return _pdf(
        kept.content | {"status": _status(quote)},
        style="quote",
        title=kept.content["label"],
        author=kept.content["studio"],
        name=f"quote-{number}-{version}",
        otherwise=reverse("quote_paper", args=[number, version]),
    )


@require_safe
def day_sheet(request, day):
    """The day sheet as a page: as printed when it was, else as it stands now."""
    now = timezone.now()
    kept, as_it_stands = queries.printed_day(day), sheet_of(day, now)
    paper = kept.content if kept else as_it_stands
    return render(request, "paperwork/day_sheet.html", {
        "title": f"Day sheet, {paper['title']}",
        "paper": paper,
        "foot": paper["foot"],
        "style": "day",
        "body": "paperwork/_day.html",
        "date": day,
        "printed": kept,
        "state": _state(kept, as_it_stands),
        "pdf": reverse("day_sheet_pdf", args=[day]),
        "before": reverse("day_sheet", args=[day - timedelta(days=1)]),
        "after": reverse("day_sheet", args=[day + timedelta(days=1)]),
        "before_label": f"{day - timedelta(days=1):%A}",
        "after_label": f"{day + timedelta(days=1):%A}",
        "missing": "" if can_print() else MISSING,
        "nav": "tonight",
    })  # fmt: skip


def _state(kept, as_it_stands) -> str:
    """Whether this is what she has on paper, and whether the plan has moved on since."""
    if kept is None:
        return "As the plan stands now. Printing keeps it." if as_it_stands["runs"] else "Nothing to print."
    at = timezone.localtime(kept.made_at)
    printed = f"As printed {at:%A} {at.day} {at:%B}, {at:%H:%M}."
    if _work(kept.content) == _work(as_it_stands):
        return f"{printed} The plan is still the same."
    return f"{printed} The plan has changed since; this page stays until you make a fresh one."


def _work(content) -> list[tuple]:
    """What is to be done when, without what time alone changes: tags, things done, shopping."""
    return [(run["time"], run["title"], run["count"]) for run in content["runs"]]


@require_http_methods(["GET", "HEAD", "POST"])
def day_sheet_pdf(request, day):
    """The sheet as it was printed, else as the plan stands; looking keeps nothing. The press that prints it
    (POST) keeps it first.
    """
    now = timezone.now()
    kept = queries.printed_day(day)
    if kept is None and not can_print():
        return redirect("day_sheet", day=day)
    if request.method == "POST":
        if kept is None:
            _print(day, now)
        return redirect("day_sheet_pdf", day=day)
    content = kept.content if kept else sheet_of(day, now)
    return _pdf(
        content,
        style="day",
        title=f"Day sheet, {content['title']}",
        author=content["foot"].split(",")[0],
        name=f"day-sheet-{day}",
        otherwise=reverse("day_sheet", args=[day]),
    )


def _print(day: date, now):
    """Keep the sheet as it is now, and tell the plan that the day is on paper. An empty day is not kept."""
    content = sheet_of(day, now)
    if not content["runs"]:
        return
    services.keep_paper(kind=Paper.Kind.DAY_SHEET, key=day.isoformat(), make=lambda: content, now=now)
    mark_printed(day=day, now=now)


@require_POST
def day_sheet_fresh(request, day):
    """A new sheet from the plan as it stands; the old one is kept in the books."""
    now = timezone.now()
    services.fresh_paper(
        kind=Paper.Kind.DAY_SHEET, key=day.isoformat(), make=lambda: sheet_of(day, now), now=now
    )
    mark_printed(day=day, now=now)
    return redirect("day_sheet", day=day)


@require_safe
def week_pdf(request, day):
    """The week as one sheet. It is no frozen paper: the next one shows the plan as it stands then."""
    content = week_sheet(day, timezone.now())
    return _pdf(
        content,
        style="week",
        title=content["title"],
        author=content["foot"].split(",")[0],
        name=f"week-{day}",
        otherwise=f"{reverse('week_table')}?from={day}",
    )


@require_safe
def shopping_pdf(request):
    """The shopping list as it stands; nothing of it is kept."""
    now = timezone.now()
    content = shopping_sheet(now)
    return _pdf(
        content,
        style="shopping",
        title=f"To buy, {timezone.localdate(now)}",
        author=content["foot"].split(",")[0],
        name=f"shopping-{timezone.localdate(now)}",
        otherwise=reverse("shopping"),
    )


def _pdf(content, *, style, title, author, name, otherwise):
    try:
        pdf = set_pdf("paperwork/pdf.html", {
            "title": title, "author": author, "style": style, "body": f"paperwork/_{style}.html",
            "paper": content, "foot": content["foot"],
        })  # fmt: skip
    except NoPdfHere:
        return redirect(otherwise)
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return answer
