"""Small shifts inside a session, the rest of a tray, and words: each on an instance worked by hand."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.planning import Blocked, Hold, Lag, Order, Problem, Task, Window, verify
from bakery.craft.work import LineSpec, OrderSpec, work_of
from bakery.production import words
from bakery.production.halves import with_rest
from bakery.production.queries.runs import busy_minutes
from bakery.production.settle import closed_up, free_minutes, gathered, tidied, window_at

DAY = datetime(2026, 11, 24, tzinfo=UTC)


def problem(
    tasks, *, lags=(), holds=(), blocked=(), resources=None, windows=((60, 300), (1500, 1740)), now=0
):
    """Two sessions of four hours, 60 to 300 and 1500 to 1740; one order that ends with the last task."""
    return Problem(
        origin=DAY, step=5, now=now, horizon=5000, windows=tuple(Window(a, b) for a, b in windows),
        resources=resources or {}, blocked=tuple(blocked), tasks=tuple(tasks), lags=tuple(lags),
        holds=tuple(holds),
        orders=(Order("o1", 4000, None, tasks[-1].id),),
    )  # fmt: skip


def job(name, minutes=30, kind="flood", **more):
    return Task(name, kind, ("o1",), minutes, more.pop("attended", minutes), **more)


def test_work_closes_up_to_the_beginning_of_the_session():
    given_ = problem([job("a"), job("b")])
    # a may start at 60 and takes 30, so b starts at 90.
    assert closed_up(given_, {"a": 200, "b": 250}, given_.windows[0], ["a", "b"]) == {"a": 60, "b": 90}


def test_closing_up_begins_no_earlier_than_now():
    given_ = problem([job("a")], now=95)
    assert closed_up(given_, {"a": 200}, given_.windows[0], ["a"]) == {"a": 95}


def test_a_wait_keeps_its_length():
    given_ = problem([job("a"), job("b")], lags=[Lag("a", "b", 45)])
    # a from 60 to 90, 45 minutes of waiting: b at 135.
    assert closed_up(given_, {"a": 100, "b": 250}, given_.windows[0], ["a", "b"]) == {"a": 60, "b": 135}


def test_blocked_hands_are_walked_around():
    given_ = problem([job("a")], blocked=[Blocked("hands", 1, 60, 120)])
    assert closed_up(given_, {"a": 250}, given_.windows[0], ["a"]) == {"a": 120}


def test_the_ovens_own_minutes_leave_the_hands_free():
    given_ = problem([job("bake", 40, attended=25, uses={"oven": 1}), job("mix", 15)], resources={"oven": 1})
    # Hands are free after 25 of the 40 minutes: mixing starts at 85.
    assert closed_up(given_, {"bake": 60, "mix": 200}, given_.windows[0], ["bake", "mix"]) == {
        "bake": 60,
        "mix": 85,
    }


def test_what_does_not_fit_is_no_plan():
    given_ = problem([job("a", 130), job("b", 130)])
    assert closed_up(given_, {"a": 60, "b": 1500}, given_.windows[0], ["a", "b"]) is None


def test_an_order_against_the_waits_is_put_right():
    given_ = problem([job("a"), job("b")], lags=[Lag("a", "b", 0)])
    assert closed_up(given_, {"a": 60, "b": 90}, given_.windows[0], ["b", "a"]) == {"a": 60, "b": 90}


def test_like_work_is_brought_together():
    given_ = problem([job("white1"), job("navy"), job("white2")])
    starts = tidied(given_, {"white1": 60, "navy": 90, "white2": 120}, lambda name: name.rstrip("12"))
    assert starts == {"white1": 60, "white2": 90, "navy": 120}


def test_like_work_stays_apart_where_a_wait_is_between():
    lags = [Lag("white1", "navy", 0), Lag("navy", "white2", 0)]
    given_ = problem([job("white1"), job("navy"), job("white2")], lags=lags)
    starts = {"white1": 60, "navy": 90, "white2": 120}
    assert gathered(given_, starts, given_.windows[0], lambda name: name.rstrip("12")) == starts


def test_a_kept_session_stays_as_it_is():
    given_ = problem([job("a")])
    assert tidied(given_, {"a": 200}, str, keep={60}) == {"a": 200}


def test_free_minutes_are_the_hands_that_nothing_takes():
    given_ = problem([job("a", 30), job("b", 45)], blocked=[Blocked("hands", 1, 285, 300)])
    # 240 minutes less 30, 45 and the washing-up of 15.
    assert free_minutes(given_, {"a": 60, "b": 100}, given_.windows[0]) == 150
    assert window_at(given_, 299) == 0
    assert window_at(given_, 300) is None


@given(st.permutations(["a", "b", "c", "d"]), st.integers(0, 40))
def test_tidying_never_breaks_a_rule(order, wait):
    tasks = [job(name, 10 + 5 * i) for i, name in enumerate("abcd")]
    given_ = problem(
        tasks, lags=[Lag("a", "c", wait * 5)], holds=[Hold("rack", 1, "a", "c")], resources={"rack": 1}
    )
    starts = closed_up(given_, {}, given_.windows[0], list(order))
    if starts is not None and not verify(given_, starts):
        assert verify(given_, tidied(given_, starts, lambda name: name in "bd")) == []


def work():
    line = LineSpec("l1", "rounds", "plain", 24, spares=0)
    return work_of(OrderSpec("o1", "Tea", (line,), datetime(2026, 12, 5, 12, tzinfo=UTC)))


def test_the_rest_of_a_tray_is_a_job_that_everything_waits_for():
    whole = work()
    flood = next(job for job in whole.jobs if job.kind == "flood")
    halved = with_rest(whole, {flood.id: flood.cookies - 5})
    rest = halved.job(f"{flood.id}.rest")
    assert rest.cookies == 5
    assert rest.minutes < flood.minutes
    followers = {wait.after for wait in whole.waits if wait.before == flood.id}
    assert followers
    assert followers == {wait.after for wait in halved.waits if wait.before == rest.id}


def test_packing_in_part_leaves_the_order_unfinished():
    whole = work()
    halved = with_rest(whole, {whole.finish: 10})
    assert halved.finish == f"{whole.finish}.rest"
    assert halved.job(halved.finish).cookies == 14


@pytest.mark.parametrize("count", [0, 24, 25, -3])
def test_none_or_all_of_it_leaves_no_rest(count):
    whole = work()
    assert with_rest(whole, {whole.finish: count}) is whole


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (0, "0 min"),
        (25, "25 min"),
        (60, "1 h"),
        (65, "1 h 05"),
        (170, "2 h 50"),
        (4321, "3 days"),
        (59.6, "1 h"),
    ],
)
def test_lengths_are_said_as_bakers_say_them(minutes, said):
    assert words.length(minutes).replace(words.NB, " ") == said


@pytest.mark.parametrize(("amount", "said"), [(3, "5 g"), (57, "60 g"), (561, "570 g"), (1204, "1.2 kg")])
def test_grams_are_rounded_up_to_what_a_scale_shows(amount, said):
    assert words.grams(amount).replace(words.NB, " ") == said


def test_overlapping_minutes_count_once():
    at = lambda minute: DAY.replace(hour=18, minute=minute)  # noqa: E731
    assert busy_minutes([(at(0), at(15)), (at(10), at(30)), (at(40), at(45))]) == 35
