"""Running one row: claim, compute outside any transaction while a thread keeps it alive, finish once."""

import logging
import threading
import time
import traceback

from django.conf import settings
from django.db import OperationalError, connection

from . import ownership
from .kinds import Refused, Superseded, kind_named

log = logging.getLogger(__name__)


class Report:
    """Handed to a computation: call it with a share of 0 to 1 and a note; it raises Superseded to stop it."""

    SECONDS_BETWEEN_WRITES = 0.5

    def __init__(self, pk: int, owner: str, attempt: int):
        self.pk, self.owner, self.attempt = pk, owner, attempt
        self.superseded = threading.Event()
        self._written = 0.0

    def __call__(self, share: float, note: str = "") -> None:
        if self.superseded.is_set():
            raise Superseded
        if time.monotonic() - self._written < self.SECONDS_BETWEEN_WRITES:
            return
        self._written = time.monotonic()
        if not ownership.beat(self.pk, self.owner, progress=min(1.0, max(0.0, share)), note=note[:200]):
            self.superseded.set()
            raise Superseded


class Beating:
    """A thread that says every fifth of the lease that the work goes on."""

    def __init__(self, report: Report):
        self.report = report
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="heartbeat", daemon=True)

    def __enter__(self):
        self._thread.start()
        return self

    def __exit__(self, *_):
        self._stop.set()
        self._thread.join(timeout=5)

    def _run(self) -> None:
        while not self._stop.wait(settings.COMPUTATION_LEASE / 5):
            try:
                if not ownership.beat(self.report.pk, self.report.owner):
                    self.report.superseded.set()
                    return
            except OperationalError:
                log.warning("A heartbeat could not be written; the next one may.")
            finally:
                connection.close()


def run(pk: int, *, beating: bool = True) -> str:
    """Run the row if it is ours to run; says in one word what came of it (for logs and tests)."""
    row = ownership.claim(pk, ownership.new_owner())
    if row is None:
        return "taken"
    report = Report(row.pk, row.owner, row.attempt)
    try:
        if beating:
            with Beating(report):
                effects = kind_named(row.kind).function(row.args, report)
        else:
            effects = kind_named(row.kind).function(row.args, report)
        ownership.finish(row.pk, row.owner, effects)
    except Superseded:
        return "superseded"
    except Refused as refusal:
        ownership.fail(row.pk, row.owner, error=str(refusal), again=False)
        return "refused"
    except Exception as error:
        log.exception("Computation %s %s failed at attempt %s.", row.kind, row.key, row.attempt)
        ownership.fail(row.pk, row.owner, error=_in_words(error), details=traceback.format_exc()[-8000:])
        return "failed"
    return "done"


def _in_words(error: Exception) -> str:
    if isinstance(error, OSError) and "cannot load library" in str(error):
        return "A system library is missing; run `python3 manage.py open` again and it says which."
    if isinstance(error, MemoryError):
        return "This computer ran out of memory."
    if isinstance(error, OSError) and error.errno == 28:
        return "The disk is full."
    return f"{type(error).__name__}: {str(error)[:200]}"
