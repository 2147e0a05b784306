"""An order is in the kitchen once something of it is begun, and ready once all of it is packed."""

import pytest

from bakery.orders.models import Order, State
from bakery.orders.services import set_state
from bakery.production.models import Job
from bakery.production.services import answer_evening, finish_run, make_plan, start_run, undo_run

from .conftest import NEXT_MORNING, NOW, at, tonights

pytestmark = pytest.mark.django_db


def state_of(order):
    return Order.objects.get(pk=order.pk).state


def pack_of(order) -> Job:
    return Job.objects.get(order=order, kind="pack")


def test_what_is_begun_is_in_the_kitchen(planned):
    start_run(keys=[tonights()[0].key], now=NOW)
    assert state_of(tonights()[0].order) == State.KITCHEN


def test_the_answer_of_the_next_morning_says_so_too(planned, clock):
    order = tonights()[0].order
    assert state_of(order) == State.BOOKED
    clock.move_to(NEXT_MORNING)
    answer_evening(day=NOW.date(), answer="all", now=NEXT_MORNING)
    assert state_of(order) == State.KITCHEN


def test_nothing_done_leaves_it_booked(planned, clock):
    clock.move_to(NEXT_MORNING)
    answer_evening(day=NOW.date(), answer="nothing", now=NEXT_MORNING)
    assert state_of(planned["ferns"]) == State.BOOKED


def test_packed_is_ready_and_can_be_taken_back(planned):
    pack = pack_of(planned["ferns"])
    finish_run(keys=[pack.key], now=at(12, days=3))
    assert state_of(planned["ferns"]) == State.READY
    undo_run(keys=[pack.key])
    assert state_of(planned["ferns"]) == State.KITCHEN
    make_plan(now=NOW)
    assert pack_of(planned["ferns"]).state == Job.State.PLANNED, "and its work is on the list again"


def test_half_packed_is_not_ready(planned):
    pack = pack_of(planned["ferns"])
    finish_run(keys=[pack.key], now=at(12, days=3), count=11)
    assert state_of(planned["ferns"]) == State.KITCHEN


def test_what_she_called_ready_herself_stays_ready(planned):
    first = tonights()[0]
    finish_run(keys=[first.key], now=at(19))
    set_state(order=first.order, state=State.READY)
    undo_run(keys=[first.key])
    assert state_of(first.order) == State.READY
