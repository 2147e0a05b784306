"""Cookies that stand ready: put down once, taken along, sold and brought back, and what the stall took."""

from datetime import date, datetime, timedelta
from decimal import Decimal
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from bakery.stock import made_ahead, stall
from bakery.stock.models import AheadUse, MadeAhead, StallDay
from tests import factories as make

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 24, 17, 30, tzinfo=ZoneInfo("Europe/London"))
TODAY = NOW.date()
EACH = Decimal("2.50")


@pytest.fixture(autouse=True)
def clock():
    with time_machine.travel(NOW, tick=False) as machine:
        make.StudioFactory()
        yield machine


def ready(quantity=24, key="o7.l1", title="Fern plaque, Bone"):
    return stall.Ready(key, title, quantity, {"shape": "plaque", "base": "#f3ead6"}, EACH)


def put(quantity=24, key="o7.l1") -> MadeAhead:
    return stall.put_down(ready=[ready(quantity, key)], keeps_days=10)[0]


def take(item, quantity, token=None) -> StallDay:
    return stall.take_along(token=token or uuid4(), takes=[stall.Take(item.pk, quantity, EACH)])


def left() -> int:
    return sum(one.left for one in stall.standing())


def count(day, sold, back):
    line = day.lines.get()
    return stall.count_at_the_end(day=day, counts=[stall.Counted(line.pk, sold, back)])


def test_a_line_is_put_down_once_and_keeps_its_days():
    first, again = put(), put()
    assert first == again
    assert first.keeps_until == TODAY + timedelta(days=10)
    assert left() == 24


def test_what_goes_along_is_not_at_home_and_comes_back():
    item = put()
    day = take(item, 20)
    assert left() == 4
    count(day, 15, 3)
    assert left() == 7  # 4 at home and 3 brought back
    assert AheadUse.objects.get(item=item).quantity == 17  # 15 sold, 2 given away
    assert day.lines.get().missing == 2


def test_a_press_twice_is_one_day_and_one_count():
    token = uuid4()
    item = put()
    assert take(item, 20, token) == take(item, 20, token)
    assert left() == 4
    day = StallDay.objects.get()
    count(day, 15, 5)
    count(day, 15, 5)
    assert left() == 9
    assert [str(row.money) for row in stall.stall_takings(TODAY, TODAY)] == ["37.50"]


def test_a_day_can_be_counted_anew():
    day = take(put(), 20)
    count(day, 20, 0)
    assert left() == 4
    count(day, 0, 20)
    assert left() == 24
    count(day, 1, 18)
    assert left() == 22
    assert stall.stall_takings(TODAY, TODAY)[0].money == EACH


def test_more_than_there_is_or_was_taken_is_told_beside_its_field_and_nothing_is_half_done():
    item = put()
    with pytest.raises(ValidationError) as wrong:
        take(item, 25)
    assert wrong.value.message_dict == {f"take-{item.pk}": ["There are only 24 left."]}
    assert not StallDay.objects.exists()
    day = take(item, 20)
    line = day.lines.get()
    with pytest.raises(ValidationError) as wrong:
        count(day, 15, 6)
    assert wrong.value.message_dict == {f"back-{line.pk}": ["You took 20: 15 and 6 are more."]}
    line.refresh_from_db()
    assert (line.sold, line.back) == (0, 0)
    assert left() == 4


def test_she_may_stay_at_home_until_it_is_counted():
    item = put()
    assert stall.not_taken(day=take(item, 20))
    assert left() == 24
    day = take(item, 20)
    count(day, 5, 15)
    assert not stall.not_taken(day=day)


def test_takings_of_some_days(django_assert_num_queries):
    item = put(60)
    for back in range(3):
        day = take(item, 10)
        StallDay.objects.filter(pk=day.pk).update(on=TODAY - timedelta(days=back))
        count(StallDay.objects.get(pk=day.pk), 4 + back, 2)
    take(item, 5)  # not counted yet: nothing was taken in
    with django_assert_num_queries(1):
        rows = stall.stall_takings(TODAY - timedelta(days=1), TODAY)
    assert [(row.sold, row.back, row.missing, row.money) for row in rows] == [
        (5, 2, 3, Decimal("12.50")),
        (4, 2, 4, Decimal("10.00")),
    ]
    assert stall.stall_takings(date(2020, 1, 1), date(2020, 1, 2)) == ()


def test_reads_do_not_grow_with_what_is_there(django_assert_num_queries):
    items = [put(12, f"o{number}.l1") for number in range(8)]
    for item in items:
        take(item, 6)
    with django_assert_num_queries(1):
        assert len(stall.standing()) == 8
    with django_assert_num_queries(3):
        assert [line.item.quantity for day in stall.days_out() for line in day.lines.all()] == [12] * 8


def test_the_planner_leaves_them_alone():
    put()
    made_ahead.make_ahead(what="blank", quantity=5, place="tin", shape="round 75 x 75")
    items, _ = made_ahead.ahead_items({"o1"})
    assert [item.what for item in items] == ["blank"]


def test_in_the_freezer_they_keep_longer():
    item = put()
    moved = made_ahead.move_ahead(item=item, place="freezer")
    assert moved.keeps_until == TODAY + timedelta(days=80)
    back = made_ahead.move_ahead(item=moved, place="tin")
    assert back.keeps_until > TODAY


steps = st.lists(st.tuples(st.integers(1, 12), st.integers(0, 12), st.integers(0, 12)), max_size=6)


@given(steps)
@pytest.mark.django_db
def test_nothing_is_lost_or_doubled(days):
    """Whatever goes out and comes back: made = at home + sold + given away or broken + out now."""
    StallDay.objects.all().delete()
    AheadUse.objects.all().delete()
    MadeAhead.objects.all().delete()
    item, out, gone = put(30), 0, 0
    for taken, sold, back in days:
        if taken > left():
            with pytest.raises(ValidationError):
                take(item, taken)
            continue
        day = take(item, taken)
        if sold + back > taken:
            with pytest.raises(ValidationError):
                count(day, sold, back)
            out += taken
            continue
        count(day, sold, back)
        gone += taken - back
    assert left() == 30 - out - gone
