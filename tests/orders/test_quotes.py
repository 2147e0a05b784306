"""A quote is a numbered snapshot: exact to the penny, the same when asked twice, hers kept apart."""

import json
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bakery.orders.data import LineData
from bakery.orders.errors import AllergyNotAsked
from bakery.orders.models import Order, Quote, State
from bakery.orders.quotes import make_quote, open_until, snapshot_of
from bakery.orders.rows import data_of
from bakery.orders.services import book_with_deposit, change_order, take_order, tell_allergies
from tests.factories import ColourFactory, DesignFactory, StudioFactory, VariationFactory

from .conftest import NOW, some_data

pytestmark = pytest.mark.django_db


def taken(**more) -> Order:
    return take_order(token=uuid4(), data=some_data(**more))


def sum_of(snapshot) -> Decimal:
    return sum((Decimal(row["amount"]) for row in snapshot["lines"]), Decimal(0))


def test_a_quote_adds_up_and_says_until_when(order):
    quote = make_quote(order=order, now=NOW)
    snapshot = quote.snapshot
    assert sum_of(snapshot) == quote.total == Decimal(snapshot["total"])
    assert quote.deposit == quote.total / 2
    assert Decimal(snapshot["deposit"]) + Decimal(snapshot["balance"]) == quote.total
    assert quote.valid_until == NOW.replace(hour=18, minute=0) + timedelta(days=2)
    assert Order.objects.get(pk=order.pk).state == State.QUOTED


def test_every_line_is_its_number_times_its_price(order):
    for row in make_quote(order=order, now=NOW).snapshot["lines"]:
        if row["each"]:
            assert Decimal(row["each"]) * row["how_many"] == Decimal(row["amount"])


def test_asked_twice_it_is_the_same_quote(order):
    one = make_quote(order=order, now=NOW)
    assert make_quote(order=order, now=NOW + timedelta(minutes=5)).pk == one.pk


def test_a_changed_order_gets_a_new_version_and_the_old_one_stays(order):
    first = make_quote(order=order, now=NOW)
    data = data_of(order)
    change_order(order=order, revision=1, data=replace(data, lines=(replace(data.lines[0], quantity=36),)))
    second = make_quote(order=order, now=NOW)
    assert (first.version, second.version) == (1, 2)
    assert Quote.objects.get(version=1).snapshot == first.snapshot
    with pytest.raises(ValueError, match="never changed"):
        first.save()


def test_one_that_ran_out_is_made_anew(order):
    make_quote(order=order, now=NOW)
    assert make_quote(order=order, now=NOW + timedelta(days=4)).version == 2


def test_her_own_price_is_the_total_to_the_penny():
    order = taken(
        own_price=Decimal("187.37"), lines=(LineData("stencil", 31, colours=2), LineData("plain", 7))
    )
    snapshot = make_quote(order=order, now=NOW).snapshot
    assert snapshot["total"] == "187.37"
    assert sum_of(snapshot) == Decimal("187.37")


def test_lines_of_one_design_are_merged_over_its_base_colours():
    design = DesignFactory(name="Fern plaque")
    bases = [
        VariationFactory(design=design, base=ColourFactory(name=name)) for name in ("Bone", "Sage", "Slate")
    ]
    lines = tuple(
        LineData(design.kind.key, 12, design=design.pk, variation=base.pk, packaging="box") for base in bases
    )
    snapshot = make_quote(order=taken(lines=lines), now=NOW).snapshot
    assert snapshot["title"] == "36 fern plaques"
    assert [(row["what"], row["how_many"]) for row in snapshot["lines"][:1]] == [
        ("Fern plaque, three base colours", 36)
    ]
    assert [picture["caption"] for picture in snapshot["pictures"]] == ["Bone, 12", "Sage, 12", "Slate, 12"]


def test_what_she_earns_is_apart_from_what_the_customer_sees(order):
    snapshot = make_quote(order=order, now=NOW).snapshot
    hers = snapshot.pop("hers")
    assert Decimal(hers["pays"]) > 0
    assert "hour" not in json.dumps(snapshot)
    assert "Margin" not in json.dumps(snapshot)


def test_allergens_terms_and_their_own_words_are_in_it():
    StudioFactory(contains="wheat, milk", handles="nuts", terms="No refunds for craters.")
    order = taken(allergy_state="told", allergies="no sesame, one guest")
    snapshot = make_quote(order=order, now=NOW).snapshot
    assert snapshot["allergens"] == {
        "contains": "wheat, milk",
        "handles": "nuts",
        "theirs": "no sesame, one guest",
    }
    assert snapshot["terms"] == "No refunds for craters."


def test_nobody_is_quoted_who_was_not_asked(order):
    tell_allergies(order=order, allergy_state="not_asked")
    with pytest.raises(AllergyNotAsked):
        make_quote(order=order, now=NOW)
    assert not Quote.objects.exists()


def test_a_snapshot_survives_the_database_unchanged(order):
    snapshot = snapshot_of(order, NOW)
    assert json.loads(json.dumps(snapshot)) == snapshot


def test_booking_records_the_deposit_once(order):
    quote = make_quote(order=order, now=NOW)
    for _ in range(2):
        booked = book_with_deposit(order=order, on=NOW.date())
    assert booked.deposit_paid
    assert [payment.amount for payment in order.payments.all()] == [quote.deposit]


def test_a_quote_is_open_until_six_in_the_evening(db):
    assert open_until(NOW).strftime("%a %H:%M") == "Thu 18:00"
    assert open_until(NOW.replace(hour=23)).strftime("%a %H:%M") == "Thu 18:00"


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    quantities=st.lists(st.integers(1, 400), min_size=1, max_size=4),
    own=st.one_of(st.none(), st.decimals(0, 5000, places=2)),
    packaging=st.sampled_from(["bag", "box", "none", "platter"]),
)
def test_whatever_is_ordered_the_lines_add_up(db, quantities, own, packaging):
    kinds = ("plain", "two_colour", "stencil", "lettered")
    lines = tuple(LineData(kinds[i], n, packaging=packaging) for i, n in enumerate(quantities))
    quote = make_quote(order=taken(lines=lines, own_price=own), now=NOW)
    assert sum_of(quote.snapshot) == quote.total
    assert own is None or quote.total == own
    assert 0 <= quote.deposit <= quote.total
