"""The shopping list on screen and as CSV; the lists of the cupboard and of its moves."""

from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from ..lists import tables
from ..lists.csv_out import csv_answer, csv_stream
from . import words
from .shopping import shopping_list


@require_safe
@never_cache
def shopping(request):
    found = shopping_list(timezone.now())
    answer, meaning = headline(found)
    context = {"nav": "cupboard", "list": found, "answer": answer, "meaning": meaning}
    return render(request, "stock/shopping.html", context)


def headline(found) -> tuple[str, str]:
    """How much to buy, the first by when, and what it costs about."""
    count = len(found.lines)
    if not count:
        more = "What is low stands below." if found.also else "Everything that open orders want is there."
        return "Nothing to buy.", more
    now = timezone.now()
    things = "One thing" if count == 1 else f"{count} things"
    first = f", the first {words.by_day(found.first.by, now)}" if found.first.by else ""
    answer = f"{things} to buy{first}."
    if found.unpriced == count:
        return answer, "What they cost, nobody has said yet."
    besides = f", and {found.unpriced} without a price" if found.unpriced else ""
    return answer, f"About {found.total:.2f} in all{besides}. Packs are rounded up."


@require_safe
@never_cache
def shopping_csv(request):
    now = timezone.now()
    return csv_answer(f"shopping-{timezone.localdate(now)}", tables.shopping_rows(shopping_list(now)))


@require_safe
@never_cache
def cupboard_csv(request):
    return csv_answer(f"cupboard-{timezone.localdate()}", tables.cupboard_rows())


@require_safe
@never_cache
def moves_csv(request):
    return csv_stream(f"cupboard-moves-{timezone.localdate()}", tables.move_rows())
