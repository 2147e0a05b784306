"""What a Celery worker gets once it is ready: scout, first tick, and in the embedded form clock and pipe."""

import logging
import os
import threading

from celery.signals import worker_ready
from django.conf import settings
from django.db import connection

from . import ownership
from .models import Computation
from .scout import Scout

log = logging.getLogger(__name__)
CHILD = "DRYBY_CHILD"  # set by `manage.py open` for the worker that it starts


@worker_ready.connect
def equip(**_) -> None:
    from .tasks import run_computation, tick

    if os.environ.get(CHILD):
        threading.Thread(target=_end_with_parent, name="parent", daemon=True).start()
    if settings.EMBEDDED:
        _take_back_rows()
        _start_clock()
    Scout(run_computation.delay, seconds=0.25 if settings.EMBEDDED else 2).start()
    tick.delay()


def _take_back_rows() -> None:
    """One worker only in this form: whatever is marked as running was left by a worker that is gone.

    Should that worker still breathe, it finds itself superseded and writes nothing. The attempt counts.
    """
    State = Computation.State
    left = Computation.objects.filter(state=State.RUNNING, attempt__lt=ownership.MAX_ATTEMPTS)
    left.update(state=State.QUEUED, owner="", sent=None)
    Computation.objects.filter(state=State.QUEUED).update(sent=None)
    connection.close()


def _start_clock() -> None:
    from celery.beat import EmbeddedService

    from bakery.celery import app

    # A thread, and a schedule in memory: the forked kind does not see memory:// and outlives its worker.
    EmbeddedService(app, thread=True, scheduler_cls="celery.beat:Scheduler").start()


def _end_with_parent() -> None:
    """Block until the pipe from `manage.py open` closes, for whatever reason, then stop at once."""
    try:
        os.read(0, 1)
    finally:
        try:
            ownership.give_back(ownership.this_process())
        except Exception:
            log.warning("Running computations could not be given back; they are taken up after the lease.")
        os._exit(0)
