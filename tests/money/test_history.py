"""Invented years: whole books, the same for the same seed, and pages that ask no more the longer they are."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.db.models import F, Sum
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from bakery.money import queries, services
from bakery.money.history import fill_history
from bakery.money.models import LineSum, OrderSum
from bakery.money.page import span_of
from bakery.orders.models import Order
from bakery.production.models import Job
from bakery.stock.models import Move, Packet
from bakery.studio.emptying import empty_studio

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 24, 17, 30, tzinfo=ZoneInfo("Europe/London"))
PAGES = ("/money/", "/money/?of=all", "/orders/", "/orders/closed/", "/cupboard/", "/tonight/")


def fill(orders, moves=600):
    fill_history(years=2, orders=orders, moves=moves, seed=3, now=timezone.now())
    services.catch_up(most=None)


def counts(client):
    """Queries of each page; asked twice, since the first answer fills caches."""
    past = Order.objects.filter(number__gt=10_000, state="handed_over").order_by("number")
    pages = (*PAGES, f"/orders/{past[40].number}/", f"/packets/of/{past[40].key}/")
    found = {}
    for page in pages:
        client.get(page)
        with CaptureQueriesContext(connection) as seen:
            assert client.get(page).status_code == 200
        found["one order" if page == pages[-2] else page if page in PAGES else "packets"] = len(seen)
    return found


def test_twice_the_history_asks_no_more_queries(signed_in):
    fill(60)
    small = counts(signed_in)
    empty_studio()
    fill(120, 1200)
    large = counts(signed_in)
    for page, queries_ in large.items():
        assert queries_ <= small[page], page
        assert queries_ < 70, page


def test_the_books_of_it_are_whole():
    fill(60)
    assert Order.objects.filter(number__gt=10_000).count() == 60
    assert abs(Move.objects.filter(packet__code__startswith="H").count() - 600) < 100
    for packet in Packet.objects.filter(code__startswith="H").annotate(
        moved=Sum("moves__quantity"), spent=Sum("moves__cost")
    ):
        assert round(packet.moved, 3) == packet.left
        assert round(packet.spent, 2) == packet.cost_left
        assert packet.left >= 0
    assert not Job.objects.filter(order__number__gt=10_000, done_at__lte=F("started_at")).exists()
    span = span_of("all", timezone.localdate())
    stall = queries.stall_lines(span)
    every = queries.pay_of_all(queries.pay_by_month(span, stall))
    for parts in (queries.pay_by("design", span, stall), queries.pay_by_month(span, stall)):
        assert sum(one.brought for one in parts.values()) == every.brought
        assert sum(one.cost for one in parts.values()) == every.cost
        assert sum(one.took for one in parts.values()) == every.took
    for order in OrderSum.objects.filter(made=True, order__line_sums__isnull=False).distinct():
        lines = LineSum.objects.filter(order=order.order_id)
        for name in ("cost", "thought", "took"):
            assert sum(getattr(line, name) for line in lines) == getattr(order, name)
        assert sum(line.brought for line in lines) == (order.brought or 0)


@pytest.mark.slow
def test_the_same_seed_invents_the_same():
    def seen():
        fill_history(years=1, orders=30, moves=90, seed=8, now=NOW)
        rows = Order.objects.filter(number__gt=10_000).order_by("number")
        moves = Move.objects.filter(packet__code__startswith="H")
        return (
            list(rows.values_list("number", "title", "hand_over_at", "state", "quotes__total")),
            list(moves.order_by("pk").values_list("quantity", "cost")),
        )

    first = seen()
    empty_studio()
    assert seen() == first


def test_a_studio_with_anything_in_it_is_left_alone():
    from tests import factories as make

    make.CustomerFactory()
    with pytest.raises(CommandError, match="something in this studio"):
        call_command("make_history", years=1, orders=1, moves=1)
    with pytest.raises(CommandError, match="1 to 20 years"):
        call_command("make_history", years=0)


def test_a_file_that_is_there_is_left_alone(tmp_path):
    there = tmp_path / "kept.sqlite3"
    there.write_text("hers")
    with pytest.raises(CommandError, match="there already"):
        call_command("make_history", years=1, into=str(there))
    assert there.read_text() == "hers"
