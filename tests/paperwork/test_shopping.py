"""The shopping list on paper."""

from datetime import timedelta
from decimal import Decimal
from types import SimpleNamespace
from uuid import uuid4

import pytest
from django.utils import timezone

from bakery.paperwork.rendering import can_print
from bakery.paperwork.shopping import shopping_sheet
from bakery.stock import ledger
from tests import factories as make

pytestmark = pytest.mark.django_db
HOSTILE = '<img src="file:///etc/passwd"> =1+1 & "x"'


@pytest.fixture
def short():
    make.StudioFactory()
    now = timezone.now()
    butter = make.StockItemFactory(name="Butter", pack_size=Decimal(250), pack_price=Decimal("2.10"),
                                   supplier="Capstan Stores", lead_days=1)  # fmt: skip
    odd = make.StockItemFactory(name=HOSTILE, supplier=HOSTILE, lead_days=30, level="out")
    make.StockItemFactory(name="Gold dust", level="out")
    line = ledger.ReceiveLine(butter, Decimal(500), Decimal("4.20"))
    ledger.receive(supplier="", on=timezone.localdate(), lines=[line], token=uuid4())
    at = now + timedelta(days=9)
    ledger.reserve(order="o1", wants=[ledger.Want(butter, 900, at), ledger.Want(odd, 40, at)], firm=True)
    return now


def test_a_shop_after_the_other_with_sums_that_add_up(short):
    paper = shopping_sheet(short)
    capstan = next(shop for shop in paper["shops"] if shop["name"] == "Capstan Stores")
    assert [(line["what"], line["much"], line["cost"]) for line in capstan["lines"]] == [
        ("Butter", "2 x 250 g", "4.20")]  # fmt: skip
    assert capstan["total"] == "4.20"
    other = next(shop for shop in paper["shops"] if shop is not capstan)
    assert (other["lines"][0]["by"], other["lines"][0]["cost"]) == ("at once", "")
    assert other["total"] == "0.00, besides 1 without a price"
    assert paper["total"] == "4.20"
    assert "Gold dust (out)" in paper["also"]


@pytest.mark.skipif(not can_print(), reason="Pango is not installed")
def test_the_pdf_reads_nothing_from_outside_and_comes_as_one(signed_in, short):
    answer = signed_in.get("/papers/shopping/shopping.pdf")
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")
    assert b"/etc/passwd" not in answer.content


def test_without_the_library_the_page_is_shown(signed_in, short, monkeypatch):
    from bakery.paperwork import rendering, views

    def missing(*args):
        raise rendering.NoPdfHere("none")

    monkeypatch.setattr(views, "set_pdf", missing)
    answer = signed_in.get("/papers/shopping/shopping.pdf")
    assert (answer.status_code, answer.url) == (302, "/shopping/")


def test_an_empty_list_is_a_paper_too(signed_in):
    make.StudioFactory()
    assert shopping_sheet(timezone.now())["shops"] == []
    assert signed_in.get("/papers/shopping/shopping.pdf").status_code == 200


def test_it_takes_a_bounded_number_of_queries(short, django_assert_max_num_queries):
    for n in range(30):
        make.StockItemFactory(name=f"Thing {n}", level="low", supplier=f"Shop {n}")
    with django_assert_max_num_queries(16):
        shopping_sheet(short)


def test_the_day_sheet_says_what_is_to_be_ordered_that_day_by_the_books(short):
    from bakery.paperwork.mind import _shopping
    from bakery.stock.models import StockItem

    def said(days):
        sheet = SimpleNamespace(now=short, end=short + timedelta(days=days))
        return [one for one in _shopping(sheet) if one.startswith("Butter, 400 g short on")]

    assert said(1) == []
    StockItem.objects.filter(name="Butter").update(lead_days=6)
    assert said(1)[0].endswith(": order it.")
