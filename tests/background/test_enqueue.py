"""Asking for a computation: one row per key, and no change is ever lost."""

import pytest
from django.db import connection, transaction

from bakery.background import ownership, services
from bakery.background.models import Computation
from bakery.background.running import run
from bakery.background.services import enqueue

pytestmark = pytest.mark.django_db
State = Computation.State


def test_a_second_ask_joins_the_queued_row_and_brings_its_newer_args(effects):
    first = enqueue("probe", "week", {"since": 1})
    second = enqueue("probe", "week", {"since": 2})
    assert first.pk == second.pk
    assert run(first.pk, beating=False) == "done"
    assert effects == [{"since": 2}]


def test_other_keys_are_other_rows(effects):
    assert enqueue("probe", "a").pk != enqueue("probe", "b").pk


def test_an_ask_while_it_runs_runs_once_more_with_the_newer_args(register, run_queued):
    seen = []

    def probe(args, report):
        if not seen:
            enqueue("probe", "week", {"since": 2})
            enqueue("probe", "week", {"since": 3})
        return lambda: seen.append(args)

    register(probe)
    enqueue("probe", "week", {"since": 1})
    assert run_queued("probe") == ["done", "done"]
    assert seen == [{"since": 1}, {"since": 3}]


def test_an_ask_while_it_runs_survives_the_end_of_that_run_in_failure(register, run_queued):
    tries = []

    def probe(args, report):
        tries.append(args)
        if len(tries) == 1:
            enqueue("probe", "week", {"since": 2})
            from bakery.background.kinds import Refused

            raise Refused("There are no baking hours.")

    register(probe)
    enqueue("probe", "week", {"since": 1})
    assert run_queued("probe") == ["refused", "done"]
    assert tries == [{"since": 1}, {"since": 2}]


def test_a_take_over_after_a_kill_already_reads_the_newer_args(effects, silence):
    row = enqueue("probe", "week", {"since": 1})
    ownership.claim(row.pk, "a worker that dies")
    enqueue("probe", "week", {"since": 2})
    silence(row)
    assert run(row.pk, beating=False) == "done"
    assert effects == [{"since": 2}]
    assert not Computation.objects.filter(state=State.QUEUED).exists()


def test_an_ask_in_a_transaction_that_fails_leaves_nothing(effects):
    with transaction.atomic():
        enqueue("probe")
        transaction.set_rollback(True)
    assert not Computation.objects.exists()


def test_a_kind_that_nobody_registered_is_refused_at_the_asking():
    with pytest.raises(LookupError, match="nonesuch"):
        enqueue("nonesuch")


def test_calling_off_a_queued_row_means_it_never_runs(effects, run_queued):
    row = enqueue("probe")
    assert services.cancel(pk=row.pk)
    assert run_queued() == []
    assert effects == []
    assert not services.cancel(pk=row.pk)


def test_calling_off_a_running_row_stops_it_without_effect(register, run_queued):
    marks = []

    def probe(args, report):
        services.cancel(pk=report.pk)
        report(0.5, "half way")
        return lambda: marks.append("effect")

    register(probe)
    row = enqueue("probe")
    assert run_queued() == ["superseded"]
    row.refresh_from_db()
    assert (row.state, marks) == (State.CANCELLED, [])


def test_calling_off_between_computing_and_finishing_also_leaves_no_effect(register, run_queued):
    marks = []

    def probe(args, report):
        services.cancel(pk=report.pk)
        return lambda: marks.append("effect")

    register(probe)
    enqueue("probe")
    assert run_queued() == ["superseded"]
    assert marks == []


def test_after_a_failure_the_same_can_be_asked_again(register, run_queued):
    register(lambda args, report: 1 / 0)
    row = enqueue("probe", "k", {"n": 1})
    run_queued()
    again = services.try_again(pk=row.pk)
    assert again.pk != row.pk
    assert (again.args, again.state, again.attempt) == ({"n": 1}, State.QUEUED, 0)
    assert services.try_again(pk=again.pk) is None


def test_a_row_given_back_between_two_looks_still_takes_the_new_args(effects):
    """Running at the first look, waiting again at the second: what was asked for must not be lost."""
    row = enqueue("probe", "o1", {"n": 1})
    Computation.objects.filter(pk=row.pk).update(state=State.RUNNING)
    seen = []

    def give_back_after_the_first_look(execute, sql, params, many, context):
        result = execute(sql, params, many, context)
        if sql.startswith("UPDATE") and not seen:
            seen.append(sql)
            Computation.objects.filter(pk=row.pk).update(state=State.QUEUED)
        return result

    with connection.execute_wrapper(give_back_after_the_first_look):
        assert enqueue("probe", "o1", {"n": 2}).pk == row.pk
    assert seen
    row.refresh_from_db()
    assert row.args == {"n": 2}
