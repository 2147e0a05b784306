"""The solver core (waits and resources, least lateness) against published optima of PSPLIB.

Instances: Kolisch & Sprecher, EJOR 96 (1996) 205-216. Optima: see data/rcpsp/SOURCES.md.
"""

import pytest

from bakery.craft.planning import solve, verify

from .projects import as_problem, published

ROWS = published()
SMALL = [name for name, row in ROWS.items() if row["set"] == "j30"]
LARGE = [name for name in ROWS if name not in SMALL]


def makespan(name, seconds):
    """Solve an instance; return (makespan, proved bound)."""
    problem = as_problem(name)
    plan = solve(problem, seconds=seconds, stages=("missed", "lateness"))
    assert verify(problem, plan) == []
    return plan.objective["lateness"] - 1, plan.bound["lateness"] - 1


@pytest.mark.parametrize("name", SMALL)
def test_the_published_optimum_is_found_and_proved(name):
    assert makespan(name, 30) == (int(ROWS[name]["upper_bound"]),) * 2


@pytest.mark.slow
@pytest.mark.parametrize("name", LARGE)
def test_large_instances_stay_within_the_published_bounds(name):
    found, bound = makespan(name, 60)
    row = ROWS[name]
    assert bound <= int(row["upper_bound"])
    assert found >= int(row["lower_bound"])
    if row["ortools_9_15_status"] == "OPTIMAL":
        assert found == bound == int(row["upper_bound"])
