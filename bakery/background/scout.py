"""A thread in every worker that looks for rows nobody works on and sends them to the workers.

It is what makes the broker dispensable: a message that was lost, or died with its worker, is sent again.
"""

import logging
import threading
from datetime import timedelta

from django.conf import settings
from django.db import DatabaseError, connection
from django.db.models import Q
from django.utils import timezone

from . import ownership
from .models import Computation

log = logging.getLogger(__name__)
State = Computation.State


def rows_to_send() -> list[int]:
    """Mark the rows that wait unsent, or whose worker fell silent, as sent now; their ids, oldest first."""
    now = timezone.now()
    stale = now - timedelta(seconds=settings.COMPUTATION_LEASE)
    waiting = Computation.objects.filter(
        Q(state=State.QUEUED, due__lte=now)
        | Q(state=State.RUNNING, heartbeat__lt=stale, attempt__lt=ownership.MAX_ATTEMPTS)
    ).filter(Q(sent=None) | Q(sent__lt=stale))
    ids = []
    for pk in list(waiting.order_by("id").values_list("pk", flat=True)[:100]):
        if waiting.filter(pk=pk).update(sent=now):  # guarded: two scouts do not both send it
            ids.append(pk)
    return ids


class Scout(threading.Thread):
    def __init__(self, send, *, seconds: float):
        super().__init__(name="scout", daemon=True)
        self.send, self.seconds = send, seconds
        self.stopping = threading.Event()

    def run(self) -> None:
        while not self.stopping.is_set():
            self.look_once()
            self.stopping.wait(self.seconds)

    def look_once(self) -> None:
        try:
            for pk in rows_to_send():
                self.send(pk)
            ownership.give_up_lapsed()
        except DatabaseError:
            log.warning("The scout could not read the database; it looks again shortly.", exc_info=True)
        except Exception:
            log.exception("The scout met a fault; it looks again shortly.")
        finally:
            if not settings.EMBEDDED or self.stopping.is_set():
                connection.close()  # nothing left open over a network, or across a fork
