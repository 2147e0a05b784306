"""What lies made ahead changes the plan, and the plan says who has spoken for it."""

from datetime import timedelta

import pytest

from bakery.orders.models import State
from bakery.orders.services import set_state
from bakery.production.adapters import current_problem
from bakery.production.models import Job
from bakery.production.services import finish_run, make_plan
from bakery.stock import made_ahead
from bakery.stock.models import AheadUse
from tests.factories import OrderFactory, StudioFactory

from .conftest import NOW, at, broken_rules


@pytest.fixture
def one(db, clock):
    StudioFactory(started_at=NOW - timedelta(days=30))
    return OrderFactory(number=301, title="Rowing tea", hand_over_at=at(12, days=8), lines__quantity=24,
                        lines__spares=0)  # fmt: skip


def lay_down(what="blank", quantity=24, place="freezer", **rest):
    rest = {"for_order": "o301"} | rest
    return made_ahead.make_ahead(what=what, quantity=quantity, place=place, made_on=NOW - timedelta(days=3),
                                 **rest)  # fmt: skip


def kinds():
    return set(Job.objects.values_list("kind", flat=True))


def test_blanks_that_lie_there_need_no_baking_but_to_be_thawed(one):
    lay_down()
    assert make_plan(now=NOW) == "wall"
    assert {"dough", "bake"}.isdisjoint(kinds())
    thaw = Job.objects.get(kind="thaw")
    assert thaw.cookies == 24
    assert (thaw.planned_end - thaw.planned_start) <= timedelta(minutes=10)
    first = Job.objects.filter(kind="flood").order_by("planned_start").first()
    assert first.planned_start - thaw.planned_end >= timedelta(hours=6)
    assert AheadUse.objects.get().order == "o301"
    assert broken_rules(NOW) == []


def test_too_few_are_left_where_they_are(one):
    lay_down(quantity=23)
    make_plan(now=NOW)
    assert {"dough", "bake"} <= kinds()
    assert not AheadUse.objects.exists()


def test_when_they_are_gone_the_order_is_baked_after_all(one):
    item = lay_down()
    make_plan(now=NOW)
    made_ahead.gone(item=item)
    make_plan(now=NOW)
    assert {"dough", "bake"} <= kinds()
    assert "thaw" not in kinds()
    assert broken_rules(NOW) == []


def test_work_on_them_uses_them_up(one):
    lay_down(quantity=30, for_order="", shape="")
    made_ahead.move_ahead(item=lay_down(), place="freezer")
    make_plan(now=NOW)
    finish_run(keys=[Job.objects.get(kind="thaw").key], now=NOW + timedelta(hours=1))
    make_plan(now=NOW + timedelta(hours=1))
    assert AheadUse.objects.get().used
    _, works = current_problem(now=NOW + timedelta(hours=1))
    assert not [job for job in works["o301"].jobs if job.kind in ("dough", "bake")]


def test_an_order_called_off_gives_its_blanks_back(one):
    lay_down()
    make_plan(now=NOW)
    set_state(order=one, state=State.CANCELLED)
    OrderFactory(number=302, title="Another", hand_over_at=at(12, days=9), lines__quantity=12)
    make_plan(now=NOW)
    assert not AheadUse.objects.filter(order="o301").exists()


def test_two_orders_never_plan_with_the_same_dough(one):
    OrderFactory(
        number=302, title="Another", hand_over_at=at(12, days=9), lines__quantity=24, lines__spares=0
    )
    lay_down("dough", 3, for_order="")
    make_plan(now=NOW)
    assert sum(AheadUse.objects.values_list("quantity", flat=True)) == 3
    assert sum(Job.objects.filter(kind="dough").values_list("cookies", flat=True)) == 12
    assert broken_rules(NOW) == []
