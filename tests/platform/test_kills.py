"""kill -9 of web and worker: every computation that was asked for takes effect once."""

import time

import pytest

from tests.platform.harness import Client, Studio, is_alive
from tests.platform.kills import PROBE, change_from_many_sides, run_kills, wait_until_quiet


@pytest.fixture
def studio():
    with Studio(settings=PROBE) as studio:
        studio.open()
        yield studio


def test_a_few_kills_lose_and_double_nothing(studio):
    counts = run_kills(studio, kills=5, seed=20261125)
    assert counts["marks"] == counts["expected"]
    assert counts["states"] == {"done": counts["asked"]}


@pytest.mark.slow
def test_many_kills_lose_and_double_nothing(studio):
    counts = run_kills(studio, kills=50, seed=20261126)
    assert counts["marks"] == counts["expected"]
    assert counts["states"] == {"done": counts["asked"]}
    assert counts["starts"] > counts["asked"]  # some were hit in the middle, or the test proves nothing


def test_a_worker_killed_between_effect_and_commit_leaves_one_effect(studio):
    Client(studio.url).post("/probe/", {"key": "edge", "seconds": 0.1, "slow_effects": 2}, patience=10)
    state = "SELECT state, progress FROM background_computation WHERE kind = 'probe'"
    studio.wait_for(lambda: studio.rows(state) == [("running", 0.0)], 10, "the computation to start")
    time.sleep(1)  # now inside the transaction: the mark is written and not committed
    assert studio.kill_worker()
    studio.wait_for(lambda: studio.rows(state)[0][0] == "done", 20, "the second attempt to be done")
    assert studio.rows("SELECT key, attempt FROM probe_mark") == [("edge", 2)]


def test_no_change_is_lost_when_many_ask_for_the_same_at_once(studio):
    assert set(change_from_many_sides(studio)) == {200}
    wait_until_quiet(studio)
    assert studio.rows("SELECT max(CAST(key AS integer)) FROM probe_mark") == [(40,)]
    states = "SELECT DISTINCT state FROM background_computation WHERE kind = 'count'"
    assert studio.rows(states) == [("done",)]


def test_the_worker_ends_with_a_killed_web_server(studio):
    worker = studio.wait_for(studio.worker_pid, 5, "the worker")
    studio.kill_web()
    studio.wait_for(lambda: not is_alive(worker), 3, "the worker to end with its parent")


def test_an_orderly_stop_in_the_middle_gives_the_computation_back(studio):
    Client(studio.url).post("/probe/", {"key": "half", "seconds": 30}, patience=10)
    state = "SELECT state, attempt FROM background_computation WHERE kind = 'probe'"
    studio.wait_for(lambda: studio.rows(state) == [("running", 1)], 10, "the computation to start")
    code, seconds = studio.stop()
    assert (code, seconds < 3) == (0, True)
    assert studio.rows(state) == [("queued", 0)]
