"""Claims, heartbeats, take-over, retries: effects exactly once."""

from datetime import timedelta

import pytest
from django.utils import timezone

from bakery.background import ownership
from bakery.background.kinds import Superseded
from bakery.background.models import Computation
from bakery.background.running import run
from bakery.background.scout import rows_to_send
from bakery.background.services import enqueue

pytestmark = pytest.mark.django_db
State = Computation.State


def test_only_one_of_two_workers_gets_the_row(effects):
    row = enqueue("probe")
    assert ownership.claim(row.pk, "one") is not None
    assert ownership.claim(row.pk, "two") is None


def test_a_silent_workers_row_is_taken_over_and_its_late_finish_changes_nothing(effects, silence):
    row = enqueue("probe", args={"n": 1})
    ownership.claim(row.pk, "slow")
    silence(row)
    assert run(row.pk, beating=False) == "done"
    late = []
    with pytest.raises(Superseded):
        ownership.finish(row.pk, "slow", lambda: late.append("twice"))
    assert effects == [{"n": 1}]
    assert late == []
    assert ownership.beat(row.pk, "slow") is False


def test_a_living_workers_row_is_left_alone(effects):
    row = enqueue("probe")
    ownership.claim(row.pk, "alive")
    assert run(row.pk, beating=False) == "taken"


def test_effects_that_fail_leave_nothing_behind_and_are_tried_again(register, run_queued):
    tries = []

    def probe(args, report):
        def effects():
            tries.append(report.attempt)
            Computation.objects.create(kind="left over", due=timezone.now(), state=State.DONE)
            if len(tries) < 3:
                raise RuntimeError("the database stumbled")

        return effects

    register(probe)
    row = enqueue("probe")
    assert run_queued() == ["failed", "failed", "done"]
    row.refresh_from_db()
    assert tries == [1, 2, 3]
    assert (row.state, row.error) == (State.DONE, "")
    assert Computation.objects.filter(kind="left over").count() == 1


def test_after_five_tries_it_has_failed_in_words(register, run_queued):
    def probe(args, report):
        raise ValueError("the week has no evenings")

    register(probe)
    row = enqueue("probe")
    assert run_queued() == ["failed"] * 5
    row.refresh_from_db()
    assert row.state == State.FAILED
    assert row.error.startswith("This was tried five times and did not work. Nothing was changed by it.")
    assert "the week has no evenings" in row.error
    assert "Traceback" in row.details


def test_waits_between_tries_grow(register, settings):
    settings.COMPUTATION_RETRY_SECONDS = 2
    register(lambda args, report: 1 / 0)
    row = enqueue("probe")
    waits = []
    for _ in range(4):
        run(row.pk, beating=False)
        row.refresh_from_db()
        waits.append(round((row.due - timezone.now()).total_seconds()))
        assert run(row.pk, beating=False) == "taken"  # not before it is due
        Computation.objects.filter(pk=row.pk).update(due=timezone.now())
    assert waits == [2, 4, 8, 16]


def test_a_row_that_kills_five_workers_is_given_up_in_words(effects, silence):
    row = enqueue("probe")
    for n in range(5):
        assert ownership.claim(row.pk, f"worker {n}")
        silence(row)
    assert ownership.claim(row.pk, "worker 6") is None
    assert ownership.give_up_lapsed() == 1
    row.refresh_from_db()
    assert (row.state, row.error) == (State.FAILED, ownership.GAVE_UP)
    assert effects == []


def test_an_orderly_stop_gives_rows_back_without_counting_the_try(effects):
    row = enqueue("probe")
    ownership.claim(row.pk, ownership.new_owner())
    assert ownership.give_back(ownership.this_process()) == 1
    row.refresh_from_db()
    assert (row.state, row.attempt) == (State.QUEUED, 0)


def test_the_scout_sends_waiting_and_silent_rows_once_per_lease(effects, silence):
    waiting, silent, alive = (enqueue("probe", key) for key in ("waiting", "silent", "alive"))
    for row in (silent, alive):
        ownership.claim(row.pk, "somebody")
    silence(silent)
    assert rows_to_send() == [waiting.pk, silent.pk]
    assert rows_to_send() == []
    Computation.objects.filter(pk=waiting.pk).update(sent=timezone.now() - timedelta(hours=1))
    assert rows_to_send() == [waiting.pk]


def test_the_result_of_the_effects_is_kept(register, run_queued):
    register(lambda args, report: lambda: {"plan": 7})
    row = enqueue("probe")
    run_queued()
    row.refresh_from_db()
    assert row.result == {"plan": 7}
    assert row.percent == 100
