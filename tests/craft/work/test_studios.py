"""Random studios: every problem is sound, has a plan, and the plan passes the checker."""

import pytest

from bakery.craft.planning import problem_from_json, problem_to_json, solve, verify

from .makers import problem, studio


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
