"""The page where a price opens down, and what its figures are made of."""

import re
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from bakery.orders.adapters import asked_days, order_spec, spec_of
from bakery.orders.data import LineData, OrderData
from bakery.orders.models import Order
from bakery.orders.price_page import price_page
from bakery.orders.pricing import house, panel, tax_words
from bakery.orders.queries import order_by_number
from bakery.studio.example.fill import fill_example
from bakery.studio.services import change_settings

pytestmark = pytest.mark.django_db
TUESDAY = datetime(2026, 11, 24, 14, tzinfo=UTC)


@pytest.fixture
def supper():
    fill_example(TUESDAY)
    return order_by_number(117)


def words_of(reply) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", reply.content.decode()).split())


def every(parts):
    for part in parts:
        yield part
        yield from every(part.parts)


def test_every_figure_on_the_page_is_the_sum_of_those_it_opens_to(supper, admin_client):
    page = price_page(supper)
    quote = max(supper.quotes.all(), key=lambda one: one.version)
    assert page.opened.total == quote.total
    for part in every(page.opened.parts):
        assert not part.parts or sum(p.amount for p in part.parts) == part.amount
    text = words_of(admin_client.get(reverse("order_price", args=[117])))
    for part in every(page.opened.parts):
        assert str(part.amount) in text or not part.amount
    assert "packet P" in text  # down to the packet
    assert "set-up, shared by 36" in text
    assert "times a plain cookie" in text
    assert "For your eyes only" in text


def test_a_bounded_number_of_queries(supper, django_assert_max_num_queries):
    with django_assert_max_num_queries(28):
        price_page(order_by_number(117))


def test_every_example_order_opens(supper, admin_client):
    for number in Order.objects.values_list("number", flat=True).order_by("-number")[:20]:
        assert admin_client.get(reverse("order_price", args=[number])).status_code == 200
    assert admin_client.get(reverse("order_price", args=[9999])).status_code == 404


def test_no_customer_and_no_stranger_sees_it(supper, client):
    assert client.get(reverse("order_price", args=[117])).status_code in (302, 403)


def test_what_the_wage_and_the_floor_are(supper):
    page = price_page(supper)
    assert [row.label for row in page.asked] == ["By this sum", "Your own price", "As quoted"]
    at_wage, at_nothing = page.floors
    assert at_wage.pays == "£16 an hour"
    assert Decimal(at_nothing.amount[1:]) == page.price.spent


def data(**rest):
    lines = (LineData("stencil", 24, colours=2),)
    return OrderData(**({"hand_over_at": timezone.now() + timedelta(days=20), "lines": lines} | rest))


def test_a_delivery_is_priced_by_the_way_there_and_back():
    change_settings(values={"delivery_base": Decimal("3.00"), "delivery_per_km": Decimal("0.40")}, reason="x")
    there = panel(spec_of(data(way="delivered", distance_km=Decimal("7.5"))))
    assert there.price.amount("delivery") == Decimal("9.00")  # 3.00 and 15 km at 0.40
    assert panel(spec_of(data(way="delivered"))).price.amount("delivery") == 3
    assert panel(spec_of(data(distance_km=Decimal(7)))).price.amount("delivery") == 0


def test_a_rush_counts_from_the_day_it_was_asked_for(supper):
    change_settings(values={"rush_days": 7, "rush_percent": Decimal(50)}, reason="x")
    near, far = (panel(spec_of(data(hand_over_at=timezone.now() + timedelta(days=d)))) for d in (3, 20))
    assert near.price.amount("rush") > 0 == far.price.amount("rush")
    assert asked_days(data(asked_at=timezone.now() - timedelta(days=30))) == 50
    assert order_spec(supper).asked_days == 23  # asked twenty days before the first evening, due three after


def test_tax_in_words():
    change_settings(values={"tax_percent": Decimal(20), "tax_included": True}, reason="x")
    assert tax_words(Decimal(120), house()[1], "£") == "of which £20 tax (20 %)"
    change_settings(values={"tax_included": False}, reason="x")
    assert tax_words(Decimal(120), house()[1], "£") == "£100 and £20 tax (20 %)"
    on_top = panel(spec_of(data()))
    assert (on_top.price.total - on_top.price.tax) % 1 == 0  # the price before tax is the round one


def test_a_target_wage_is_what_the_hour_pays():
    values = {"price_rule": "wage", "target_wage": Decimal(31), "round_to": Decimal("0.01")}
    change_settings(values=values, reason="x")
    assert abs(panel(spec_of(data())).price.pays - 31) <= Decimal("0.01")


def test_what_is_no_figure_of_hers_is_said_to_be_an_example(supper, admin_client):
    salt = next(part for part in every(price_page(supper).price.parts) if part.key == "salt")
    assert salt.example
    assert "(an example price)" in words_of(admin_client.get(reverse("order_price", args=[117])))
