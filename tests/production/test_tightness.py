"""What is tight is said in words, with what makes it safe; a safe plan says nothing."""

from dataclasses import replace

import pytest

from bakery.craft.planning import backward_pass
from bakery.craft.planning.risk import on_time_chance
from bakery.production.adapters import current_problem
from bakery.production.models import Plan
from bakery.production.queries.tight import tight_words
from bakery.production.tightness import SAFE, _with_longer, tight_spots

from .conftest import NOW, wall

pytestmark = pytest.mark.django_db


@pytest.fixture
def tight(planned):
    """The kitchen with no padding and no time to spare: every job as late as it can be."""
    problem, works = current_problem(now=NOW)
    orders = [replace(order, spare=0) for order in problem.orders]
    problem = replace(problem, orders=orders)
    return problem, works, backward_pass(problem)


def test_a_plan_with_time_to_spare_says_nothing(planned):
    problem, works = current_problem(now=NOW)
    plan = wall()
    from bakery.craft.planning import plan_from_json

    assert tight_spots(problem, plan_from_json(plan.plan), works) == []
    assert tight_words(plan, NOW) == ()


def test_a_spot_is_an_order_that_fails_when_the_plan_is_played(tight, monkeypatch):
    problem, works, plan = tight
    monkeypatch.setattr("bakery.production.tightness._padding", lambda *_: 1.0)
    spots = tight_spots(problem, plan, works)
    assert spots, "a just-in-time plan without padding is not safe"
    chances = on_time_chance(problem, plan, samples=600, seed=1, padding=1.0)
    for spot in spots:
        assert chances.orders[spot["order"]] < SAFE
        if spot["more"]:
            number = next(
                k for k, w in enumerate(problem.windows)
                if (problem.origin.timestamp() / 60 + w.start) == _minute(spot["session"])
            )  # fmt: skip
            longer = _with_longer(problem, number, spot["more"])
            better = on_time_chance(longer, plan, samples=600, seed=1, padding=1.0)
            assert better.orders[spot["order"]] >= SAFE


def _minute(text):
    from datetime import datetime

    return datetime.fromisoformat(text).timestamp() / 60


@pytest.mark.parametrize(
    ("more", "words"),
    [(30, "half an hour more tonight makes it safe"), (60, "an hour more tonight makes it safe"),
     (0, "Begin it first")],
)  # fmt: skip
def test_it_is_said_in_words_and_never_as_a_share(planned, more, words):
    session = NOW.replace(hour=18, minute=30).isoformat()
    spot = {"order": "o118", "job": "o118.l1.flood.1", "kind": "flood", "more": more, "session": session}
    said = tight_words(Plan(tonight={"tight": [spot]}), NOW)
    assert said[0].startswith("Tight: flood of Botanical supper")
    assert words in said[0]
    assert "%" not in said[0]


def test_it_stands_on_tonight_and_week(planned, signed_in):
    plan = wall()
    session = NOW.replace(hour=18, minute=30).isoformat()
    spot = {"order": "o118", "job": "", "kind": "flood", "more": 30, "session": session}
    Plan.objects.filter(pk=plan.pk).update(tonight={**plan.tonight, "tight": [spot]})
    for page in ("/tonight/?list", "/week/"):
        assert "Tight: flood of Botanical supper" in signed_in.get(page).content.decode()
