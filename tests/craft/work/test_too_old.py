"""What was made and waited too long (an evening lost): there is a plan all the same, and it is said."""

from datetime import timedelta

import pytest

from bakery.craft.planning import solve, verify
from bakery.craft.work import Fact, too_old

from .makers import NOW, line, problem, work


def mixed(kind="plain"):
    """(work, a wait with a longest time from the icing)."""
    one = work(line(kind, 24))
    wait = next(
        w for w in one.waits if w.max_minutes is not None and one.job(w.before).kind == "mix" and not w.strict
    )
    return one, wait


@pytest.mark.parametrize("kind", ["plain", "stencil", "lettered"])
@pytest.mark.parametrize("days", [1, 30])
def test_icing_that_is_too_old_leaves_a_plan(kind, days):
    one, wait = mixed(kind)
    facts = [Fact(wait.before, "done", NOW - timedelta(days=days), 25)]
    found = problem(one, facts=facts)
    lag = next(lag for lag in found.lags if lag.before == wait.before and lag.after.startswith(wait.after))
    assert lag.max is None
    plan = solve(found, deterministic=0.01, workers=1)
    assert plan
    assert plan.late == {}
    assert verify(found, plan) == []


def test_only_what_is_over_is_told_and_only_while_something_waits_for_it():
    one, wait = mixed()
    keeps = timedelta(minutes=wait.max_minutes)

    def told(age, **rest):
        done = Fact(wait.before, "done", NOW - age - timedelta(minutes=25), 25)
        return {w.after for w in too_old([one], [done, *rest.pop("more", ())], now=NOW, **rest)}

    assert wait.after in told(keeps + timedelta(minutes=1))
    assert wait.after not in told(keeps)
    assert wait.after in told(keeps, starts={f"{wait.after}/1of2": NOW + timedelta(minutes=5)})
    flooded = Fact(wait.after, "done", NOW - timedelta(hours=1), 40)
    assert wait.after not in told(keeps * 2, more=[flooded])
    assert too_old([one], [], now=NOW) == ()


def test_what_is_done_in_parts_ages_from_its_last_part():
    one, wait = mixed()
    keeps = timedelta(minutes=wait.max_minutes)

    def told(*facts):
        return {w.after for w in too_old([one], facts, now=NOW) if w.before == wait.before}

    first = Fact(f"{wait.before}/1of2", "done", NOW - keeps - timedelta(days=1), 15)
    last = Fact(f"{wait.before}/2of2", "done", NOW - keeps - timedelta(minutes=16), 15)
    assert wait.after in told(first, last)
    assert told(first) == set(), "half mixed is not mixed"
    assert told(first, Fact(f"{wait.before}/2of2", "done", NOW - timedelta(hours=1), 15)) == set()
    used = Fact(f"{wait.after}/1of2", "done", NOW - timedelta(hours=1), 20)
    assert wait.after not in told(first, last, used)
