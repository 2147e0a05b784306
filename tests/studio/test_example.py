"""The example studio: whole, quick to fill, on time at any hour, and left without a trace."""

import time
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.utils import timezone

from bakery.customers.models import Customer
from bakery.designs.models import Design, Kind, StencilSet
from bakery.orders.models import OPEN_STATES, Order, Payment, Quote, State, StateChange
from bakery.stock.models import Colour, StockItem
from bakery.studio import adapters, example_doors, services
from bakery.studio.answers import USUAL_HOURS, StartAnswers, stints_of
from bakery.studio.emptying import empty_studio, is_empty
from bakery.studio.example import fill_example, plan_example
from bakery.studio.example.dates import dates_for
from bakery.studio.models import BakingHours, Counter, Studio, Touch
from bakery.studio.touches import known

pytestmark = pytest.mark.django_db
LONDON = ZoneInfo("Europe/London")


def local(text):
    return datetime.fromisoformat(text).replace(tzinfo=LONDON)


TUESDAY = local("2026-11-24 14:00")
# An hour of each kind, on different weekdays, beside both nights on which clocks change.
HOURS = [
    "2026-11-24 14:00",  # a Tuesday afternoon
    "2026-11-28 23:40",  # late on a Saturday
    "2026-11-30 03:10",  # a Monday night
    "2026-11-27 19:40",  # a Friday evening, begun late
    "2027-03-27 10:00",  # the Saturday before clocks go forward
    "2026-10-24 20:55",  # the Saturday before they go back
]
MOST = [HOURS[0], HOURS[1], *(pytest.param(hour, marks=pytest.mark.slow) for hour in HOURS[2:])]


@pytest.fixture
def filled():
    fill_example(TUESDAY)


def test_it_holds_what_it_promises(filled):
    assert Design.objects.count() == 12
    assert StencilSet.objects.count() == 10
    assert Colour.objects.count() == 16
    assert {c.medium for c in Colour.objects.all()} == {"icing", "airbrush"}
    assert Order.objects.filter(state__in=OPEN_STATES).count() == 14
    past = Order.objects.exclude(state__in=OPEN_STATES)
    assert past.count() == 60
    assert past.filter(state=State.HANDED_OVER).count() > 50
    assert past.filter(hand_over_at__lt=TUESDAY).count() == 60
    assert (TUESDAY - past.order_by("hand_over_at").first().hand_over_at).days > 340
    assert Order.objects.get(state=State.ENQUIRY).title == "Museum late opening"
    assert Order.objects.filter(lines__stage="flooded", state__in=OPEN_STATES).count() == 1


def test_every_row_would_pass_its_own_checks(filled):
    for model in (Design, StockItem, Colour, Customer, Order, BakingHours, Payment):
        for row in model.objects.all():
            row.full_clean()


def test_its_touches_have_taught_with_one_held_back(filled):
    for touch in Touch.objects.all():
        touch.full_clean()
    assert not Touch.objects.filter(at__gte=TUESDAY).exists()
    found = known(["fan"])["fan"]
    assert (found.learnt.rests_on, len(found.held_back)) == (6, 1)
    assert 0.9 < found.factor < 1.15
    assert adapters.drying(TUESDAY).bias == found.learnt.bias, "the plan reckons with them"


def test_names_are_as_many_as_place_cards(filled):
    for order in Order.objects.filter(names__isnull=False).distinct():
        cards = [line for line in order.lines.all() if line.design.name == "Place card"]
        assert order.names.count() == sum(line.quantity for line in cards)


def test_open_orders_fit_in_four_weeks_and_the_next_number_is_free(filled):
    days = [(order.hand_over_at - TUESDAY).days for order in Order.objects.filter(state__in=OPEN_STATES)]
    assert min(days) >= 0
    assert max(days) < 28
    assert Counter.objects.get(name="order").value == max(Order.objects.values_list("number", flat=True))


def test_quotes_add_up_and_say_the_studio(filled):
    assert Quote.objects.count() > 60
    for quote in Quote.objects.select_related("order"):
        assert quote.total == quote.order.own_price
        assert quote.snapshot["studio"]["name"] == "Lantern Steps"
    waiting = Quote.objects.get(order__state=State.QUOTED)
    assert waiting.valid_until > TUESDAY


def test_it_fills_in_less_than_three_seconds():
    started = time.process_time()
    fill_example(TUESDAY)
    assert time.process_time() - started < 3


@pytest.mark.parametrize("hour", MOST)
def test_the_first_evening_has_room_whenever_it_is_opened(hour):
    now = local(hour)
    fill_example(now)
    dates = dates_for(now, LONDON)
    sessions = adapters.sessions_between(timezone.localdate(now), dates.day(4))
    coming = next(session for session in sessions if session.end > now)
    assert timezone.localdate(coming.start) == dates.first
    left = (coming.end - max(now, coming.start)).total_seconds() / 60
    assert left >= 210
    assert Studio.objects.get().is_example


@pytest.mark.parametrize("hour", MOST[:4])
def test_tonight_has_work_that_cannot_wait_and_nobody_is_late(hour):
    from bakery.craft.planning import plan_from_json, problem_from_json, tonight, verify
    from bakery.production.models import Plan

    now = local(hour)
    with time_machine.travel(now, tick=True):
        fill_example(now)
        assert plan_example(now) == "wall"
    row = Plan.objects.get(state=Plan.State.WALL)
    problem, plan = problem_from_json(row.problem), plan_from_json(row.plan)
    assert verify(problem, plan) == []
    soft = {order.id for order in problem.orders if order.soft}
    assert not set(plan.late) - soft  # what is made for stock may give way
    found = tonight(problem, plan=plan)
    must = [name for name, verdict in found.tasks.items() if verdict.verdict == "must"]
    assert any(name.startswith("o117.") and ".flood" in name for name in must)


@pytest.mark.parametrize("hour", ["2026-11-24 14:00", "2026-11-27 00:20", "2026-10-24 20:55"])
def test_nothing_that_was_said_or_paid_lies_ahead(hour):
    now = local(hour)
    with time_machine.travel(now, tick=False):
        fill_example(now)
    assert not Payment.objects.filter(on__gt=now.date()).values("order__title", "on")
    assert not StateChange.objects.filter(at__gt=now).values("order__title", "state", "at")
    assert Payment.objects.filter(what="balance", order__state=State.KITCHEN).exists()
    assert not Payment.objects.filter(what="balance", order__number=119), "its balance is due in three days"


def test_the_museum_cannot_be_done_as_asked():
    from bakery.craft.planning import promise
    from bakery.orders.adapters import order_spec
    from bakery.production.adapters import current_problem

    with time_machine.travel(TUESDAY, tick=True):
        fill_example(TUESDAY)
        museum = order_spec(Order.objects.get(state=State.ENQUIRY))
        problem, _ = current_problem(now=TUESDAY, extra=museum)
        assert promise(problem, museum.id, seconds=3.0).answer != "yes"


def test_going_in_twice_fills_once(django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks():
        example_doors.enter_example(now=TUESDAY)
        example_doors.enter_example(now=TUESDAY)
    assert Order.objects.count() == 74


def test_the_example_never_enters_a_started_studio():
    services.start_studio(answers=StartAnswers(stints_of(USUAL_HOURS)))
    with pytest.raises(example_doors.AlreadyBaking):
        example_doors.enter_example(now=TUESDAY)
    assert not Order.objects.exists()


def test_nor_one_that_holds_anything_of_hers():
    Customer.objects.create(name="Somebody real")
    with pytest.raises(example_doors.AlreadyBaking):
        example_doors.enter_example(now=TUESDAY)
    assert Customer.objects.count() == 1


def test_leaving_keeps_a_copy_and_leaves_nothing_behind(monkeypatch, tmp_path, filled):
    kept = tmp_path / "dryby-copy.zip"

    def make_copy(reason):
        assert Order.objects.count() == 74  # the copy is made before anything goes
        kept.write_bytes(b"a copy")
        return kept

    monkeypatch.setattr("bakery.studio.backup.make_copy", make_copy)
    assert example_doors.leave_example() == kept
    assert is_empty()
    assert not Studio.objects.exists()
    assert Kind.objects.count() == 6
    services.start_studio(answers=StartAnswers(stints_of(USUAL_HOURS)))


def test_without_a_copy_the_example_stays(monkeypatch, filled):
    from bakery.studio.backup import CopyFailed

    def refuse(reason):
        raise CopyFailed("The copy could not be written.")

    monkeypatch.setattr("bakery.studio.backup.make_copy", refuse)
    with pytest.raises(CopyFailed):
        example_doors.leave_example()
    assert Order.objects.count() == 74


def test_leaving_does_nothing_to_her_own_studio():
    services.start_studio(answers=StartAnswers(stints_of(USUAL_HOURS)))
    Customer.objects.create(name="Somebody real")
    assert example_doors.leave_example() is None
    assert Customer.objects.count() == 1


def test_those_who_log_in_stay(filled, baker):
    empty_studio()
    baker.refresh_from_db()


def test_no_table_keeps_a_row_of_it(filled):
    """Counted in the database itself, not through the list that the emptying uses."""
    from django.db import connection

    empty_studio()
    apps = ("studio", "customers", "stock", "designs", "orders", "production", "paperwork", "background")
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names():
            if table.startswith(apps) and table != "designs_kind":
                cursor.execute(f"SELECT COUNT(*) FROM {connection.ops.quote_name(table)}")
                assert cursor.fetchone()[0] == 0, table


def test_at_any_hour_of_a_fortnight_the_first_evening_is_long_enough():
    for hour in range(14 * 24 * 2):
        now = datetime(2027, 3, 20, tzinfo=UTC) + timedelta(minutes=30 * hour)  # clocks go forward in it
        dates = dates_for(now, LONDON)
        start, end = dates.at(0, "18:30"), dates.at(0, "22:30")
        if dates.late_start:
            start, end = dates.at(0, f"{dates.late_start:%H:%M}"), dates.at(0, "23:45")
        assert (end - max(start, now)).total_seconds() >= 210 * 60, now
        assert (start - now).total_seconds() < 24 * 3600
