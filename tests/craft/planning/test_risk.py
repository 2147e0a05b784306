"""The chance of being on time: exact without noise, the normal law on a chain, padding and spare help."""

import json
from math import erf, exp, log, sqrt
from pathlib import Path

import numpy as np
import pytest

from bakery.craft.planning import Hold, Lag, Order, backward_pass, solve
from bakery.craft.planning.risk import Course, on_time_chance

from .makers import problem, studio, task, tiny

PERT = Path(__file__).parents[2] / "outside" / "data" / "planning" / "pert_examples.json"


@pytest.mark.parametrize("seed", range(60))
def test_without_noise_every_start_is_the_plans(seed):
    kitchen = tiny(seed)
    plan = solve(kitchen, seconds=2, stages=("missed", "lateness"))
    if not plan:
        return
    course = Course(kitchen, dict(plan.starts), 2, np)
    begin, _ = course.play(np.random.default_rng(1), 0, 0, 1.0, {})
    assert [list(row) for row in begin] == [[start, start] for start in course.start]


@pytest.mark.parametrize("orders", [5, 15])
def test_without_noise_a_whole_kitchen_is_the_plan(orders):
    kitchen = studio(orders, seed=orders, both=True)
    plan = backward_pass(kitchen)
    course = Course(kitchen, dict(plan.starts), 2, np)
    begin, _ = course.play(np.random.default_rng(1), 0, 0, 1.0, {})
    assert all(abs(row - start).max() < 1e-9 for row, start in zip(begin, course.start, strict=True))
    chances = on_time_chance(kitchen, plan, work=0, drying=0)
    assert chances.all == 1.0
    assert set(chances.orders.values()) == {1.0}


def test_a_chain_follows_the_published_probability():
    # Taylor, "Introduction to Management Science", ch. 8: expected 24 weeks, variance 5, due in 28: 0.9633
    # (by the normal law). Here a chain of four tasks with the same means and the same total variance, but
    # lognormal; their sum is a little skewed, which costs about 0.01.
    given = json.loads(PERT.read_text())[0]
    means = [(one["a"] + 4 * one["m"] + one["b"]) / 6 for one in given["activities"]]
    assert sum(means) == given["expected_duration"]
    tasks = [task(f"t{k}", round(mean * 100), attended=0) for k, mean in enumerate(means)]
    lags = [Lag(f"t{k}", f"t{k + 1}", 0) for k in range(len(means) - 1)]
    due = given["due"] * 100
    kitchen = problem(
        tasks, [(0, 10_000)], [Order("o1", due, None, f"t{len(means) - 1}", spare=0)], lags=lags
    )
    starts, at = {}, 0
    for one in tasks:
        starts[one.id], at = at, at + one.minutes
    spread = sqrt(log(1 + given["critical_variance"] / sum(mean**2 for mean in means)))
    middle = {one.id: one.minutes / exp(spread**2 / 2) for one in tasks}
    found = on_time_chance(kitchen, starts, samples=40_000, work=spread, nominal=middle).orders["o1"]
    exact = 0.5 * (
        1 + erf((given["due"] - given["expected_duration"]) / sqrt(2 * given["critical_variance"]))
    )
    assert exact == pytest.approx(given["probability_on_time_exact"], abs=1e-5)
    assert found == pytest.approx(exact, abs=0.02)


def test_the_same_seed_gives_the_same_chances():
    kitchen = studio(5, seed=1)
    plan = backward_pass(kitchen)
    assert on_time_chance(kitchen, plan, seed=3) == on_time_chance(kitchen, plan, seed=3)


def test_padded_times_are_safer_than_bare_ones():
    kitchen = studio(10, seed=2)
    plan = backward_pass(kitchen)
    bare = on_time_chance(kitchen, plan)
    padded = on_time_chance(kitchen, plan, padding=1.15)
    assert sum(padded.orders.values()) > sum(bare.orders.values())


def test_a_full_rack_holds_up_the_next_tray():
    # One place: tray b may only come once a is packed. a's spray takes twice as long in some courses.
    tasks = [task("a", 20), task("pack", 20), task("b", 20, orders=("o2",)), task("end", 10, orders=("o2",))]
    orders = [Order("o1", 1000, None, "pack", spare=0), Order("o2", 1000, None, "end", spare=0)]
    holds = [Hold("rack", 1, "a", "pack"), Hold("rack", 1, "b", "end")]
    lags = [Lag("a", "pack", 0), Lag("b", "end", 0)]
    kitchen = problem(tasks, [(0, 1000)], orders, resources={"rack": 1}, holds=holds, lags=lags)
    course = Course(kitchen, {"a": 0, "pack": 20, "b": 40, "end": 60}, 200, np)
    begin, end = course.play(np.random.default_rng(1), 0.5, 0, 1.0, {})
    assert (begin[2] >= begin[1] + 0).all()
    assert (begin[2] >= end[1] - 1e-9).all()  # hands
    assert (begin[2] > 41).any()
