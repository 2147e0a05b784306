"""Who works on a row: claim it, keep it alive, finish it once. Each is one guarded UPDATE.

The row count of the UPDATE is the answer, so no lock is held while anything is computed, and the same code is
right on SQLite and PostgreSQL.
"""

import os
import secrets
import socket
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.db import transaction
from django.db.models import Case, F, Q, When
from django.utils import timezone

from .kinds import Superseded
from .models import Computation
from .services import enqueue

State = Computation.State
MAX_ATTEMPTS = 5
GAVE_UP = (
    "This was tried five times and stopped half-way each time. Nothing was changed by it. "
    "Try once more; if it stops again, what was asked may be too large for this computer."
)
DID_NOT_WORK = (
    "This was tried five times and did not work. Nothing was changed by it. The last reason: {reason}"
)


def this_process() -> str:
    return f"{socket.gethostname()[:60]}:{os.getpid()}:"


def new_owner() -> str:
    return this_process() + secrets.token_hex(4)


def lapsed_before() -> datetime:
    return timezone.now() - timedelta(seconds=settings.COMPUTATION_LEASE)


def claim(pk: int, owner: str) -> Computation | None:
    """Take the row when it waits or its worker has gone silent; None when it is not ours to take."""
    now = timezone.now()
    taken = (
        Computation.objects.filter(pk=pk, attempt__lt=MAX_ATTEMPTS)
        .filter(Q(state=State.QUEUED, due__lte=now) | Q(state=State.RUNNING, heartbeat__lt=lapsed_before()))
        .update(
            state=State.RUNNING,
            owner=owner,
            heartbeat=now,
            attempt=F("attempt") + 1,
            # A new attempt reads fresh data, so a wish to run again is met by this one.
            args=Case(When(rerun=True, then=F("rerun_args")), default=F("args")),
            rerun=False,
            rerun_args=None,
            progress=0,
            note="",
        )
    )
    return Computation.objects.get(pk=pk) if taken else None


def beat(pk: int, owner: str, **fields) -> bool:
    """Say that the owner still works on it; False when the row is no longer the owner's."""
    mine = Computation.objects.filter(pk=pk, owner=owner, state=State.RUNNING)
    return mine.update(heartbeat=timezone.now(), **fields) == 1


def finish(pk: int, owner: str, effects: Callable[[], Any] | None) -> None:
    """Mark the row done and let its effects take hold, in one transaction; Superseded when it is not ours."""
    now = timezone.now()
    with transaction.atomic():
        mine = Computation.objects.filter(pk=pk, owner=owner, state=State.RUNNING)
        if not mine.update(state=State.DONE, progress=1, finished=now, error="", details=""):
            raise Superseded
        result = effects() if effects else None
        if result is not None:
            Computation.objects.filter(pk=pk).update(result=result)
        _queue_rerun(pk)


def fail(pk: int, owner: str, *, error: str, details: str = "", again: bool = True) -> None:
    """Record a failed attempt: back to the queue after a growing wait, or failed in words for good."""
    now = timezone.now()
    with transaction.atomic():
        row = Computation.objects.filter(pk=pk, owner=owner, state=State.RUNNING).first()
        if row is None:
            return
        mine = Computation.objects.filter(pk=pk, owner=owner, state=State.RUNNING)
        if again and row.attempt < MAX_ATTEMPTS:
            wait = timedelta(seconds=settings.COMPUTATION_RETRY_SECONDS * 2 ** (row.attempt - 1))
            mine.update(state=State.QUEUED, due=now + wait, sent=None, owner="", error=error, details=details)
        elif mine.update(
            state=State.FAILED,
            finished=now,
            error=DID_NOT_WORK.format(reason=error) if again else error,
            details=details,
        ):
            _queue_rerun(pk)


def give_back(owner_prefix: str) -> int:
    """At an orderly stop: this worker's rows wait again at once, and the attempt does not count."""
    mine = Computation.objects.filter(state=State.RUNNING, owner__startswith=owner_prefix)
    return mine.update(state=State.QUEUED, owner="", sent=None, attempt=F("attempt") - 1)


def give_up_lapsed() -> int:
    """Rows whose last allowed attempt fell silent: failed, in words."""
    silent = Computation.objects.filter(
        state=State.RUNNING, attempt__gte=MAX_ATTEMPTS, heartbeat__lt=lapsed_before()
    )
    given_up = 0
    for pk in list(silent.values_list("pk", flat=True)):
        with transaction.atomic():
            if silent.filter(pk=pk).update(state=State.FAILED, finished=timezone.now(), error=GAVE_UP):
                given_up += 1
                _queue_rerun(pk)
    return given_up


def _queue_rerun(pk: int) -> None:
    """Asked for again while it ran: a fresh row, so that a change made meanwhile is never lost."""
    row = Computation.objects.get(pk=pk)
    if row.rerun:
        enqueue(row.kind, row.key, row.rerun_args or {})
