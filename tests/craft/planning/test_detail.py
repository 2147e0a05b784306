"""Plans inside chosen evenings, and refusals, against every plan there is."""

from __future__ import annotations

from itertools import combinations

from bakery.craft.planning import limits, verify
from bakery.craft.planning.backward import checked
from bakery.craft.planning.clock import Clock
from bakery.craft.planning.detail import NO, YES, Detailed, inside
from bakery.craft.planning.fewest import fewest_sessions
from bakery.craft.planning.goals import window_of
from bakery.craft.planning.grid import Grid

from .brute import every_plan
from .makers import studio, tiny

CLEAN = dict.fromkeys(("missed", "lateness", "soft", "stale", "tight"), 0)


def evenings_of(grid, starts):
    """The windows without `longest` in which free work starts."""
    found = {window_of(grid.problem, starts[name]) for name in grid.ids}
    return {w for w in found if grid.problem.windows[w].longest is None}


def with_plans(seeds):
    """Tiny problems that have a plan: (seed, problem, every plan, grid, tightened earliest and latest)."""
    for seed in range(seeds):
        problem = tiny(seed)
        plans = every_plan(problem)
        if plans:
            grid = Grid(problem)
            lo, hi, _ = limits.tighten(grid, grid.lo, grid.hi)
            yield seed, problem, plans, grid, lo, hi


def test_evenings_hold_a_plan_exactly_when_some_plan_uses_no_others():
    said = []
    for seed, problem, plans, grid, lo, hi in with_plans(60):
        used = [evenings_of(grid, starts) for starts, _ in plans]
        every = [w for w, one in enumerate(problem.windows) if one.longest is None]
        for chosen in (set(some) for k in range(len(every) + 1) for some in combinations(every, k)):
            answer, slots = inside(grid, lo, hi, chosen, Clock(20), 1.0, loose=seed % 2 == 0)
            assert answer == (YES if any(one <= chosen for one in used) else NO), (seed, chosen)
            if answer == YES:
                assert verify(problem, grid.starts_of(slots)) == []
                assert evenings_of(grid, grid.starts_of(slots)) <= chosen
            said.append(answer)
    assert said.count(YES) > 30
    assert said.count(NO) > 30


def test_windows_and_minutes_together_refuse_no_plan():
    for seed, problem, _, grid, lo, hi in with_plans(40):
        answer, slots = Detailed(grid, lo, hi).solve(seconds=20)
        assert answer == YES, seed
        assert verify(problem, grid.starts_of(slots)) == []


def test_the_same_search_gives_the_same_plan():
    kitchen = studio(6, load=0.5, seed=2)
    grid = Grid(kitchen)
    lo, hi, _ = limits.tighten(grid, *limits.within(grid, CLEAN))
    found = [Detailed(grid, lo, hi).solve(deterministic=2.0) for _ in range(2)]
    assert found[0] == found[1]
    assert found[0][0] == YES


def test_fewer_sessions_and_never_below_the_bound():
    kitchen = studio(6, load=0.5, seed=2)
    grid = Grid(kitchen)
    lo, hi, _ = limits.tighten(grid, *limits.within(grid, CLEAN))
    _, slots = Detailed(grid, lo, hi).solve(deterministic=2.0)
    plan = checked(grid, slots)
    better, bound = fewest_sessions(grid, plan, CLEAN, Clock(0, deterministic=3.0), workers=1)
    assert bound <= better.objective["sessions"] <= plan.objective["sessions"]
    assert all(better.objective[name] == 0 for name in ("missed", "lateness", "stale", "tight"))
