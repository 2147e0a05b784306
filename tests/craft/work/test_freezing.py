"""Baking ahead: blanks go into the freezer cold, come out closed, and age only outside of it."""

from datetime import timedelta

from bakery.craft.planning import backward_pass, promise, verify
from bakery.craft.work import Calendar

from .makers import HAND_OVER, evenings, line, problem, work


def lag(found, before, after):
    return next(one for one in found.lags if (one.before, one.after) == (before, after))


def test_every_load_is_frozen_once_cold_and_thawed_before_its_first_layer():
    made = work(line("plain", 24), bake_ahead=True)
    found = problem(made)
    assert [job.kind for job in made.jobs if job.id.startswith("o1.bake.1")] == ["bake", "freeze", "thaw"]
    into = lag(found, "o1.bake.1", "o1.bake.1.freeze")
    assert (into.min, into.max) == (60, 600), "fully cold first, and not much later"
    assert found.orders[0].keeps == 7200 - 600, "what it ages before the freezer counts"
    assert lag(found, "o1.bake.1.freeze", "o1.bake.1.thaw").min == 240
    assert lag(found, "o1.bake.1.thaw", "o1.l1.flood.1").min == 360, "thawed even in a cold kitchen"
    assert not any((one.before, one.after) == ("o1.bake.1", "o1.l1.flood.1") for one in found.lags)
    assert set(found.orders[0].bakes) == {job.id for job in made.jobs if job.kind == "thaw"}


def test_freezing_and_thawing_are_done_at_any_waking_hour():
    tasks = {task.id: task for task in problem(work(bake_ahead=True)).tasks}
    assert tasks["o1.bake.1.freeze"].minutes <= 10
    assert tasks["o1.bake.1.thaw"].minutes <= 10


def test_it_fits_where_the_days_before_the_hand_over_are_too_full_to_bake():
    # Three evenings just before the hand-over hold the icing of 108 and not the baking besides; the evening
    # for baking lies ten days before.
    day = timedelta(days=1)
    near = HAND_OVER - timedelta(hours=HAND_OVER.hour)
    sessions = [(near - k * day + timedelta(hours=18), near - k * day + timedelta(hours=22), 1, None)
                for k in (10, 3, 2, 1)]  # fmt: skip
    waking = [one for one in evenings().sessions if one[3] == 10]
    calendar = Calendar(tuple(sessions + waking))
    big = line("two_colour", 108)
    plain, ahead = (problem(work(big, bake_ahead=flag), calendar=calendar) for flag in (False, True))
    assert promise(plain, "o1", seconds=5, earliest=False).answer == "no"
    answer = promise(ahead, "o1", seconds=5, earliest=False)
    assert answer.answer == "yes"
    assert verify(ahead, answer.plan) == []
    first = min(start for name, start in answer.plan.starts.items() if name.split(".")[1] == "bake")
    assert ahead.orders[0].pickup - first > 7200, "baked more than five days before"


def test_what_is_baked_already_is_not_frozen():
    made = work(line("plain", 24, stage="baked"), bake_ahead=True)
    assert made == work(line("plain", 24, stage="baked"), bake_ahead=True)
    assert not any(job.kind == "freeze" for job in made.jobs)


def test_a_plan_with_frozen_blanks_keeps_every_rule():
    found = problem(work(line("stencil_detail", 48, colours=3), bake_ahead=True))
    plan = backward_pass(found)
    assert plan is not None
    assert verify(found, plan) == []
    assert plan.late == {}
