"""Random studios: every problem is sound, has a plan, and the plan passes the checker."""

import random
from datetime import timedelta

import pytest

from bakery.craft.planning import problem_from_json, problem_to_json, solve, verify
from bakery.craft.work import Fact

from .makers import NOW, problem, studio


@pytest.mark.parametrize("tens", range(20))
def test_every_plan_of_ten_random_studios_passes_the_checker(tens):
    for seed in range(10 * tens, 10 * tens + 10):
        works, calendar = studio(seed)
        found = problem(*works, calendar=calendar)
        assert problem_from_json(problem_to_json(found)) == found
        plan = solve(found, deterministic=0.02, seed=seed, workers=1)
        assert plan.status != "none", f"studio {seed} has no plan"
        assert set(plan.starts) >= {task.id for task in found.tasks if task.state == "todo"}
        assert verify(found, plan) == [], f"studio {seed}"


def happened(works, rng):
    """A few jobs done or running, some long, some in an order nobody planned, as evenings are."""
    jobs = [job for work in works for job in work.jobs if job.planned]
    facts = []
    for job in rng.sample(jobs, min(len(jobs), rng.randint(1, 6))):
        state = rng.choice(["done", "done", "running"])
        ago = rng.randint(1, 60 * 24 * 3) if state == "done" else rng.randint(0, 40)
        facts.append(
            Fact(job.id, state, NOW - timedelta(minutes=ago), max(1, job.minutes + rng.randint(-5, 30)))
        )
    return facts


@pytest.mark.parametrize("tens", range(4))
def test_whatever_has_happened_there_is_a_plan_that_passes_the_checker(tens):
    for seed in range(10 * tens, 10 * tens + 10):
        rng = random.Random(seed)
        works, calendar = studio(seed)
        facts = happened(works, rng)
        wall = {
            job.id: NOW + timedelta(hours=rng.randint(-30, 200))
            for work in works
            for job in work.jobs
            if rng.random() < 0.5
        }
        found = problem(*works, calendar=calendar, facts=facts, wall=wall)
        plan = solve(found, deterministic=0.02, seed=seed, workers=1)
        assert plan.status != "none", f"studio {seed} has no plan"
        assert verify(found, plan) == [], f"studio {seed}"
