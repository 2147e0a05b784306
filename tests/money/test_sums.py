"""A small invented history, worked out anew by plain arithmetic."""

from decimal import Decimal

import pytest
from django.utils import timezone

from bakery.money import queries, services
from bakery.money.models import LineSum, Mark, OrderSum, WorkSum
from bakery.money.page import span_of
from bakery.orders.services import record_payment, set_state
from bakery.production.models import JobShare
from tests import factories as make

from .conftest import job, pay, quote, used

pytestmark = pytest.mark.django_db
HOUR = 3600


def everything(stall):
    """All of the last twelve months in one row."""
    return queries.pay_of_all(queries.pay_by_month(span_of("", timezone.localdate()), stall))


def added(order):
    services.catch_up()
    return OrderSum.objects.get(order=order)


def test_an_order_as_it_was_quoted(handed_over):
    """47.00 asked; 4 + 1 + 2 material, 0.50 power and 3.00 rent go out: 36.50 for two hours is 18.25."""
    row = added(handed_over("47.00"))
    assert (row.brought, row.cost, row.material, row.thought, row.took) == (
        4700,
        1050,
        700,
        2 * HOUR,
        2 * HOUR,
    )
    pay_ = everything([])
    assert pay_.hour == Decimal("18.25")
    assert row.owed == 4700  # nothing is recorded as paid


def test_work_that_was_timed_counts_as_long_as_it_took(handed_over):
    """Of 120 min thought, 30 of lettering took 42 and 20 of flooding took 18: 130 min, and rent with it."""
    order = handed_over("47.00")
    job(order, "letter", 30, 42)
    job(order, "flood", 20, 18)
    row = added(order)
    assert (row.took, row.timed) == (130 * 60, 50 * 60)
    assert row.cost == 700 + 50 + round(300 * 130 / 120)
    work = dict(WorkSum.objects.values_list("work", "took"))
    assert work == {"letter": 42 * 60, "flood": 18 * 60}


def test_an_evening_without_an_end_says_nothing_of_the_time(handed_over):
    order = handed_over("47.00")
    job(order, "letter", 30, 60, ended=False)
    row = added(order)
    assert (row.took, row.timed) == (120 * 60, 0)


def test_a_press_on_done_is_a_timing_and_a_forgotten_one_is_not(handed_over):
    order = handed_over("47.00")
    job(order, "pipe", 20, 25, ended=False, pressed=True)
    job(order, "pack", 10, 700, ended=False, pressed=True)
    row = added(order)
    assert (row.took, row.timed) == (125 * 60, 20 * 60)


def test_only_hands_count_of_work_that_runs_by_itself(handed_over):
    order = handed_over("47.00")
    job(order, "bake", 40, 60, attended=10)
    assert added(order).took == (120 + 15 - 10) * 60


def test_a_shared_job_is_shared_by_cookies_and_so_is_what_it_spared(handed_over):
    one, two = handed_over("47.00"), handed_over("47.00")
    both = job(one, "flood", 40, 60, saved=8)
    JobShare.objects.create(job=both, order=one, cookies=30)
    JobShare.objects.create(job=both, order=two, cookies=10)
    assert added(one).took == (120 + 15 - 6) * 60
    assert added(two).took == (120 + 5 - 2) * 60


def test_material_as_the_books_have_it(handed_over):
    """Amounts of the one thing of the packing are kept, so its 1.20 counts; of food only a part is in the
    books, so the larger of 4.00 thought and 2.50 booked counts; colour was booked over what was thought.
    """
    order = handed_over("47.00")
    used(order, make.StockItemFactory(group="packing", measured=True), "1.20")
    used(order, make.StockItemFactory(group="dry", measured=True), "2.50")
    make.StockItemFactory(group="fresh", measured=False)
    used(order, make.StockItemFactory(group="airbrush", measured=False), "1.60")
    assert added(order).material == 120 + 400 + 160


def test_fee_and_tax_go_out(handed_over, studio):
    studio.fee_percent, studio.tax_percent, studio.tax_included = Decimal("2"), Decimal("20"), True
    studio.save()
    row = added(handed_over("48.00"))
    assert row.cost == 1050 + 96 + 800  # 2 % of 48.00, and the sixth of it that is tax


def test_payments_and_what_is_owed(handed_over):
    paid, half, refund, tip = (handed_over("40.00") for _ in range(4))
    pay(paid, "deposit", "20.00"), pay(paid, "balance", "20.00")
    pay(half, "deposit", "20.00")
    pay(refund, "deposit", "40.00"), pay(refund, "refund", "15.00")
    pay(tip, "balance", "50.00")
    services.catch_up()
    rows = {row.order_id: (row.brought, row.owed) for row in OrderSum.objects.all()}
    assert [rows[one.pk] for one in (paid, half, refund, tip)] == [
        (4000, 0),
        (4000, 2000),
        (2500, 0),
        (5000, 0),
    ]
    assert queries.what_is_owed()[1:] == (1, 2000)
    span = span_of("", timezone.localdate())
    assert queries.money_in(span) == {"balance": 7000, "deposit": 8000, "refund": 1500}


def test_what_came_to_nothing(handed_over):
    """A deposit that stays is money without hours; what was given back whole is nothing."""
    stays = handed_over("40.00", state="cancelled")
    gone = handed_over("40.00", state="cancelled")
    pay(stays, "deposit", "20.00"), pay(gone, "deposit", "20.00"), pay(gone, "refund", "20.00")
    handed_over("40.00", state="declined")
    services.catch_up()
    made = OrderSum.objects.filter(made=True)
    assert [(row.order_id, row.brought, row.cost, row.took, row.owed) for row in made] == [
        (stays.pk, 2000, 0, 0, 0)
    ]


def test_an_order_without_any_price_is_not_counted_as_nothing(handed_over):
    row = added(handed_over(None))
    assert row.brought is None
    assert row.thought > 0
    span = span_of("", timezone.localdate())
    assert everything([]).orders == 0
    assert queries.totals(span)["unknown"] == 1


def test_lines_add_up_to_their_order(handed_over):
    order = handed_over("47.03", lines=3, weights={"l1": 0.5, "l2": 0.3, "l3": 0.2})
    line = order.lines.get(position=2)
    job(order, "letter", 20, 26, line=line)
    job(order, "flood", 20, 27)
    row, lines = added(order), list(LineSum.objects.filter(order=order))
    for name in ("brought", "cost", "thought", "took"):
        assert sum(getattr(one, name) for one in lines) == getattr(row, name)
    assert [one.brought for one in lines] == [2351, 1411, 941]  # of 2351.5, 1410.9 and 940.6
    assert [one.took for one in lines] == [
        round((60 + 3.5) * 60), round((36 + 6 + 2.1) * 60), round((24 + 1.4) * 60)
    ]  # fmt: skip


def test_the_latest_version_of_a_quote_is_what_was_asked(handed_over):
    order = handed_over("40.00")
    quote(order, "52.00", {"minutes": 120, "parts": {"food": "1.00"}, "weights": {"l1": 1}}, version=2)
    row = added(order)
    assert (row.asked, row.brought, row.material) == (5200, 5200, 100)


def test_only_what_was_said_since_is_added_up_again(handed_over, django_assert_max_num_queries):
    orders = [handed_over("40.00") for _ in range(3)]
    services.catch_up()
    assert services.behind()[0] == set()
    record_payment(order=orders[1], what="balance", amount=Decimal("40.00"), on=make.noon(-1).date())
    assert services.behind()[0] == {orders[1].pk}
    assert added(orders[1]).owed == 0
    set_state(order=orders[2], state="ready", back=True)
    assert added(orders[2]).made is False
    with django_assert_max_num_queries(12):
        services.catch_up()


def test_a_mark_never_goes_back(db):
    services.reached(upto={"jobs": 9})
    services.reached(upto={"jobs": 4})
    assert Mark.objects.get(name="jobs").upto == 9


def test_many_are_left_to_the_worker(handed_over, run_queued):
    from bakery.background.services import enqueue

    for _ in range(3):
        handed_over("40.00")
    assert services.catch_up(most=2) == 3
    assert not OrderSum.objects.exists()
    enqueue("money_sums")
    run_queued("money_sums")
    assert OrderSum.objects.count() == 3
    assert services.behind()[0] == set()


def test_stall_takings_count_with_what_was_sold(handed_over):
    from uuid import uuid4

    from bakery.stock.stall import Counted, Ready, Take, count_at_the_end, put_down, take_along

    design = make.DesignFactory(name="Compass")
    order = handed_over("47.00", for_stock=True, state="ready", design=design)
    ready = put_down(ready=[Ready(f"{order.key}.l1", "Compass", 24, {})], keeps_days=9)
    day = take_along(token=uuid4(), takes=[Take(ready[0].pk, 20, Decimal("3.10"))])
    count_at_the_end(day=day, counts=[Counted(day.lines.get().pk, 15, 4)])
    services.catch_up()
    span = span_of("", timezone.localdate())
    stall = queries.stall_lines(span)
    assert [one.money for one in stall] == [4650]
    pays = queries.pay_by("design", span, stall)
    assert (pays[design.pk].brought, pays[design.pk].took) == (4650, 2 * HOUR)
    assert everything(stall).brought == 4650
    assert sum(one.brought for one in queries.pay_by_month(span, stall).values()) == 4650
    assert OrderSum.objects.get(order=order).owed == 0  # its quote is nobody's debt
