"""Keeps one worker running beside the web server: restarts it with growing waits, ends it with us."""

import logging
import os
import subprocess
import sys
import threading
import time

from django.conf import settings

from bakery.background.worker import CHILD

log = logging.getLogger(__name__)
WAITS = (0.5, 1, 2, 4, 8, 15, 30)
LONG_LIFE = 60  # seconds after which a death counts as the first again
COMMAND = [
    sys.executable, "-m", "celery", "-q", "-A", "bakery.celery", "worker", "--pool", "solo",
    "--loglevel", "WARNING", "--without-gossip", "--without-mingle", "--without-heartbeat",
]  # fmt: skip


class Keeper(threading.Thread):
    """The child reads from a pipe that only we hold: when we die, however, the pipe closes and it ends."""

    def __init__(self):
        super().__init__(name="keeper", daemon=True)
        self.stopping = threading.Event()
        self.child: subprocess.Popen | None = None
        self._lock = threading.Lock()

    def run(self) -> None:
        deaths = 0
        while not self.stopping.is_set():
            born = time.monotonic()
            if not self._start():
                return
            code = self.child.wait()
            if self.stopping.is_set():
                return
            deaths = 1 if time.monotonic() - born > LONG_LIFE else deaths + 1
            wait = WAITS[min(deaths, len(WAITS)) - 1]
            log.warning("The worker ended (%s); it starts again in %s s.", code, wait)
            self.stopping.wait(wait)

    def stop(self) -> None:
        """End the child in an orderly way: its running computations wait again."""
        self.stopping.set()
        with self._lock:
            child = self.child
        if child is None:
            return
        child.stdin.close()
        try:
            child.wait(3)
        except subprocess.TimeoutExpired:
            child.kill()
            child.wait()

    def _start(self) -> bool:
        alone = (
            {"creationflags": subprocess.CREATE_NEW_PROCESS_GROUP}
            if os.name == "nt"
            else {"start_new_session": True}  # Ctrl-C goes to us; the child hears of it through the pipe
        )
        with self._lock:
            if self.stopping.is_set():
                return False
            self.child = subprocess.Popen(
                COMMAND,
                cwd=settings.BASE_DIR,
                stdin=subprocess.PIPE,
                env=dict(os.environ, **{CHILD: "1"}),
                **alone,
            )
        return True
