"""Options side by side: made, quoted on one paper, chosen at what was offered; quotes that never change."""

import json
from copy import deepcopy
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from bakery.orders import options
from bakery.orders.data import LineData
from bakery.orders.errors import OrderChangedMeanwhile
from bakery.orders.models import Option, Order, Quote, State
from bakery.orders.options import NoOption, choose, offer
from bakery.orders.queries import order_by_number
from bakery.orders.quotes import make_quote, quote_to_book
from bakery.orders.rows import data_of
from bakery.orders.services import book_with_deposit, change_order, take_order
from bakery.orders.versions import versions_of
from bakery.studio.services import change_settings

from .conftest import NOW, some_data

pytestmark = pytest.mark.django_db
LINES = (LineData("stencil_detail", 36, colours=5),)


@pytest.fixture
def ferns():
    return order_by_number(take_order(token=uuid4(), data=some_data(lines=LINES)).number)


def again(order):
    return order_by_number(order.number)


def offered_three(order):
    offer(order=order, use="simpler:1=without.piped.1")
    offer(order=order, quantities={1: 24}, title="Two dozen")
    return again(order)


def rows_sum(said):
    return sum((Decimal(row["amount"]) for row in said["lines"]), Decimal(0))


def test_versions_stand_side_by_side_and_save_what_they_say(ferns):
    order = offered_three(ferns)
    asked, dotless, fewer = versions_of(order)
    assert [one.letter for one in (asked, dotless, fewer)] == ["A", "B", "C"]
    assert (dotless.title, fewer.title) == ("Without the dots", "Two dozen")
    assert asked.asked - dotless.asked == dotless.saves > 0
    assert fewer.data.quantity == 24
    assert Order.objects.count() == 1


def test_the_same_again_is_the_same_option_and_three_are_enough(ferns):
    order = offered_three(ferns)
    offer(order=order, quantities={1: 24})
    assert Option.objects.count() == 2
    with pytest.raises(NoOption, match="Two stand beside it"):
        offer(order=order, quantities={1: 30})
    with pytest.raises(NoOption, match="asked for already"):
        offer(order=order, quantities={1: 36})
    with pytest.raises(NoOption, match="asked for already"):
        offer(order=order, use="simpler:1=without.piped.77")


def test_one_quote_shows_all_of_them_and_each_adds_up(ferns):
    quote = make_quote(order=offered_three(ferns), now=NOW)
    said = quote.snapshot
    assert [one["letter"] for one in said["options"]] == ["A", "B", "C"]
    for one in said["options"]:
        assert rows_sum(one) == Decimal(one["total"])
        assert Decimal(one["deposit"]) + Decimal(one["balance"]) == Decimal(one["total"])
        for row in one["lines"]:
            assert not row["each"] or Decimal(row["each"]) * row["how_many"] == Decimal(row["amount"])
    assert Decimal(said["options"][0]["total"]) == quote.total == rows_sum(said)
    assert said["options"][1]["pictures"][0]["drawing"]["dots"] == ""
    assert said["options"][0]["pictures"][0]["drawing"]["dots"]
    assert "A, B or C" in said["to_say_yes"][0]


def test_the_chosen_one_is_the_order_at_what_was_offered(ferns):
    first = make_quote(order=offered_three(ferns), now=NOW)
    dotless = first.snapshot["options"][1]
    change_settings(values={"hourly_wage": Decimal(40)}, reason="dearer now")
    order = again(ferns)
    choose(order=order, option=order.options.all()[0], revision=order.revision, at=NOW)
    order = again(ferns)
    assert order.lines.all()[0].ways == ["without.piped.1"]
    second = order.quotes.get(version=2)
    assert second.snapshot["total"] == dotless["total"]
    assert second.snapshot["changed"][0] == "You chose B: without the dots."
    assert second.snapshot["options"] == []
    assert rows_sum(second.snapshot) == second.total
    assert quote_to_book(order=order, now=NOW).pk == second.pk
    assert not [option for option in order.options.all() if option.offered]
    book_with_deposit(order=order, on=NOW.date())
    assert again(ferns).payments.get().amount == second.deposit


def test_as_asked_can_be_chosen_and_what_was_asked_can_come_back(ferns):
    order = offered_three(ferns)
    make_quote(order=order, now=NOW)
    choose(order=order, option=None, revision=order.revision, at=NOW)
    assert again(ferns).quotes.get(version=2).snapshot["changed"][0] == "You chose A: as asked."
    order = again(ferns)
    options.put_away(option=order.options.all()[0])
    Option.objects.filter(pk=order.options.all()[1].pk).update(offered=True)
    order = again(ferns)
    choose(order=order, option=order.options.all()[1], revision=order.revision, at=NOW)
    assert again(ferns).lines.all()[0].quantity == 24
    back = Option.objects.get(title="As asked")
    Option.objects.filter(pk=back.pk).update(offered=True)
    order = again(ferns)
    choose(order=order, option=back, revision=order.revision, at=NOW)
    assert again(ferns).lines.all()[0].quantity == 36


def test_her_own_price_falls_by_the_same_saving(ferns):
    Order.objects.filter(pk=ferns.pk).update(own_price=Decimal("300.00"))
    order = offered_three(again(ferns))
    asked, dotless, _ = versions_of(order)
    assert dotless.asked == 300 - (asked.price.total - dotless.price.total)
    quote = make_quote(order=order, now=NOW)
    assert quote.snapshot["options"][1]["total"] == f"{dotless.asked:.2f}"
    order = again(ferns)
    choose(order=order, option=order.options.all()[0], revision=order.revision, at=NOW)
    assert again(ferns).own_price == dotless.asked


def test_a_stale_press_chooses_nothing(ferns):
    order = offered_three(ferns)
    with pytest.raises(OrderChangedMeanwhile):
        choose(order=order, option=order.options.all()[0], revision=99, at=NOW)
    assert again(ferns).lines.all()[0].ways == []
    assert all(option.offered for option in again(ferns).options.all())


def test_an_option_follows_when_the_order_changes(ferns):
    order = offered_three(ferns)
    data = data_of(order)
    more = replace(data, lines=(replace(data.lines[0], quantity=40), LineData("plain", 5)))
    change_order(order=order, revision=order.revision, data=more)
    _, dotless, fewer = versions_of(again(ferns))
    assert (dotless.data.quantity, fewer.data.quantity) == (45, 29)


def test_a_yes_to_an_open_quote_is_kept_to_when_all_is_dearer(ferns):
    quote = make_quote(order=ferns, now=NOW)
    change_settings(values={"hourly_wage": Decimal(60), "tax_percent": Decimal(20)}, reason="dearer")
    assert quote_to_book(order=again(ferns), now=NOW).pk == quote.pk
    late = quote_to_book(order=again(ferns), now=NOW + timedelta(days=9))
    assert late.version == 2
    assert late.total > quote.total


def test_a_stored_quote_never_changes():
    from django.db.models import F, Value
    from django.db.models.functions import Concat

    from bakery.designs.models import Design, Layer
    from bakery.stock.models import Colour, StockItem
    from bakery.studio.example.fill import fill_example

    fill_example(NOW)
    quotes = {quote.pk: deepcopy(quote.snapshot) for quote in Quote.objects.all()}
    totals = dict(Quote.objects.values_list("pk", "total"))
    assert len(quotes) > 3
    change_settings(values={"hourly_wage": Decimal(50), "name": "Other", "terms": "New.", "contains": "no",
                            "tax_percent": Decimal(20)}, reason="all new")  # fmt: skip
    Design.objects.update(motif="", width_mm=200, name=Concat(Value("No longer "), F("slug")))
    Layer.objects.all().delete()
    Colour.objects.update(hex="#000000")
    StockItem.objects.update(pack_price=Decimal(99))
    for order in Order.objects.all():
        order.lines.update(quantity=1)
    for quote in Quote.objects.all():
        assert quote.snapshot == quotes[quote.pk]
        assert quote.total == totals[quote.pk]
        assert json.loads(json.dumps(quote.snapshot)) == quote.snapshot
        assert rows_sum(quote.snapshot) == quote.total


def test_a_second_version_says_what_changed(ferns):
    make_quote(order=ferns, now=NOW)
    data = data_of(ferns)
    moved = replace(data, lines=(replace(data.lines[0], quantity=24),), place="The boathouse",
                    hand_over_at=data.hand_over_at + timedelta(days=1), way="delivered")  # fmt: skip
    change_order(order=ferns, revision=1, data=moved)
    second = make_quote(order=again(ferns), now=NOW)
    words = " ".join(second.snapshot["changed"])
    for part in ("24 stencil with detail, before 36.", "Hand-over Sunday", "Now delivered to The boathouse",
                 f"£{second.total} together, before £"):  # fmt: skip
        assert part in words
    assert Quote.objects.get(version=1).snapshot["changed"] == []


@pytest.mark.parametrize("included", [True, False])
def test_tax_delivery_and_rush_stand_on_it_and_the_sum_is_exact(included):
    change_settings(
        values={"tax_percent": Decimal(20), "tax_included": included, "delivery_base": Decimal("4.00"),
                "delivery_per_km": Decimal("0.50"), "rush_days": 30, "rush_percent": Decimal(25)},
        reason="rules",
    )  # fmt: skip
    data = some_data(lines=LINES, way="delivered", distance_km=Decimal(6))
    said = make_quote(order=take_order(token=uuid4(), data=data), now=NOW).snapshot
    rows = {row["what"]: row["amount"] for row in said["lines"]}
    assert rows["Delivery"] == "10.00"
    assert Decimal(rows["At short notice"]) > 0
    assert rows_sum(said) == Decimal(said["total"])
    tax = Decimal(rows["Tax, 20 %"] if not included else said["tax"]["amount"])
    assert abs(tax - Decimal(said["total"]) / 6) < Decimal("0.006")
    assert bool(said["tax"]) is included
    assert ("Tax, 20 %" in rows) is not included


def test_an_order_in_the_kitchen_has_no_options(ferns):
    Order.objects.filter(pk=ferns.pk).update(state=State.BOOKED)
    assert not options.may_have_options(again(ferns))


def test_a_bounded_number_of_queries(ferns, django_assert_max_num_queries):
    order = offered_three(ferns)
    with django_assert_max_num_queries(40):
        make_quote(order=order, now=NOW)
