"""Asking for a computation, and calling one off."""

import logging
import threading
from functools import partial

from django.conf import settings
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from .kinds import kind_named
from .models import Computation

State = Computation.State
_sending = threading.Lock()


def enqueue(kind: str, key: str = "", args: dict | None = None) -> Computation:
    """Ask for a computation; one (kind, key) is queued or running at a time.

    Queued already: that row takes the new args. Running: it is marked to run once more afterwards, with the
    new args, because what it has read may be older than this change. Call it inside the transaction that
    makes the change, so that both are kept or neither.
    """
    kind_named(kind)
    args = args or {}
    while True:
        try:
            with transaction.atomic():
                row, fresh = _join_or_create(kind, key, args)
                if fresh:
                    transaction.on_commit(partial(_wake, row.pk))
                return row
        except IntegrityError:
            continue  # another process queued the same key between our look and our insert: join that one


def _join_or_create(kind: str, key: str, args: dict) -> tuple[Computation, bool]:
    active = Computation.objects.filter(kind=kind, key=key)
    # Always an UPDATE, never just a look: it locks the row until our change is committed,
    # so no worker can start on it and read the time before.
    anew = {
        "args": args,
        "rerun": False,
        "rerun_args": None,
        "attempt": 0,
        "due": timezone.now(),
        "sent": None,
    }
    again = {"rerun": True, "rerun_args": args}
    while True:
        queued, running = active.filter(state=State.QUEUED), active.filter(state=State.RUNNING)
        if queued.update(**anew) or running.update(**again):
            return active.get(state__in=Computation.ACTIVE), False
        if not active.filter(state__in=Computation.ACTIVE).exists():
            break
        # A worker gave it back between our two looks: without an UPDATE it is not ours yet, so look again.
    now = timezone.now()
    sent = None if settings.EMBEDDED else now  # the message goes out at commit; see `_wake`
    return Computation.objects.create(kind=kind, key=key, args=args, due=now, sent=sent), True


def cancel(*, pk: int) -> bool:
    """Call off what is queued or running; a running one stops at its next sign of life, without effect."""
    active = Computation.objects.filter(pk=pk, state__in=Computation.ACTIVE)
    return active.update(state=State.CANCELLED, finished=timezone.now(), rerun=False) == 1


def try_again(*, pk: int) -> Computation | None:
    """Ask once more for a computation that failed or was called off."""
    row = Computation.objects.filter(pk=pk, state__in=[State.FAILED, State.CANCELLED]).first()
    return enqueue(row.kind, row.key, row.args) if row else None


def _wake(pk: int) -> None:
    """Tell a worker through the broker; the embedded worker finds the row by itself.

    In a thread, because a stalled broker must not hold the page; one at a time, so that none pile up.
    """
    if settings.EMBEDDED:
        return
    if _sending.acquire(blocking=False):
        threading.Thread(target=_send, args=(pk,), name="wake", daemon=True).start()
    else:
        _leave_to_scout(pk)


def _send(pk: int) -> None:
    from .tasks import run_computation

    try:
        run_computation.delay(pk)
    except Exception:
        logging.getLogger(__name__).warning("The broker does not answer; computation %s waits.", pk)
        _leave_to_scout(pk)
        connection.close()
    finally:
        _sending.release()


def _leave_to_scout(pk: int) -> None:
    Computation.objects.filter(pk=pk, state=State.QUEUED).update(sent=None)
