"""Opens a real Dryby in a home of its own on a free port, and kills it: for tests of what survives.

    with Studio() as studio:
        studio.open()
        client = studio.client()          # signed in; knows about CSRF
        client.post("/orders/new/", {...})
        studio.kill_worker()              # kill -9; the web server starts another
        studio.kill_web()                 # kill -9; `studio.open()` opens the same home again

Nothing here imports Django: the processes are looked at from outside, as a browser and the system see them.
"""

import contextlib
import http.client
import http.cookiejar
import os
import re
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time
import urllib.error
import urllib.parse
import urllib.request
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


class Studio:
    """One home, opened and closed any number of times."""

    def __init__(
        self, home: Path | None = None, *, settings: str = "bakery.settings", lease: float = 3, **environment
    ):
        self.home = home or Path(tempfile.mkdtemp(prefix="dryby-studio-"))
        self._own_home = home is None
        self.port = free_port()
        self.process: subprocess.Popen | None = None
        self.password: str | None = None
        self.lines: list[str] = []
        self.environment = {
            **os.environ,
            "DRYBY_HOME": str(self.home),
            "DRYBY_NO_VENV": "1",  # this Python is set up already
            "DJANGO_SETTINGS_MODULE": settings,
            "COMPUTATION_LEASE": str(lease),
            "COMPUTATION_RETRY_SECONDS": "0.2",
            "PYTHONUNBUFFERED": "1",
            **environment,
        }
        for name in ("DATABASE_URL", "BROKER_URL", "SECRET_KEY", "ALLOWED_HOSTS"):
            if name not in environment:
                self.environment.pop(name, None)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        if self.process and self.process.poll() is None:
            workers = children_of(self.process.pid)
            self.kill_web()
            self.wait_for(lambda: not any(map(is_alive, workers)), 10, "the worker to end")
        if self._own_home:
            shutil.rmtree(self.home, ignore_errors=True)

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    # Opening and ending

    def command(self) -> list[str]:
        return [sys.executable, str(ROOT / "manage.py"), "open", "--port", str(self.port)]

    def open(self, *arguments: str, seconds: float = 40) -> float:
        """Open it and wait until it answers; the seconds that took."""
        began = time.monotonic()
        self.process = subprocess.Popen(
            [*self.command(), *arguments],
            cwd=ROOT, env=self.environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
            start_new_session=True,
        )  # fmt: skip
        threading.Thread(target=self._read, args=(self.process,), daemon=True).start()
        self.wait_for(self._is_open, seconds, "it to open")
        return time.monotonic() - began

    def stop(self, seconds: float = 10) -> tuple[int, float]:
        """Ctrl-C; the exit code and the seconds it took."""
        began = time.monotonic()
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(seconds), time.monotonic() - began

    def kill_web(self) -> None:
        """kill -9 of the web server; its worker must end by itself."""
        self.process.kill()
        self.process.wait()

    def kill_worker(self) -> bool:
        """kill -9 of the worker; False when there was none at that moment."""
        pid = self.worker_pid()
        if pid is None:
            return False
        with contextlib.suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)
        return True

    def worker_pid(self) -> int | None:
        return next(iter(children_of(self.process.pid)), None) if self.process else None

    def manage(self, *arguments: str, **options) -> subprocess.CompletedProcess:
        """Run a command of manage.py on this home."""
        return subprocess.run(
            [sys.executable, str(ROOT / "manage.py"), *arguments],
            cwd=ROOT, env=self.environment, capture_output=True, text=True, timeout=120, check=False,
            **options,
        )  # fmt: skip

    # Looking

    @property
    def output(self) -> str:
        return "".join(self.lines)

    def rows(self, sql: str, *parameters) -> list[tuple]:
        """What the database says (SQLite)."""
        with contextlib.closing(sqlite3.connect(self.home / "dryby.sqlite3", timeout=20)) as database:
            return database.execute(sql, parameters).fetchall()

    def wait_for(self, condition, seconds: float, what: str):
        """Wait until the condition gives something true, and return that."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            if found := condition():
                return found
            time.sleep(0.05)
        raise AssertionError(f"Waited {seconds} s for {what}. Printed so far:\n{self.output[-4000:]}")

    def client(self, *, sign_in: bool = True, password: str | None = None) -> "Client":
        client = Client(self.url)
        if sign_in:
            client.sign_in("baker", password or self.password)
        return client

    def _is_open(self) -> bool:
        if self.process.poll() is not None:
            raise AssertionError(f"It ended with {self.process.returncode}:\n{self.output[-4000:]}")
        if "Dryby is open" not in self.output:
            return False
        with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", self.port), 1):
            return True
        return False

    def _read(self, process: subprocess.Popen) -> None:
        for line in process.stdout:
            self.lines.append(line)
            if found := re.search(r"password (\S+-\S+)", line):
                self.password = found[1]
        process.stdout.close()


class Client:
    """A browser's manners without a browser: cookies, CSRF, redirects; patient while all is down."""

    def __init__(self, url: str):
        self.url = url
        self.cookies = http.cookiejar.CookieJar()
        self._opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.cookies))

    def get(self, path: str, *, patience: float = 0, **headers) -> tuple[int, str]:
        return self._ask(urllib.request.Request(self.url + path, headers=headers), patience)

    def post(self, path: str, data: dict | None = None, *, patience: float = 0, **headers) -> tuple[int, str]:
        """A POST; with patience it is sent again until it is answered, as a person presses again."""
        fields = {**(data or {}), "csrfmiddlewaretoken": self._token()}
        body = urllib.parse.urlencode(fields, doseq=True).encode()
        return self._ask(urllib.request.Request(self.url + path, body, headers), patience)

    def sign_in(self, name: str, password: str) -> None:
        self.get("/login/", patience=10)
        status, page = self.post("/login/", {"username": name, "password": password}, patience=10)
        if not any(cookie.name == "sessionid" for cookie in self.cookies):
            raise AssertionError(f"The login did not work ({status}): {page[:500]}")

    def _token(self) -> str:
        return next((cookie.value for cookie in self.cookies if cookie.name == "csrftoken"), "")

    def _ask(self, request: urllib.request.Request, patience: float) -> tuple[int, str]:
        end = time.monotonic() + patience
        while True:
            try:
                with self._opener.open(request, timeout=30) as answer:
                    return answer.status, answer.read().decode(errors="replace")
            except urllib.error.HTTPError as error:
                return error.code, error.read().decode(errors="replace")
            except (OSError, http.client.HTTPException):
                if time.monotonic() > end:
                    raise
                time.sleep(0.1)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def children_of(pid: int) -> list[int]:
    return [child for child, (_, parent) in _processes().items() if parent == pid]


def is_alive(pid: int) -> bool:
    """Is it there, and not just a zombie waiting to be collected?"""
    return _processes().get(pid, ("Z", 0))[0] != "Z"


def _processes() -> dict[int, tuple[str, int]]:
    """State and parent of every process: from /proc, or where there is none from `ps`."""
    if not Path("/proc/self/stat").exists():
        command = ["ps", "-A", "-o", "pid=,stat=,ppid="]
        listed = subprocess.run(command, capture_output=True, text=True, check=True).stdout.splitlines()
        return {int(pid): (state[0], int(parent)) for pid, state, parent in map(str.split, listed)}
    found = {}
    for entry in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):
            state, parent = (entry / "stat").read_text().rpartition(")")[2].split()[:2]
            found[int(entry.name)] = (state, int(parent))
    return found
