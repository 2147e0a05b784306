"""Taking, changing and closing orders: once, whole, and never silently."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from bakery.background.signals import tick
from bakery.orders import services
from bakery.orders.adapters import spec_of
from bakery.orders.data import LineData
from bakery.orders.errors import AllergyNotAsked, OrderChangedMeanwhile, WrongState
from bakery.orders.models import Name, Order, OrderLine, Payment, State
from bakery.orders.quotes import make_quote
from bakery.orders.rows import data_of
from bakery.orders.signals import orders_changed
from bakery.studio.models import Counter

from .conftest import NOW, some_data

pytestmark = pytest.mark.django_db


def test_an_order_is_kept_with_everything_it_says():
    data = some_data(
        names=("Ada", "Abel"), phone="01632 960 001", own_price=Decimal("90.00"), note="gold edge",
        event_at=NOW,
        lines=(LineData("lettered", 20, designs=2, colours=3, packaging="box"),
               LineData("plain", 4, spares=0)),)  # fmt: skip
    order = services.take_order(token=uuid4(), data=data)
    assert data_of(Order.objects.get(pk=order.pk)) == data
    assert order.customer.name == "Boathouse long table"
    assert [change.state for change in order.changes.all()] == [State.ENQUIRY]


def test_the_same_form_sent_twice_is_one_order():
    token = uuid4()
    first = services.take_order(token=token, data=some_data())
    again = services.take_order(token=token, data=some_data(title="other words"))
    assert first.pk == again.pk
    assert Order.objects.count() == 1


def test_numbers_follow_each_other_and_pass_those_already_given():
    assert services.take_order(token=uuid4(), data=some_data()).number == 101
    Order.objects.filter(number=101).update(number=300)
    assert services.take_order(token=uuid4(), data=some_data()).number == 301
    assert Counter.objects.get(name="order").value == 301


def test_a_customer_is_found_again_by_name_and_keeps_what_was_known():
    one = services.take_order(token=uuid4(), data=some_data(phone="01632 960 001"))
    two = services.take_order(token=uuid4(), data=some_data(who="boathouse LONG table"))
    assert one.customer == two.customer
    assert two.customer.phone == "01632 960 001"


def test_an_order_without_a_name_or_event_still_has_a_title():
    order = services.take_order(token=uuid4(), data=some_data(who="", title=""))
    assert order.title == "24 cookies"
    assert order.customer is None


@pytest.mark.parametrize("quantity", [0, -1, 100_000])
def test_an_impossible_quantity_is_refused_whole(quantity):
    with pytest.raises(ValidationError):
        services.take_order(token=uuid4(), data=some_data(lines=(LineData("plain", quantity),)))
    assert not Order.objects.exists()


def test_changing_an_order_keeps_its_lines_and_their_keys(order):
    line = order.lines.get()
    data = data_of(order)
    wider = replace(data, lines=(replace(data.lines[0], quantity=30), LineData("plain", 6)))
    services.change_order(order=order, revision=1, data=wider)
    assert [(row.pk == line.pk, row.position, row.quantity) for row in order.lines.all()] == [
        (True, 1, 30), (False, 2, 6)]  # fmt: skip
    order.refresh_from_db()
    assert order.revision == 2


def test_a_position_is_never_given_to_another_line(order):
    data = data_of(order)
    services.change_order(order=order, revision=1, data=replace(data, lines=(LineData("plain", 6),)))
    assert [row.position for row in order.lines.all()] == [2]


def test_the_second_tab_is_told_and_nothing_is_overwritten(order):
    data = data_of(order)
    services.change_order(order=order, revision=1, data=replace(data, note="from the first tab"))
    with pytest.raises(OrderChangedMeanwhile) as caught:
        services.change_order(order=order, revision=1, data=replace(data, note="from the second tab"))
    assert caught.value.order.note == "from the first tab"
    order.refresh_from_db()
    assert (order.note, order.revision) == ("from the first tab", 2)


def test_the_same_change_sent_twice_is_no_conflict(order):
    data = replace(data_of(order), note="once", title="", phone="")
    services.change_order(order=order, revision=1, data=data)
    services.change_order(order=order, revision=1, data=data)
    order.refresh_from_db()
    assert order.revision == 2


def test_names_are_replaced_as_a_list(order):
    data = data_of(order)
    services.change_order(order=order, revision=1, data=replace(data, names=("Ada", "Bo", "Ada")))
    assert [name.text for name in Name.objects.all()] == ["Ada", "Bo", "Ada"]


@pytest.mark.parametrize("state", [State.QUOTED, State.HELD, State.BOOKED])
def test_an_unknown_allergy_stops_a_promise(order, state):
    services.tell_allergies(order=order, allergy_state="not_asked")
    with pytest.raises(AllergyNotAsked, match="Ask about allergies before"):
        services.set_state(order=order, state=state)
    services.tell_allergies(order=order, allergy_state="told", allergies="no nuts")
    assert services.set_state(order=order, state=state).state == state


def test_made_for_stock_has_nobody_to_ask():
    order = services.take_order(
        token=uuid4(), data=some_data(who="", allergy_state="not_asked", for_stock=True)
    )
    assert services.book(order=order).is_planned


def test_the_way_of_an_order_is_remembered(order):
    for state in (State.QUOTED, State.BOOKED, State.KITCHEN, State.READY, State.HANDED_OVER):
        services.set_state(order=order, state=state)
    services.set_state(order=order, state=State.HANDED_OVER)
    assert [change.state for change in order.changes.all()] == [
        "enquiry", "quoted", "booked", "kitchen", "ready", "handed_over"]  # fmt: skip


@pytest.mark.parametrize(
    ("before", "after"),
    [(State.ENQUIRY, State.READY), (State.HANDED_OVER, State.ENQUIRY), (State.BOOKED, State.ENQUIRY)],
)
def test_an_odd_leap_is_refused_with_a_sentence(order, before, after):
    Order.objects.filter(pk=order.pk).update(state=before)
    with pytest.raises(WrongState, match="cannot become"):
        services.set_state(order=order, state=after)


def test_a_cancelled_order_comes_back_as_it_was(order):
    services.book(order=order)
    cancelled = services.cancel(order=order)
    assert services.undo_state(order=cancelled).state == State.BOOKED


@pytest.mark.parametrize(
    ("before", "step"),
    [(State.HELD, State.DECLINED), (State.QUOTED, State.BOOKED), (State.KITCHEN, State.HANDED_OVER)],
)
def test_any_step_can_be_taken_back(order, before, step):
    Order.objects.filter(pk=order.pk).update(state=before)
    after = services.set_state(order=order, state=step)
    assert services.undo_state(order=after).state == before


def test_a_booking_taken_back_leaves_no_deposit_and_is_taken_back_once(order):
    quote = make_quote(order=order)
    booked = services.book_with_deposit(order=order)
    paid = booked.payments.get(what=Payment.What.DEPOSIT)
    assert (booked.deposit_paid, paid.amount) == (True, quote.deposit)
    back = services.undo_state(order=booked)
    assert (back.state, back.deposit_paid, back.payments.count()) == (State.QUOTED, False, 0)
    assert services.undo_state(order=booked).state == State.QUOTED
    again = services.book_with_deposit(order=order)
    assert (again.state, again.payments.count()) == (State.BOOKED, 1)


def test_money_that_came_in_before_the_booking_stays_when_it_is_taken_back(order):
    make_quote(order=order)
    services.record_payment(order=order, what="deposit", amount=Decimal("10.00"), on=NOW.date(), note="cash")
    services.book_with_deposit(order=order)
    back = services.undo_state(order=order)
    assert (back.deposit_paid, back.payments.get().note) == (True, "cash")


def test_a_date_held_before_is_held_again(order):
    quote = make_quote(order=order)
    services.hold(order=order, until=quote.valid_until)
    services.book_with_deposit(order=order)
    assert services.undo_state(order=order).held_until == quote.valid_until


def test_what_was_said_while_the_clock_looked_is_not_undone_by_it(order, monkeypatch):
    """Between finding what is overdue and letting it go, the customer said yes."""
    services.hold(order=order, until=NOW)
    lapse = services._lapse

    def booked_meanwhile(found, now):
        services.book(order=found)
        return lapse(found, now)

    monkeypatch.setattr(services, "_lapse", booked_meanwhile)
    assert services.lapse_overdue(now=NOW + timedelta(hours=1)) == []
    order.refresh_from_db()
    assert order.state == State.BOOKED


def test_what_waited_too_long_lapses_and_only_that(order):
    other = services.take_order(token=uuid4(), data=some_data())
    services.hold(order=order, until=NOW)
    services.hold(order=other, until=NOW + timedelta(days=2))
    assert services.lapse_overdue(now=NOW + timedelta(hours=1)) == [order]
    order.refresh_from_db()
    assert order.state == State.LAPSED
    assert order.held_until is None


def test_the_clock_lets_go_of_what_is_overdue(order):
    services.hold(order=order, until=timezone.now() - timedelta(minutes=1))
    for _ in range(2):
        tick.send_robust(sender=None)
    order.refresh_from_db()
    assert order.state == State.LAPSED
    assert order.changes.filter(state=State.LAPSED).count() == 1


def test_made_again_is_a_new_enquiry_with_the_same_cookies(order):
    services.set_stage(line=order.lines.get(), stage="baked")
    token, when = uuid4(), NOW + timedelta(days=360)
    again = services.make_again(order=order, hand_over_at=when, token=token)
    assert services.make_again(order=order, hand_over_at=when, token=token).pk == again.pk
    assert (again.state, again.hand_over_at, again.made_again_from) == (State.ENQUIRY, when, order)
    assert again.lines.get().stage == OrderLine.Stage.NOTHING
    assert again.allergy_state == Order.Allergy.NOT_ASKED  # people change; ask again


def test_a_payment_is_recorded_once(order):
    for _ in range(2):
        services.record_payment(
            order=order, what=Payment.What.DEPOSIT, amount=Decimal("50.00"), on=NOW.date()
        )
    assert order.payments.count() == 1
    order.refresh_from_db()
    assert order.deposit_paid
    services.record_payment(order=order, what="balance", amount=Decimal("50"), on=NOW.date(), note="in cash")
    assert order.payments.count() == 2


def test_only_what_changes_the_work_is_told_upwards_and_only_after_commit(
    order, django_capture_on_commit_callbacks
):
    heard = []

    def hear(sender, reason, **_):
        heard.append(reason)

    orders_changed.connect(hear)
    try:
        with django_capture_on_commit_callbacks(execute=True):
            services.change_order(order=order, revision=1, data=replace(data_of(order), note="just a note"))
            services.set_stage(line=order.lines.get(), stage="baked", at=NOW)
            services.set_stage(line=order.lines.get(), stage="baked", at=NOW)
            services.record_payment(order=order, what="deposit", amount=Decimal("1"), on=NOW.date())
            order.refresh_from_db()
            services.move_hand_over(
                order=order, revision=order.revision, hand_over_at=NOW + timedelta(days=20)
            )
            assert heard == []
    finally:
        orders_changed.disconnect(hear)
    assert heard == [f"Order {order.number}: baked.", f"Order {order.number} was changed."]


def test_a_new_line_never_takes_the_place_of_a_deleted_one(order):
    """Jobs are named after places: a line that came later must not find its flood already done."""
    data = data_of(order)
    two = services.change_order(
        order=order, revision=1, data=replace(data, lines=(*data.lines, LineData("plain", 6)))
    )
    one = services.change_order(order=order, revision=two.revision, data=data)
    other = replace(data_of(one), lines=(data.lines[0], LineData("stencil", 8)))
    typed = spec_of(other, order=Order.objects.get(pk=order.pk))
    again = services.change_order(order=order, revision=one.revision, data=other)
    assert [row.position for row in again.lines.order_by("position")] == [1, 3]
    assert [line.id for line in typed.lines] == ["l1", "l3"], "and it is promised under the name it gets"
