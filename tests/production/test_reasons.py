"""Each reason for a no in one plain sentence, from real problems: drying, rack, oven, airbrush, stencil."""

from datetime import timedelta
from itertools import pairwise

import pytest

from bakery.craft.planning import promise
from bakery.craft.work import Calendar, Layer, Outage, Shop
from bakery.production.reasons import hours, reasons
from bakery.production.shortage import shortage_of
from tests.craft.work.makers import TUESDAY, evenings, line, problem, work

DAY = timedelta(days=1)
FERN = (Layer("flood", ("white",)), Layer("spray", ("green",), None, "base_dry", ("fern",), placings=2))


def asked(made, calendar=None):
    """(problem, certificate, what is said) of a no about one order."""
    found = problem(made, calendar=calendar)
    answer = promise(found, "o1", seconds=5, earliest=False)
    assert answer.answer == "no"
    return found, answer.why, " ".join(reasons(found, {"o1": made}, answer.why, "o1"))


def out(resource, amount=1):
    """Twelve days without a tool."""
    return Calendar(evenings().sessions, (Outage(resource, amount, TUESDAY, TUESDAY + 12 * DAY),))


@pytest.mark.parametrize(
    ("resource", "amount", "made", "sentence"),
    [
        ("oven", 2, work(line("plain", 24)), "The oven is out until Sunday 6 Dec"),
        ("airbrush", 1, work(line("stencil", 24)), "The airbrush is out until Sunday 6 Dec"),
        ("stencil/fern", 1, work(line("stencil", 24, layers=FERN)), "The fern stencil is out until Sunday 6"),
    ],
)
def test_a_tool_that_is_out_is_named_with_its_day(resource, amount, made, sentence):
    assert sentence in asked(made, out(resource, amount))[2]


def test_drying_that_takes_longer_than_there_is_adds_up():
    found, why, said = asked(work(line("plain", 24), hand_over=TUESDAY + DAY + timedelta(hours=12)))
    assert why["kind"] == "waits"
    names = [step["task"] for step in why["chain"]]
    work_minutes = sum(task.minutes for task in found.tasks if task.id in names)
    pairs = set(pairwise(names))
    drying = sum(lag.min for lag in found.lags if (lag.before, lag.after) in pairs)
    whole = why["earliest"] - found.now
    assert f"the work takes {hours(work_minutes)}, cooling and drying {hours(drying)}" in said
    assert f"and {hours(whole - work_minutes - drying)} pass until you bake again: {hours(whole)}." in said


def test_too_few_places_on_the_rack_are_counted_in_hours_of_places():
    made = work(line("plain", 84), shop=Shop(rack_places=2), hand_over=TUESDAY + 5 * DAY)
    found, why, said = asked(made)
    assert why["resource"] == "rack"
    short = shortage_of(found, why, "o1")
    # Two places from the first minute of the stretch to its last.
    assert short.there == 2 * (short.end - short.start)
    # A wet tray keeps its place until it may be handled again, or is dry and boxed: the sooner of both.
    waits = {(lag.before, lag.after): lag.min for lag in found.lags}
    holds = [hold for hold in found.holds if hold.resource == "rack" and hold.after in short.tasks]
    lasts = [min(x for x in (hold.minutes, waits.get((hold.after, hold.until))) if x is not None)
             for hold in holds]  # fmt: skip
    assert short.needed == sum(one * hold.amount for one, hold in zip(lasts, holds, strict=True))
    assert f"there are {hours(short.there)} of room on the drying rack, on 2 places" in said
    assert f"{hours(short.needed)} of it for flooding: {hours(short.over)} too many" in said


def test_one_job_longer_than_any_free_time():
    begins = [TUESDAY + k * DAY + timedelta(hours=19) for k in range(11)]
    short = Calendar(tuple((at, at + timedelta(minutes=25), 1, None) for at in begins))
    made = work(line("plain", 14), shop=Shop(wash_up_minutes=0))
    found = problem(made, calendar=short)
    job = max((task for task in found.tasks), key=lambda task: task.minutes)
    why = {"kind": "task", "task": job.id, "minutes": job.minutes, "longest_window": 25, "orders": ["o1"]}
    said = " ".join(reasons(found, {"o1": made}, why, "o1"))
    assert f"takes {hours(job.minutes)} in one go, and the longest free time is 25 min" in said


@pytest.mark.parametrize(("minutes", "words"), [(0, "0 min"), (55, "55 min"), (60, "1 h"), (1020, "17 h"),
                                                (3690, "61 h 30"), (10_005, "166 h 45")])  # fmt: skip
def test_hours_stay_hours_so_that_they_can_be_added_up(minutes, words):
    assert hours(minutes) == words
