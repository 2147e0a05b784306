"""The stall: an order made for stock is put down, taken along, counted; bad input keeps what was typed."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.utils import timezone

from bakery.orders.models import State
from bakery.stock import stall
from bakery.stock.models import MadeAhead, StallDay
from tests.factories import DesignFactory, OrderFactory, StudioFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def order():
    StudioFactory()
    return OrderFactory(
        title="Saturday stall", way="stall", for_stock=True, state=State.READY, lines__quantity=24,
        own_price=Decimal("60"),
    )  # fmt: skip


@pytest.fixture
def standing(signed_in, order):
    signed_in.post(f"/stall/put-down/{order.number}/")
    return MadeAhead.objects.get()


def take(client, item, many, token="3b0f8f0a-3a55-4b0e-8f9e-6a6b7e2f0001", **more):
    fields = {"token": token, f"take-{item.pk}": many, f"price-{item.pk}": "2.50", "place": "Quay"} | more
    return client.post("/stall/take/", fields)


def test_one_press_puts_a_ready_order_down_and_hands_it_over(signed_in, order):
    assert b"Put with what stands ready" in signed_in.get(f"/orders/{order.number}/").content
    assert b"Saturday stall is done" in signed_in.get("/stall/").content
    for _ in range(2):  # pressed twice
        assert signed_in.post(f"/stall/put-down/{order.number}/").url == "/stall/"
    order.refresh_from_db()
    assert order.state == State.HANDED_OVER
    item = MadeAhead.objects.get()
    assert (item.quantity, item.price_each, item.what) == (24, Decimal("2.50"), "finished")
    assert item.keeps_until > timezone.localdate()


def test_an_order_of_a_customer_is_not_put_down(signed_in, order):
    order.for_stock = False
    order.save()
    assert signed_in.post(f"/stall/put-down/{order.number}/").url == f"/orders/{order.number}/"
    assert not MadeAhead.objects.exists()


def test_a_day_out_and_back(signed_in, standing):
    assert take(signed_in, standing, "20").status_code == 302
    take(signed_in, standing, "20")  # pressed twice
    day = StallDay.objects.get()
    line = day.lines.get()
    page = signed_in.get("/stall/")
    assert b"20 cookies are out with you." in page.content
    signed_in.post(f"/stall/{day.pk}/back/", {f"sold-{line.pk}": "15", f"back-{line.pk}": "4"})
    page = signed_in.get("/stall/").content.decode()
    assert "8 cookies stand ready." in page
    assert "15 of 20 sold, 4 brought back, 1 given away or broken" in page
    assert "37.50" in page
    assert 'value="15"' in signed_in.get(f"/stall/{day.pk}/").content.decode()


@pytest.mark.parametrize("bad", ["25", "-1", "x", "2.5", "²", "9" * 60, "1e3"])
def test_too_many_or_no_number_keeps_what_was_typed(signed_in, standing, bad):
    page = take(signed_in, standing, bad)
    assert page.status_code == 422
    assert b"field__error" in page.content
    assert b'value="Quay"' in page.content
    assert not StallDay.objects.exists()


@pytest.mark.parametrize("more", [{"on": "2026-13-45"}, {"on": "1999-01-01"}, {"place": "x" * 300}])
def test_odd_days_and_places(signed_in, standing, more):
    page = take(signed_in, standing, "5", **more)
    assert page.status_code == 422
    assert b"field__error" in page.content


def test_nothing_taken_along_is_asked(signed_in, standing):
    page = take(signed_in, standing, "")
    assert page.status_code == 422
    assert b"How many of which do you take along?" in page.content


@pytest.mark.parametrize(("sold", "back"), [("15", "9"), ("-1", "0"), ("x", "1"), ("9" * 40, "0")])
def test_a_count_that_cannot_be_is_told_beside_its_field(signed_in, standing, sold, back):
    take(signed_in, standing, "20")
    day = StallDay.objects.get()
    line = day.lines.get()
    page = signed_in.post(f"/stall/{day.pk}/back/", {f"sold-{line.pk}": sold, f"back-{line.pk}": back})
    assert page.status_code == 422
    assert b"field__error" in page.content
    assert f'value="{sold}"'.encode() in page.content
    day.refresh_from_db()
    assert day.came_back_at is None


def test_a_lost_token_still_makes_a_day(signed_in, standing):
    assert take(signed_in, standing, "5", token="").status_code == 302
    assert take(signed_in, standing, "5", token="nonsense").status_code in (302, 422)


def test_staying_at_home(signed_in, standing):
    take(signed_in, standing, "20")
    signed_in.post(f"/stall/{StallDay.objects.get().pk}/not-taken/")
    assert sum(one.left for one in stall.standing()) == 24


def test_the_page_reads_the_same_however_much_there_is(signed_in, order, django_assert_max_num_queries):
    for number in range(12):
        stall.put_down(
            ready=[stall.Ready(f"o{number}.l1", f"Round {number}", 12, {}, Decimal(2))], keeps_days=9
        )
    items = [one.item for one in stall.standing()]
    for back in range(12):
        day = stall.take_along(token=uuid4(), takes=[stall.Take(items[back].pk, 3, Decimal(2))])
        if back % 2:
            StallDay.objects.filter(pk=day.pk).update(
                came_back_at=timezone.now(), on=timezone.localdate() - timedelta(days=back)
            )
    with django_assert_max_num_queries(24):
        assert signed_in.get("/stall/").status_code == 200


def test_cookies_put_down_by_hand_stand_there_too(signed_in, order):
    design = DesignFactory(name="Anchor", shape="oval")
    fields = {"thing": f"finished:{design.name}", "quantity": "12", "place": "tin"}
    assert signed_in.post("/cupboard/ahead/", fields).status_code == 302
    page = signed_in.get("/stall/")
    assert b"12 cookies stand ready." in page.content
    assert page.context["drawings"][0]["shape"] == "oval"
    assert b"12 Anchor, ready" in signed_in.get("/cupboard/").content


@pytest.mark.parametrize(
    ("sold", "back", "counts"), [("15", "", (15, 5)), ("", "5", (15, 5)), ("0", "", (0, 20))]
)
def test_one_of_two_numbers_is_enough(signed_in, standing, sold, back, counts):
    take(signed_in, standing, "20")
    day = StallDay.objects.get()
    line = day.lines.get()
    signed_in.post(f"/stall/{day.pk}/back/", {f"sold-{line.pk}": sold, f"back-{line.pk}": back})
    line.refresh_from_db()
    assert (line.sold, line.back) == counts


def test_nothing_said_counts_nothing(signed_in, standing):
    take(signed_in, standing, "20")
    day = StallDay.objects.get()
    page = signed_in.post(f"/stall/{day.pk}/back/", {})
    assert page.status_code == 422
    assert b"How many were sold?" in page.content
    assert StallDay.objects.get().came_back_at is None
