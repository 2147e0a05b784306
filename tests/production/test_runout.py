"""From a quote to the day's close: what an order wants of the cupboard, by the day, and what is left."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.utils import timezone

from bakery.orders.services import set_state
from bakery.production.models import Job
from bakery.production.services import finish_run, undo_run
from bakery.production.services.reserving import changed_wants, save_wants
from bakery.stock.ledger import ReceiveLine, on_hand, receive
from bakery.stock.models import Reserve
from bakery.stock.runout.outlook import outlooks
from bakery.stock.runout.shopping import shopping_list
from bakery.stock.runout.shorts import soon_short
from bakery.stock.signals import Need
from tests import factories as make

from .conftest import NOW, at


@pytest.fixture
def flour(planned):
    """600 g of flour came two days ago; the rounds take two batches of 375 g."""
    item = make.StockItemFactory(
        name="Plain flour", pack_size=Decimal(1500), pack_price=Decimal("1.10"), supplier="Mill", lead_days=2,
        margin_days=1,
    )  # fmt: skip
    line = ReceiveLine(item=item, quantity=Decimal(600), cost=Decimal("0.60"))
    receive(supplier="Mill", on=(NOW - timedelta(days=2)).date(), lines=[line], token=uuid4())
    item.refresh_from_db()
    return item


def outlook(item):
    return outlooks(NOW, [item])[0]


def keep(run_queued):
    run_queued("cupboard_books")


def doughs():
    return list(Job.objects.filter(kind="dough", order__number=119).order_by("planned_start", "key"))


def test_each_dough_takes_its_flour_on_its_own_day(flour, run_queued):
    save_wants(changed_wants(NOW))
    first, second = doughs()
    apart = first.planned_start + timedelta(days=2)
    Job.objects.filter(pk=second.pk).update(planned_start=apart, planned_end=apart + timedelta(minutes=20))
    save_wants(changed_wants(NOW))
    one = outlook(flour)
    assert [(take.at, take.quantity) for take in one.takes] == [
        (first.planned_start, 375), (apart, 375)]  # fmt: skip
    assert (one.firm.short_at, one.firm.short_by) == (apart, 150)
    assert changed_wants(NOW) == (), "reckoned again it is the same"
    (line,) = shopping_list(NOW).lines
    assert (line.packs, line.by) == (1, timezone.localdate(apart) - timedelta(days=3))
    assert "for Rowing tea" in line.why


def test_from_the_quote_to_the_close_of_the_day(flour, run_queued, django_capture_on_commit_callbacks):
    quote = make.OrderFactory(number=140, state="quoted", lines__quantity=12, lines__spares=0,
                              hand_over_at=at(12, days=12))  # fmt: skip
    save_wants(changed_wants(NOW))
    assert Reserve.objects.get(order="o140").firm is False
    assert (outlook(flour).firm.short_by, outlook(flour).soft.short_by) == (150, 525)
    assert len(shopping_list(NOW).quoted) == 1

    with django_capture_on_commit_callbacks(execute=True):
        set_state(order=quote, state="booked")
    run_queued()
    assert Reserve.objects.get(order="o140").firm is True, "booked, it is reserved firmly"
    assert outlook(flour).firm.short_by == 525
    assert shopping_list(NOW).quoted == ()

    done = [job.key for job in Job.objects.filter(kind="dough", order__number=140)]
    assert done
    with django_capture_on_commit_callbacks(execute=True):
        finish_run(keys=done, now=NOW)
    keep(run_queued)
    assert on_hand([flour])[flour.pk] == 225, "used at the day's close"
    assert not Reserve.objects.filter(order="o140", item=flour).exists()
    assert outlook(flour).firm.short_by == 525, "what is used is neither wanted nor there any more"
    with django_capture_on_commit_callbacks(execute=True):
        undo_run(keys=done)
    keep(run_queued)
    assert on_hand([flour])[flour.pk] == 600

    quote.refresh_from_db()
    with django_capture_on_commit_callbacks(execute=True):
        set_state(order=quote, state="cancelled")
    run_queued()
    assert not Reserve.objects.filter(order="o140").exists(), "cancelled, all of it is free again"
    assert outlook(flour).firm.short_by == 150


def test_things_nobody_counts_are_wanted_in_amounts_too(flour, run_queued):
    butter = make.StockItemFactory(
        name="Butter", group="fresh", level="low", pack_size=Decimal(250), supplier="Mill"
    )
    save_wants(changed_wants(NOW))
    one = outlook(butter)
    assert one.left is None
    assert one.wanted > 0
    line = next(line for line in shopping_list(NOW).lines if line.item == butter)
    assert line.packs == -(-int(one.wanted) // 250)
    assert line.why.startswith("Little left; ")


def test_beside_tonight_stands_what_the_books_are_short_of_soon(flour, run_queued):
    first, second = doughs()
    apart = first.planned_start + timedelta(days=2)
    Job.objects.filter(pk=second.pk).update(planned_start=apart, planned_end=apart + timedelta(minutes=20))
    save_wants(changed_wants(NOW))
    assert soon_short(NOW, apart - timedelta(hours=1), ()) == ()
    (row,) = soon_short(NOW, apart, ())
    assert (row.item, row.at) == (flour, apart)
    assert row.before == "About 150 g short by"
    assert row.after == " for Rowing tea: 750 g wanted, 600 g left."
    assert flour.level == "have", "she never said that it is low"


def test_what_she_says_is_low_is_left_out_where_the_books_know_of_enough(flour, run_queued):
    save_wants(changed_wants(NOW))
    need = Need(flour.name, NOW, "Rowing tea")
    flour.level = "low"
    flour.save()
    receive(supplier="Mill", on=NOW.date(), token=uuid4(),
            lines=[ReceiveLine(item=flour, quantity=Decimal(1500), cost=Decimal("1.10"))])  # fmt: skip
    flour.level = "low"
    flour.save()
    assert soon_short(NOW, NOW + timedelta(days=9), [need]) == ()
    other = make.StockItemFactory(name="Vanilla", level="low")
    (row,) = soon_short(NOW, NOW + timedelta(days=9), [Need("vanilla", NOW, "Rowing tea")])
    assert (row.item, row.what_for) == (other, "Rowing tea")
