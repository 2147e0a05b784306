"""A number with a nought too many: the plan says how late that would be, and says it before long."""

from time import perf_counter

import pytest

from bakery.craft.planning import forward, problem_from_json
from bakery.craft.planning.grid import Grid
from bakery.production.services import make_plan
from tests.factories import KindFactory, OrderFactory

from .conftest import NOW, at, broken_rules, proposed, wall

pytestmark = pytest.mark.django_db


def slip(cookies):
    return OrderFactory(number=200, title="Slip", hand_over_at=at(16, days=9), lines__spares=1,
                        lines__kind=KindFactory(key="very_detailed"), lines__quantity=cookies)  # fmt: skip


@pytest.mark.slow
def test_icing_is_mixed_again_for_an_order_too_large_for_one_mixing(planned):
    """Three hundred very detailed cookies take weeks of evenings; icing keeps for one."""
    before = {order["id"] for order in wall().problem["orders"] if order["id"] not in wall().plan["late"]}
    order = slip(300)
    assert make_plan(now=NOW) in ("wall", "proposed")
    plan = (proposed() or wall()).plan
    assert plan["late"][order.key] > 7 * 1440
    assert not before & set(plan["late"])
    lags = [lag for lag in (proposed() or wall()).problem["lags"] if lag["before"].startswith("o200.mix")]
    assert lags
    assert all(lag["max"] is None for lag in lags)


def test_placing_is_given_up_when_its_time_is_up(planned):
    grid = Grid(problem_from_json(wall().problem))
    assert forward.forward_plan(grid, stop=lambda: False) is not None
    asked = []
    assert forward.forward_plan(grid, stop=lambda: not asked.append(1)) is None
    assert len(asked) < 4


@pytest.mark.slow
def test_five_thousand_by_a_slip_end_in_an_honest_answer(planned, capsys):
    """Printed: how long it takes. A checked plan in which the slip is late, or none: no half of one."""
    slip(5000)
    begun, places = perf_counter(), dict(wall().plan["starts"])
    kind = make_plan(now=NOW)
    with capsys.disabled():
        print(f"\n  5,000 cookies by a slip: {kind} after {perf_counter() - begun:.0f} s", end="")
    if kind == "none":
        assert dict(wall().plan["starts"]) == places
    else:
        assert "o200" in (proposed() or wall()).plan["late"]
        assert proposed() is not None or broken_rules(NOW) == []
