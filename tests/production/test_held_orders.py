"""Held orders keep their place softly: where not all can be on time, they make way for what is booked."""

import pytest

from bakery.orders.models import State
from bakery.production.services import make_plan
from tests.factories import KindFactory, OrderFactory

from .conftest import NOW, at, broken_rules, wall

pytestmark = pytest.mark.django_db


@pytest.fixture
def two(kitchen):
    """Two orders for Thursday noon; there is time for one of them."""
    kind = KindFactory(key="plain")
    return [
        OrderFactory(number=number, title=title, hand_over_at=at(12, days=2), lines__quantity=24,
                     lines__kind=kind, lines__spares=0)
        for number, title in ((201, "Anna"), (202, "Bea"))
    ]  # fmt: skip


@pytest.mark.parametrize("first", [0, 1])
def test_the_booked_order_is_on_time_and_the_held_one_is_late(two, first):
    held = two[first]
    held.state = State.HELD
    held.save()
    assert make_plan(now=NOW) == "wall"
    assert set(wall().plan["late"]) == {held.key}
    assert broken_rules(NOW) == []
    # In what is kept it is no order made for stock: whoever was promised the place is told.
    assert not any(order["soft"] for order in wall().problem["orders"])


def test_a_held_order_is_on_time_where_there_is_room(kitchen):
    held = OrderFactory(number=201, state=State.HELD, hand_over_at=at(12, days=8), lines__quantity=24)
    assert make_plan(now=NOW) == "wall"
    assert held.key not in wall().plan["late"]
