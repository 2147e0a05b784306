"""What is done is booked once, taken back when it is undone, and reserved from the quote on."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from bakery.background.models import Computation
from bakery.orders.services import set_state
from bakery.production.models import Job
from bakery.production.services import answer_evening, finish_run, undo_evening, undo_run
from bakery.production.services.reserving import changed_wants, save_wants
from bakery.production.services.used import book, bookings_for
from bakery.stock.ledger import ReceiveLine, on_hand, receive, reserved
from bakery.stock.models import Move, Reserve
from tests import factories as make

from .conftest import NEXT_MORNING, NOW, at


@pytest.fixture
def flour(planned):
    """Three kilos of flour came two days ago."""
    item = make.StockItemFactory(name="Plain flour", measured=True)
    line = ReceiveLine(item=item, quantity=Decimal(3000), cost=Decimal("3.00"))
    receive(supplier="Mill", on=(NOW - timedelta(days=2)).date(), lines=[line], token=uuid4())
    return item


def doughs():
    return [job.key for job in Job.objects.filter(kind="dough").order_by("key")]


def keep(run_queued):
    run_queued("cupboard_books")


def left(item):
    return on_hand([item])[item.pk]


def test_what_is_done_is_booked_once_for_its_order(flour, run_queued):
    keys = doughs()
    finish_run(keys=keys[:1], now=NOW)
    keep(run_queued)
    assert left(flour) == 3000 - 375
    assert {move.order for move in Move.objects.filter(kind="use")} == {"o119"}
    book(bookings_for(keys))
    book(bookings_for(keys))
    finish_run(keys=keys[:1], now=NOW)
    keep(run_queued)
    assert left(flour) == 3000 - 375


def test_undone_is_put_back_and_done_again_is_booked_again(flour, run_queued):
    keys = doughs()[:1]
    for _ in range(2):
        finish_run(keys=keys, now=NOW)
        keep(run_queued)
        assert left(flour) == 2625
        undo_run(keys=keys)
        keep(run_queued)
        assert left(flour) == 3000
    finish_run(keys=keys, now=NOW)
    keep(run_queued)
    assert left(flour) == 2625


def test_done_undone_and_done_in_part_before_the_books_were_kept(flour, run_queued):
    keys = doughs()[:1]
    finish_run(keys=keys, now=NOW)
    keep(run_queued)
    undo_run(keys=keys)
    finish_run(keys=keys, now=NOW, count=6)
    keep(run_queued)
    job = Job.objects.get(key=keys[0])
    assert left(flour) == pytest.approx(3000 - Decimal(375) * 6 / job.cookies, abs=Decimal("0.01"))


def test_the_morning_answer_books_the_evening_and_taking_it_back_puts_it_back(flour, run_queued, clock):
    Job.objects.filter(kind="dough").update(planned_start=at(19), planned_end=at(19, 20))
    clock.move_to(NEXT_MORNING)
    answer_evening(day=NOW.date(), answer="all", now=NEXT_MORNING)
    keep(run_queued)
    assert left(flour) == 3000 - 2 * 375
    undo_evening(day=NOW.date())
    keep(run_queued)
    assert left(flour) == 3000


def test_more_than_the_books_hold_is_booked_and_flagged(flour, run_queued):
    from bakery.stock.ledger import count_item

    count_item(item=flour, quantity=Decimal(100), token="count")
    finish_run(keys=doughs()[:1], now=NOW)
    keep(run_queued)
    assert left(flour) == 0
    assert Move.objects.filter(flagged=True).count() == 1


def test_nothing_is_asked_for_while_nothing_is_kept(planned):
    make.StockItemFactory(name="Plain flour")
    finish_run(keys=doughs()[:1], now=NOW)
    assert not Computation.objects.filter(kind="cupboard_books").exists()


def test_items_without_packets_stay_have_low_and_out(flour, run_queued):
    make.StockItemFactory(name="Butter")
    finish_run(keys=doughs()[:1], now=NOW)
    keep(run_queued)
    assert set(Move.objects.filter(kind="use").values_list("packet__item__name", flat=True)) == {
        "Plain flour"
    }


def test_orders_reserve_firmly_once_booked_and_release_when_cancelled(
    flour, kitchen, run_queued, django_capture_on_commit_callbacks
):
    save_wants(changed_wants(NOW))
    assert Reserve.objects.get(order="o119").firm
    assert Reserve.objects.get(order="o119").quantity == 750
    assert Reserve.objects.get(order="o119").wanted_at is not None
    assert changed_wants(NOW) == ()
    finish_run(keys=doughs()[:1], now=NOW)
    keep(run_queued)
    assert Reserve.objects.get(order="o119").quantity == 375, "what is used is wanted no more"
    with django_capture_on_commit_callbacks(execute=True):
        set_state(order=kitchen["rounds"], state="cancelled")
    keep(run_queued)
    assert reserved() == {}


def test_a_quote_and_a_held_order_reserve_softly(flour):
    quoted = make.OrderFactory(number=140, state="quoted", lines__quantity=12, hand_over_at=at(12, days=9))
    make.OrderFactory(number=141, state="enquiry", lines__quantity=12, hand_over_at=at(12, days=9))
    save_wants(changed_wants(NOW))
    soft = Reserve.objects.get(order=quoted.key)
    assert (soft.firm, soft.quantity) == (False, 375)
    assert not Reserve.objects.filter(order="o141").exists()


def test_queries_do_not_grow_with_the_orders(flour):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    make.OrderFactory(number=149, state="quoted", lines__quantity=12, hand_over_at=at(12, days=9))
    with CaptureQueriesContext(connection) as few:
        changed_wants(NOW)
        bookings_for(doughs())
    for number in range(150, 156):
        make.OrderFactory(number=number, state="quoted", lines__quantity=12, hand_over_at=at(12, days=9))
    with CaptureQueriesContext(connection) as more:
        changed_wants(NOW)
        bookings_for(doughs())
    assert len(more) <= len(few)


def test_a_leftover_tub_is_used_first_and_put_back_first(flour, run_queued):
    from bakery.stock.ledger import make as mixed
    from bakery.stock.ledger import tubs_on_hand

    mix = Job.objects.filter(kind="mix", order__number=119).first()
    colour = make.ColourFactory(name=mix.colours[0])
    mixed(colour=colour, quantity=Decimal(60), at=NOW - timedelta(days=1), token="left over")
    old = make.ColourFactory(name="Old")
    mixed(colour=old, quantity=Decimal(60), at=NOW - timedelta(days=20), token="old",
          best_before=(NOW - timedelta(days=9)).date())  # fmt: skip
    sugar = make.StockItemFactory(name="Icing sugar", measured=True)
    line = ReceiveLine(item=sugar, quantity=Decimal(5000), cost=Decimal("5.00"))
    receive(supplier="Mill", on=(NOW - timedelta(days=2)).date(), lines=[line], token=uuid4())
    from bakery.production.amounts import cupboard

    assert set(cupboard().left) == {mix.colours[0].lower()}, "what is past its date is not used first"
    finish_run(keys=[mix.key], now=NOW)
    keep(run_queued)
    assert tubs_on_hand().get(colour.pk, 0) == 0
    with_tub = 5000 - left(sugar)
    undo_run(keys=[mix.key])
    keep(run_queued)
    assert (tubs_on_hand()[colour.pk], left(sugar)) == (60, 5000)
    from bakery.stock.ledger import packets_of, waste

    waste(packet=packets_of(colour)[0], reason="gone", token="gone")
    finish_run(keys=[mix.key], now=NOW)
    keep(run_queued)
    assert 5000 - left(sugar) > with_tub
