"""Reads about orders, each with a bounded number of queries."""

from __future__ import annotations

from datetime import datetime

from django.core.paginator import Page, Paginator
from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet, Sum

from bakery.designs.models import Design
from bakery.designs.queries import with_layers

from .models import CLOSED_STATES, OPEN_STATES, PLANNED_STATES, Order, OrderLine, Payment, Quote, State
from .text import one_line

PAGE = 40


def with_lines(orders: QuerySet | None = None) -> QuerySet:
    """Orders with customer, lines, names and all that drawings and the core need of their designs."""
    orders = Order.objects.all() if orders is None else orders
    lines = OrderLine.objects.select_related(
        "kind", "variation__base", "variation__motif", "variation__detail"
    )
    designs = Prefetch("design", with_layers(Design.objects.all()))
    return orders.select_related("customer").prefetch_related(
        Prefetch("lines", lines.prefetch_related(designs)), "names"
    )


def with_quotes(orders: QuerySet) -> QuerySet:
    """The same with quotes (without their snapshots) and payments."""
    return orders.prefetch_related(
        Prefetch("quotes", Quote.objects.defer("snapshot")), Prefetch("payments", Payment.objects.all())
    )


def order_by_number(number: int) -> Order | None:
    """The order of this number with everything its page shows."""
    found = with_quotes(with_lines(Order.objects.filter(number=number)))
    return found.prefetch_related("changes", "options").select_related("made_again_from").first()


def order_by_token(token) -> Order | None:
    return with_lines(Order.objects.filter(token=token)).first()


def planned() -> QuerySet:
    return Order.objects.filter(state__in=PLANNED_STATES).order_by("hand_over_at", "number")


def open_orders() -> QuerySet:
    return Order.objects.filter(state__in=OPEN_STATES).order_by("hand_over_at", "number")


def open_quotes(*, without: int | None = None) -> QuerySet:
    """What may still say yes: enquiries and quotes (held ones are planned already)."""
    return with_lines(Order.objects.filter(state__in=(State.ENQUIRY, State.QUOTED)).exclude(pk=without))


def past_orders(*, page: int = 1, which: str = "handed_over", words: str = "") -> Page:
    """Closed orders, the newest first: handed over, or those that came to nothing."""
    states = (State.HANDED_OVER,) if which == "handed_over" else set(CLOSED_STATES) - {State.HANDED_OVER}
    found = Order.objects.filter(state__in=states).order_by("-hand_over_at", "-number")
    return Paginator(with_lines(_matching(found, words)), PAGE).get_page(page)


def closed_counts() -> dict[str, int]:
    """How many were handed over, and how many came to nothing."""
    closed = Order.objects.filter(state__in=CLOSED_STATES)
    handed_over = closed.filter(state=State.HANDED_OVER).count()
    return {"handed_over": handed_over, "nothing": closed.count() - handed_over}


def search(words: str, *, limit: int = 40) -> list[Order]:
    """Orders of any state by number, title, customer or design, the newest first."""
    words = one_line(words)[:80]
    if not words:
        return []
    return list(with_lines(_matching(Order.objects.all(), words).order_by("-hand_over_at"))[:limit])


def like_that_one(words: str, *, limit: int = 6) -> tuple[list[Design], list[Order]]:
    """Designs and earlier orders to copy from; without words the designs used last and the last orders."""
    words = one_line(words)[:80]
    designs = Design.objects.filter(put_away=False)
    for word in words.split()[:5]:
        designs = designs.filter(
            Q(name__icontains=word) | Q(motif__icontains=word) | Q(kind__name__icontains=word)
        )
    orders = _matching(Order.objects.exclude(state__in=(State.DECLINED, State.LAPSED)), words)
    return (
        list(with_layers(designs.order_by("name"))[:limit]),
        list(with_lines(orders.order_by("-created_at"))[:limit]),
    )


def _matching(orders: QuerySet, words: str) -> QuerySet:
    for word in one_line(words)[:80].split()[:5]:
        of_design = OrderLine.objects.filter(order=OuterRef("pk"), design__name__icontains=word)
        found = Q(title__icontains=word) | Q(customer__name__icontains=word) | Exists(of_design)
        if word.isascii() and word.isdigit() and len(word) < 9:
            found |= Q(number=int(word))
        orders = orders.filter(found)
    return orders


def twin_of(
    *, who: str, title: str, hand_over_at: datetime, quantity: int, since: datetime, token
) -> Order | None:
    """An order just like it, taken a moment ago from another form: two tabs, or back and pressed again."""
    return (
        Order.objects.filter(hand_over_at=hand_over_at, created_at__gte=since, state__in=OPEN_STATES)
        .filter(Q(customer__name__iexact=who) if who else Q(customer=None))
        .filter(Q(title__iexact=title) if title else Q())
        .exclude(token=token)
        .annotate(cookies=Sum("lines__quantity"))
        .filter(cookies=quantity)
        .first()
    )


def paid(order: Order) -> dict:
    """What came in: deposits and balances less what was given back."""
    sums = dict(order.payments.values_list("what").annotate(sum=Sum("amount")).order_by("what"))
    back = sums.pop(Payment.What.REFUND, 0)
    return {"by_kind": sums, "total": sum(sums.values()) - back, "back": back}


def a_year_ago(now: datetime, *, days: int = 10) -> Order | None:
    """An order handed over at this time last year, whoever might want it again."""
    from datetime import timedelta

    middle = now - timedelta(days=365)
    near = Order.objects.filter(
        state=State.HANDED_OVER,
        for_stock=False,
        hand_over_at__range=(middle - timedelta(days=3), middle + timedelta(days=days)),
        again=None,
    )
    return with_lines(near.order_by("hand_over_at")).first()
