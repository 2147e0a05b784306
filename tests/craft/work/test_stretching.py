"""Overfull months: hours are added until late work has a place, and there is always a plan."""

import random
from datetime import timedelta

import pytest

from bakery.craft.planning import solve, verify
from bakery.craft.planning.forward import forward_plan
from bakery.craft.planning.grid import Grid
from bakery.craft.work import KINDS, Calendar, OrderSpec, Shop, past_the_known, propose, share, work_of

from .makers import NOW, TUESDAY, evenings, line, problem, work


def december(count, seed, *, days=24, sizes=(12, 24, 24, 36, 48), sharing=False):
    """That many orders, of whatever kind, due within so many days."""
    rng, works, shop = random.Random(seed), [], Shop()
    for i in range(count):
        lines = [line(rng.choice(KINDS), rng.choice(sizes), colours=rng.randint(1, 4))]
        due = TUESDAY + timedelta(days=rng.randint(2, days), hours=rng.choice([10, 12, 17]))
        event = due + timedelta(hours=3) if rng.random() < 0.5 else None
        works.append(work_of(OrderSpec(f"o{i}", "Invented", lines, due, event=event), shop))
    if sharing:
        works, _ = share(works, propose(works))
    return list(works)


FULL = {
    "26 orders": lambda seed: problem(*december(26, seed), calendar=evenings(38)),
    "26 orders that share": lambda seed: problem(*december(26, seed, sharing=True), calendar=evenings(38)),
    "51 orders": lambda seed: problem(*december(51, seed), calendar=evenings(38)),
    "short evenings": lambda seed: problem(
        *december(4, seed, days=9), calendar=evenings(23, hours=(18.5, 20.5))
    ),
    "heavy orders": lambda seed: problem(
        *december(14, seed, days=12, sizes=(36, 48, 60, 96)), calendar=evenings(26)
    ),
    "a tiny rack": lambda seed: problem(
        *(
            work(line("stencil", 36), shop=Shop(rack_places=3), id=f"o{i}", hand_over=NOW + timedelta(days=4))
            for i in range(6 + seed)
        ),
        calendar=evenings(18),
    ),
}


@pytest.mark.parametrize("name", FULL)
@pytest.mark.parametrize("seed", [1, 2])
def test_an_overfull_december_has_a_plan(name, seed):
    found = FULL[name](seed)
    plan = solve(found, deterministic=0.001, workers=1, seed=seed)
    assert plan, f"{name}: no plan"
    assert verify(found, plan) == []


@pytest.mark.parametrize("seed", [0, 1, *(pytest.param(n, marks=pytest.mark.slow) for n in (2, 3))])
def test_fifteen_orders_squeezed_into_two_days_have_a_plan(seed):
    """Large and small ones, on a small rack: longest waits give way, order by order, before the plan does."""
    rng, works = random.Random(seed), []
    shop = Shop(rack_places=rng.choice([3, 5, 12]))
    for i in range(15):
        lines = [line(rng.choice(KINDS), rng.choice([12, 24, 48, 120]), colours=rng.choice([1, 2, 5]))]
        due = NOW + timedelta(minutes=30 * rng.randint(1, 96))
        works.append(work_of(OrderSpec(f"o{i}", "Invented", lines, due), shop))
    found = problem(*works, calendar=evenings(16), padding=1.5, shop=shop)
    plan = forward_plan(Grid(found))
    assert plan is not None
    assert verify(found, plan) == []


def test_hours_are_added_only_where_the_work_needs_them_and_are_like_those_known():
    calendar = evenings(21)
    few = problem(work(), calendar=calendar)
    assert few.windows[-1].end <= problem(calendar=calendar).windows[-1].end
    works = [work(id=f"o{i}") for i in range(40)]
    many = problem(*works, calendar=calendar)
    known = len(problem(calendar=calendar).windows)
    assert many.windows[:known] == problem(calendar=calendar).windows
    added = many.windows[known:]
    by_hand = sum(task.attended for task in many.tasks)
    hours = sum(w.end - max(w.start, many.now) for w in many.windows if w.longest is None)
    assert hours >= 1.9 * by_hand
    week = {(w.start % 10080, w.end % 10080, w.longest) for w in many.windows[known - 20 : known]}
    assert {(w.start % 10080, w.end % 10080, w.longest) for w in added} <= week | {
        (w.start % 10080, w.end % 10080, w.longest) for w in many.windows[:known]
    }


def test_what_lies_past_her_own_hours_is_told():
    calendar = evenings(12)
    found = problem(*[work(line("stencil", 48), id=f"o{i}") for i in range(14)], calendar=calendar)
    plan = solve(found, deterministic=0.01, workers=1)
    late = past_the_known(found, plan.starts, calendar)
    assert late
    last = max(session.end for session in calendar.sessions if session.longest is None)
    assert all(found.origin + timedelta(minutes=plan.starts[name]) >= last for name in late)
    assert past_the_known(found, dict.fromkeys(late, found.now), calendar) == ()


def test_without_any_session_there_is_nothing_to_repeat():
    found = problem(work(), calendar=Calendar(()))
    assert found.windows == ()
    assert not solve(found, seconds=0.2)
