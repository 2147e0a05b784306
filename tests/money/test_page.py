"""The page and its tables: the honest sentence, what is owed, presses, hostile names."""

import csv
from decimal import Decimal
from io import StringIO

import pytest
from django.utils import timezone

from bakery.money import services
from bakery.money.page import span_of
from bakery.orders.models import Payment
from tests import factories as make

from .conftest import pay

pytestmark = pytest.mark.django_db


def look(client, address="/money/"):
    answer = client.get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def read(client, name, of=""):
    answer = client.get(f"/money/{name}.csv{of}")
    assert answer.status_code == 200
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.reader(StringIO(text)))


def test_nothing_yet(studio, signed_in):
    page = look(signed_in)
    assert "Nothing has been handed over yet." in page
    assert "Nobody owes you anything." in page


def test_the_headline_is_the_least_that_enough_orders_say(handed_over, signed_in):
    """Fern: 29.30 less 10.50 over two hours is 9.40. Rook pays more; Compass pays less, but on two orders."""
    fern, rook, compass = (make.DesignFactory(name=name) for name in ("Fern plaque", "Rook", "Compass"))
    for design, total, many in ((fern, "29.30", 3), (rook, "60.00", 4), (compass, "15.00", 2)):
        for _ in range(many):
            handed_over(total, design=design)
    page = look(signed_in)
    assert "<h1>Fern plaque pays you £9.40 an hour.</h1>" in page
    assert "It rests on 3 orders since" in page
    assert "less than your wage of £16; Rook pays £24.75" in page
    assert "too few orders to say" in page


def test_without_enough_orders_no_design_is_named(handed_over, signed_in):
    handed_over("47.00", design=make.DesignFactory(name="Fern plaque"))
    page = look(signed_in)
    assert "<h1>An hour pays you £18.25.</h1>" in page
    assert "That rests on 1 order since" in page


def test_a_design_that_costs_her_says_so(handed_over, signed_in):
    fern = make.DesignFactory(name="Fern")
    for _ in range(3):
        handed_over("8.50", design=fern)
    assert "<h1>Fern costs you £1 an hour.</h1>" in look(signed_in)


def test_the_balance_came(handed_over, signed_in):
    order = handed_over("47.00", title="Supper")
    pay(order, "deposit", "20.00")
    assert "£27 is still to come, from 1 order." in look(signed_in)
    for _ in range(2):
        signed_in.post(f"/money/paid/{order.number}/", {"amount": "27.00"})
    (balance,) = Payment.objects.filter(what="balance")
    assert (balance.amount, balance.on) == (Decimal("27.00"), timezone.localdate())
    assert "Nobody owes you anything." in look(signed_in)
    signed_in.post(f"/money/payments/{balance.pk}/back/")
    signed_in.post(f"/money/payments/{balance.pk}/back/")
    assert "£27 is still to come, from 1 order." in look(signed_in)


@pytest.mark.parametrize("amount", ["", "27.01", "-27", "NaN", "1e400", "=27", "27.00\x00", "9" * 50])
def test_another_amount_is_not_recorded(handed_over, signed_in, amount):
    order = handed_over("27.00")
    assert signed_in.post(f"/money/paid/{order.number}/", {"amount": amount}).status_code == 302
    assert not Payment.objects.exists()
    assert signed_in.post("/money/paid/999999/", {"amount": amount}).status_code == 404


@pytest.mark.parametrize("of", ["all", "2025", "1999", "20 25", "²⁰²⁵", "9999", "x" * 500, "%00", "-1"])
def test_any_time_in_the_address_is_answered(handed_over, signed_in, of):
    handed_over("47.00")
    look(signed_in, f"/money/?of={of}")
    read(signed_in, "months", f"?of={of}")


def test_twelve_months_are_whole_ones():
    from datetime import date

    assert span_of("", date(2026, 11, 25)).first == date(2025, 12, 1)
    assert span_of("", date(2026, 12, 31)).first == date(2026, 1, 1)
    assert span_of("", date(2024, 2, 29)).first == date(2023, 3, 1)


HOSTILE = (
    '=HYPERLINK("http://x","y")',
    "+1+1",
    "-2+3",
    "@SUM(A1)",
    "\t=1",
    " =1",
    'a"b,c;d',
    "<script>1</script>",
)


@pytest.mark.parametrize("name", HOSTILE)
def test_no_name_becomes_a_formula_or_a_script(handed_over, signed_in, name):
    design = make.DesignFactory(name=name, slug="hostile")
    order = handed_over("47.00", design=design, title=name, customer=make.CustomerFactory(name=name))
    pay(order, "balance", "10.00")
    Payment.objects.update(note=name)
    assert "<script>1" not in look(signed_in)
    for table in ("orders", "designs", "kinds", "months", "payments", "pace"):
        for row in read(signed_in, table):
            assert not any(cell.lstrip().startswith(("=", "+", "@")) for cell in row)
            assert all(cell[:1] != "-" or cell[1:].replace(".", "", 1).isdigit() for cell in row)


def test_tables_add_up_to_the_page(handed_over, signed_in):
    fern = make.DesignFactory(name="Fern")
    for total, days in (("47.00", 5), ("61.37", 70), ("33.10", 200), ("99.99", 700)):
        handed_over(total, days=days, design=fern)
    orders = read(signed_in, "orders", "?of=all")
    months, designs, kinds = (read(signed_in, name, "?of=all") for name in ("months", "designs", "kinds"))
    assert len(orders) == 5

    def column(table, name):
        return sum(Decimal(row[table[0].index(name)]) for row in table[1:])

    assert column(orders, "brought") == Decimal("241.46")
    for table in (months, designs, kinds):
        assert column(table, "came in") == Decimal("241.46")
        assert column(table, "went out") == column(orders, "went out") == Decimal("42.00")
        assert column(table, "minutes taken") == column(orders, "minutes taken")
    assert len(read(signed_in, "orders")) == 4  # the last twelve months only


def test_each_order_with_what_it_paid(handed_over, signed_in, django_assert_max_num_queries):
    """47.00 less 10.50 over two hours is 18.25, 30.00 less as much 9.75; the least paid comes first."""
    handed_over("47.00", title="Well paid")
    handed_over("30.00", title="Ill paid <b>")
    handed_over(None, title="Nobody knows")
    look(signed_in, "/money/orders/")
    with django_assert_max_num_queries(25):
        page = look(signed_in, "/money/orders/")
    assert page.index("Ill paid &lt;b&gt;") < page.index("Well paid") < page.index("Nobody knows")
    assert "£18.25 an hour" in page
    assert "£9.75 an hour" in page
    assert "no price known" in page
    for odd in (
        "?page=0",
        "?page=x",
        "?page=-1",
        "?page=99999999999",
        "?first=&of=%00",
        "?page=%00",
        "?first=new",
    ):
        look(signed_in, f"/money/orders/{odd}")


def test_a_table_there_is_none_of(studio, signed_in):
    assert signed_in.get("/money/secrets.csv").status_code == 404


def test_only_she_may_look(studio, client):
    for address in ("/money/", "/money/orders.csv"):
        assert client.get(address).status_code == 302


def test_waiting_orders_are_said(handed_over, signed_in, monkeypatch):
    for _ in range(3):
        handed_over("47.00")
    monkeypatch.setattr(services.catch_up, "__kwdefaults__", {"most": 2, "again": 0})
    assert "3 orders are still being added up" in look(signed_in)
