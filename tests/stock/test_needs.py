"""What open orders draw from the cupboard, and the sentence that follows."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from bakery.orders.models import State
from bakery.production.models import Job
from bakery.stock import words
from bakery.stock.queries import short_items
from bakery.stock.runout.words import order_by
from bakery.stock.signals import Need, needs
from tests import factories as make

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 24, 17, 30, tzinfo=ZoneInfo("Europe/London"))  # a Tuesday


def job(order, kind, colours=(), *, hours=24, cookies=24, state="planned"):
    start = NOW + timedelta(hours=hours)
    return Job.objects.create(
        key=f"{order.key}.{kind}.{Job.objects.count()}",
        order=order,
        kind=kind,
        title=kind,
        colours=list(colours),
        cookies=cookies,
        minutes=30,
        attended=30,
        planned_start=start,
        planned_end=start,
        state=state,
    )


@pytest.fixture
def leaf():
    """An airbrush colour whose only bottle is nearly empty."""
    bottle = make.StockItemFactory(
        name="Leaf green", group="airbrush", level="low", supplier="Quillet Colours"
    )
    colour = make.AirbrushColourFactory(name="Leaf")
    make.ColourPartFactory(colour=colour, item=bottle)
    return bottle


def test_a_low_bottle_that_a_job_sprays_is_short_by_that_evening(leaf):
    order = make.OrderFactory(title="Botanical supper")
    job(order, "spray", ["Leaf"])
    (short,) = short_items(needs(NOW))  # 8 drops a dozen, and 6 that stay in the cup
    assert (short.item, short.what_for, short.drops) == (
        leaf,
        "Botanical supper",
        16 + 6,
    )  # 6 stay in the cup
    assert short.at == NOW + timedelta(hours=24)
    answer, meaning = words.headline((short,), [leaf], NOW)
    assert answer == "Leaf green runs low, wanted tomorrow."
    assert meaning.startswith("Buy it for tomorrow.")
    assert "too late for that" in order_by(short.item, short.at, NOW)


def test_the_same_name_in_icing_does_not_touch_the_airbrush_bottle(leaf):
    job(make.OrderFactory(), "flood", ["Leaf"])
    assert short_items(needs(NOW)) == ()


def test_done_work_and_closed_orders_want_nothing(leaf):
    job(make.OrderFactory(), "spray", ["Leaf"], state="done")
    job(make.OrderFactory(state=State.CANCELLED), "spray", ["Leaf"])
    job(make.OrderFactory(state=State.QUOTED), "spray", ["Leaf"])
    assert needs(NOW) == []


def test_staples_are_found_by_their_name_on_the_packet():
    eggs = make.StockItemFactory(name="Eggs", group="fresh", level="out")
    boxes = make.StockItemFactory(name="Boxes of 12", group="packing", level="low")
    make.StockItemFactory(name="Egg yellow", group="gel", level="out")
    order = make.OrderFactory(lines__packaging="box")
    job(order, "dough", hours=2)
    job(order, "pack", hours=50)
    assert [short.item for short in short_items(needs(NOW))] == [eggs, boxes]


def test_what_is_there_is_never_short(leaf):
    leaf.level = "have"
    leaf.save()
    job(make.OrderFactory(), "spray", ["Leaf"])
    assert short_items(needs(NOW)) == ()


def test_a_need_in_the_past_is_wanted_now(leaf):
    job(make.OrderFactory(), "spray", ["Leaf"], hours=-30)
    assert needs(NOW)[0].at == NOW


def test_the_sentence_without_shortages():
    out = make.StockItemFactory(name="Gold dust", level="out")
    assert words.headline((), [], NOW)[0] == "The cupboard is not filled in yet."
    assert words.headline((), [out], NOW) == (
        "Open orders have all they need.",
        "1 out, but no open order asks for it.",
    )
    out.level = "have"
    assert words.headline((), [out], NOW)[0] == "Nothing runs out."


def test_days_are_said_as_she_says_them():
    said = [words.day(NOW + timedelta(days=days), NOW) for days in (0, 1, 3, 6, 7)]
    assert said == ["today", "tomorrow", "Friday", "Monday", "Tuesday 1 December"]


def test_needs_take_a_handful_of_queries_however_many_jobs_there_are(django_assert_max_num_queries, leaf):
    for _ in range(4):
        order = make.OrderFactory()
        for kind in ("dough", "flood", "spray", "pack"):
            job(order, kind, ["Leaf"])
    with django_assert_max_num_queries(8):
        assert short_items(needs(NOW))


def test_a_colour_nobody_keeps_is_no_shortage():
    assert short_items([Need("Nobody's blue", NOW, "x", "airbrush")]) == ()
