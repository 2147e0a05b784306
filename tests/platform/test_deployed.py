"""The same code on PostgreSQL and Redis, with the commands of docker-compose.yml."""

import os
import signal
import time

import pytest

from tests.platform import deployed
from tests.platform.harness import Client
from tests.platform.kills import PROBE, change_from_many_sides, run_kills, wait_until_quiet

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(bool(deployed.missing()), reason=f"not on this machine: {deployed.missing()}"),
]


@pytest.fixture(scope="module")
def servers():
    with deployed.Servers() as servers:
        yield servers


@pytest.fixture
def studio(servers):
    with deployed.Deployed(servers, settings=PROBE) as studio:
        studio.open()
        yield studio
        for table in ("probe_mark", "probe_ask", "background_computation"):
            studio.rows(f"DELETE FROM {table} RETURNING 1")


def test_a_computation_is_woken_through_the_broker_at_once(studio):
    Client(studio.url).post("/probe/", {"key": "warm", "seconds": 0}, patience=10)
    done = "SELECT finished - created FROM background_computation WHERE key = %s AND state = 'done'"
    studio.wait_for(lambda: studio.rows(done, "warm"), 20, "the first computation")
    Client(studio.url).post("/probe/", {"key": "quick", "seconds": 0}, patience=10)
    took = studio.wait_for(lambda: studio.rows(done, "quick"), 10, "the second")[0][0]
    assert took.total_seconds() < 1


def test_kills_lose_and_double_nothing(studio):
    counts = run_kills(studio, kills=15, seed=20261125)
    assert counts["marks"] == counts["expected"]
    assert counts["states"] == {"done": counts["asked"]}


def test_a_stalled_worker_is_superseded_and_its_late_finish_has_no_effect(studio):
    Client(studio.url).post("/probe/", {"key": "stall", "seconds": 2}, patience=10)
    row = "SELECT state, attempt, owner FROM background_computation WHERE key = 'stall'"
    running = studio.wait_for(lambda: [r for r in studio.rows(row) if r[0] == "running"], 10, "it to start")
    stalled = int(running[0][2].split(":")[1])
    os.kill(stalled, signal.SIGSTOP)
    try:
        studio.wait_for(lambda: studio.rows(row)[0][:2] == ("done", 2), 20, "another worker to take over")
    finally:
        os.kill(stalled, signal.SIGCONT)
    time.sleep(3)  # it would have finished by now
    assert studio.rows("SELECT attempt FROM probe_mark WHERE key = 'stall'") == [(2,)]


def test_no_change_is_lost_when_many_ask_for_the_same_at_once(studio):
    assert set(change_from_many_sides(studio)) == {200}
    wait_until_quiet(studio)
    assert studio.rows("SELECT max(CAST(key AS integer)) FROM probe_mark") == [(40,)]
    states = "SELECT DISTINCT state FROM background_computation WHERE kind = 'count'"
    assert studio.rows(states) == [("done",)]


def test_a_broker_that_is_away_delays_nothing_but_the_computation(studio):
    redis = studio.servers.processes[1]
    redis.send_signal(signal.SIGSTOP)
    try:
        began = time.monotonic()
        status, _ = Client(studio.url).post("/probe/", {"key": "away", "seconds": 0}, patience=10)
        assert (status, time.monotonic() - began < 1) == (200, True)
    finally:
        redis.send_signal(signal.SIGCONT)
    done = "SELECT 1 FROM background_computation WHERE key = 'away' AND state = 'done'"
    studio.wait_for(lambda: studio.rows(done), 30, "the computation, once the broker is back")


def test_copies_are_made_and_put_back(studio):
    studio.rows("INSERT INTO probe_ask (key) VALUES ('kept') RETURNING id")
    made = studio.manage("backup")
    assert made.returncode == 0, made.stderr
    copy = made.stdout.split("The copy is ")[1].split(" (")[0]
    studio.rows("DELETE FROM probe_ask WHERE key = 'kept' RETURNING id")

    in_use = studio.manage("restore", copy)
    assert (in_use.returncode, "the database is in use" in in_use.stderr) == (1, True)

    studio.kill_web()
    for process in (studio.worker, studio.beat):
        deployed._kill_group(process)
    studio.worker = studio.beat = None
    time.sleep(0.5)
    done = studio.manage("restore", copy)
    assert done.returncode == 0, done.stderr
    assert studio.rows("SELECT count(*) FROM probe_ask WHERE key = 'kept'") == [(1,)]
    assert studio.rows("SELECT count(*) FROM auth_user WHERE username = 'baker'") == [(1,)]
