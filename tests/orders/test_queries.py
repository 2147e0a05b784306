"""Reads about orders: right, and a bounded number of queries however many there are."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from bakery.craft.work import work_of
from bakery.orders import queries
from bakery.orders.adapters import NEW, order_spec, planned_orders, spec_of, spec_to_plan
from bakery.orders.data import LineData
from bakery.orders.models import Order, State
from bakery.orders.pricing import money, panel, span
from bakery.orders.services import record_payment, take_order
from tests.factories import DesignFactory, LayerFactory

from .conftest import NOW, some_data

pytestmark = pytest.mark.django_db


def taken(state=State.BOOKED, **more) -> Order:
    order = take_order(token=uuid4(), data=some_data(**more))
    Order.objects.filter(pk=order.pk).update(state=state)
    return order


def test_planned_orders_take_the_same_queries_for_one_and_for_twenty(django_assert_max_num_queries):
    design = DesignFactory()
    LayerFactory(design=design)
    for n in range(20):
        taken(title=f"Tea {n}", names=("Ada", "Bo"), lines=(LineData(design.kind.key, 12, design=design.pk),))
    with django_assert_max_num_queries(11):
        specs = [order_spec(order) for order in planned_orders()]
    assert len(specs) == 20


def test_a_saved_order_and_its_form_give_the_same_spec():
    data = some_data(
        lines=(LineData("lettered", 24, colours=2), LineData("plain", 6)), names=("Ada", "Bo", "Cy")
    )
    saved = order_spec(take_order(token=uuid4(), data=data))
    typed = spec_of(data)
    assert typed.id == NEW
    assert [line.id for line in saved.lines] == [line.id for line in typed.lines] == ["l1", "l2"]
    assert saved.lines == typed.lines
    assert [line.names for line in saved.lines] == [3, 0]


def test_names_fill_the_lettered_lines_in_turn():
    lines = (LineData("plain", 10), LineData("lettered", 2), LineData("lettered", 5))
    spec = spec_of(some_data(lines=lines, names=("A", "B", "C", "D")))
    assert [line.names for line in spec.lines] == [0, 2, 2]


def test_a_new_line_of_a_saved_order_gets_a_name_nobody_had():
    order = taken()
    line = order.lines.get()
    data = some_data(lines=(LineData("plain", 6), LineData("lettered", 24, line=line.pk)))
    assert [line.id for line in spec_of(data, order=order).lines] == ["l2", "l1"]


@pytest.mark.parametrize("words", ["long table", "PLACE", "boathouse cards", "101"])
def test_search_finds_every_word_anywhere(words):
    order = taken()
    taken(who="Somebody else", title="Tea")
    assert queries.search(words) == [order]


@pytest.mark.parametrize("words", ["", "  ", "\x00", "%", "_", "' OR 1=1", "9" * 50])
def test_search_finds_nothing_for_nonsense(words):
    taken()
    assert queries.search(words) == []


def test_like_that_one_offers_designs_and_orders():
    design, order = DesignFactory(name="Fern plaque"), taken(title="Fern supper")
    taken(title="Fern tea", state=State.DECLINED)
    assert queries.like_that_one("fern") == ([design], [order])


def test_money_in_is_what_came_less_what_went_back():
    order = taken()
    for what, amount in (("deposit", "50.00"), ("balance", "40.00"), ("refund", "15.50")):
        record_payment(order=order, what=what, amount=Decimal(amount), on=NOW.date())
    assert queries.paid(order)["total"] == Decimal("74.50")


def test_a_year_ago_is_offered_until_it_is_made_again():
    old = taken(hand_over_at=NOW - timedelta(days=363), state=State.HANDED_OVER)
    assert queries.a_year_ago(NOW) == old
    take_order(token=uuid4(), data=some_data(), made_again_from=old)
    assert queries.a_year_ago(NOW) is None


def test_the_price_panel_speaks_of_wage_and_gap():
    said = panel(spec_of(some_data()), own=Decimal("10.00"))
    assert said.rough.startswith("£")
    assert said.own_pays.startswith("-£")
    assert said.own_note.endswith("under your wage")
    assert sum(Decimal(amount.replace(",", "")) for _, amount in said.rows) == said.price.total


SPANS = [(0, "0 min"), (59, "59 min"), (60, "1 h"), (230, "3 h 50"), (1440, "24 h"), (4120, "2 days 20 h"),
         (4320, "3 days"), (14500, "10 days")]  # fmt: skip


@pytest.mark.parametrize(("minutes", "words"), SPANS)
def test_a_span_is_said_as_a_person_says_it(minutes, words):
    assert span(minutes) == words


@pytest.mark.parametrize(
    ("amount", "words"), [("214", "£214"), ("4.46", "£4.46"), ("-3.2", "-£3.20"), ("1250", "£1,250")]
)
def test_money_is_written_short(amount, words):
    assert money(Decimal(amount), "£") == words


def test_of_an_order_that_is_ready_nothing_is_left_to_do(order):
    Order.objects.filter(pk=order.pk).update(state=State.READY)
    ready = Order.objects.get(pk=order.pk)
    work = work_of(spec_to_plan(ready))
    assert [job for job in work.jobs if job.planned] == []
    assert {past.job.id: past.ended for past in work.past}[work.finish] == ready.updated_at
    assert [job for job in work_of(order_spec(ready)).jobs if job.planned], "its page still shows the way"
