"""The deployed form without containers: PostgreSQL and Redis of the test's own, the compose file's commands.

Both servers run on free ports in a folder that is removed afterwards, PostgreSQL as an unprivileged user.
"""

import contextlib
import os
import pwd
import random
import re
import shlex
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.platform.harness import ROOT, Studio, children_of, free_port


def missing() -> list[str]:
    """The programs this machine lacks for the deployed form."""
    return [name for name in ("initdb", "postgres", "redis-server", "pg_dump") if not program(name)]


def program(name: str) -> str | None:
    found = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"), reverse=True)
    return str(found[0]) if found else shutil.which(name)


def command_of(service: str) -> list[str]:
    """The command that docker-compose.yml gives the service, for this Python."""
    text = (ROOT / "docker-compose.yml").read_text()
    section = re.search(rf"^  {service}:\n(.*?)(?=^  \w|^\w)", text, re.M | re.S)[1]
    line = re.search(r"command: (?:>-\n)?(.*?)\n    \w", section, re.S)[1]
    words = shlex.split(line, comments=True)
    return [sys.executable, *(words[1:] if words[0] == "python" else ["-m", *words])]


class Servers:
    """PostgreSQL and Redis, for as long as the block lasts."""

    def __enter__(self):
        self.folder = Path(tempfile.mkdtemp(prefix="dryby-servers-"))
        self.user = pwd.getpwnam("nobody") if os.geteuid() == 0 else None
        self.processes = []
        if self.user:
            os.chown(self.folder, self.user.pw_uid, self.user.pw_gid)
        self.database_port, self.broker_port = free_port(), free_port()
        data = self.folder / "postgres"
        self._run([program("initdb"), "-D", data, "-U", "dryby", "--auth=trust", "--no-sync", "-E", "UTF8"])
        self._start([program("postgres"), "-D", data, "-p", self.database_port, "-k", self.folder,
                     "-c", "listen_addresses=127.0.0.1"])  # fmt: skip
        self._start([program("redis-server"), "--port", self.broker_port, "--bind", "127.0.0.1",
                     "--save", "", "--dir", self.folder])  # fmt: skip
        self._create_database()
        return self

    def __exit__(self, *_):
        for process in self.processes:
            process.send_signal(signal.SIGINT)
        for process in self.processes:
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(10)
            process.kill()
            process.wait()
        shutil.rmtree(self.folder, ignore_errors=True)

    @property
    def environment(self) -> dict[str, str]:
        return {
            "DATABASE_URL": f"postgres://dryby@127.0.0.1:{self.database_port}/dryby",
            "BROKER_URL": f"redis://127.0.0.1:{self.broker_port}/0",
            "SECRET_KEY": "a secret of the tests, long enough to please everybody",
        }

    def connect(self):
        import psycopg

        return psycopg.connect(host="127.0.0.1", port=self.database_port, user="dryby", dbname="dryby")

    def _create_database(self) -> None:
        import psycopg

        for _ in range(100):
            with contextlib.suppress(psycopg.OperationalError):
                where = {"host": "127.0.0.1", "port": self.database_port, "user": "dryby"}
                with psycopg.connect(**where, dbname="postgres", autocommit=True) as connection:
                    connection.execute("CREATE DATABASE dryby")
                return
            time.sleep(0.1)
        raise AssertionError("PostgreSQL did not start.")

    def _options(self) -> dict:
        who = {"user": self.user.pw_uid, "group": self.user.pw_gid, "extra_groups": []} if self.user else {}
        return {**who, "cwd": self.folder, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}

    def _run(self, command: list) -> None:
        subprocess.run([str(word) for word in command], check=True, **self._options())

    def _start(self, command: list) -> None:
        words = [str(word) for word in command]
        self.processes.append(subprocess.Popen(words, start_new_session=True, **self._options()))


class Deployed(Studio):
    """Web, worker and beat as three processes, each started again when it is killed, as compose does."""

    def __init__(self, servers: Servers, *, settings: str = "bakery.settings", seed: int = 1):
        super().__init__(settings=settings, **servers.environment)
        self.servers = servers
        self.worker: subprocess.Popen | None = None
        self.beat: subprocess.Popen | None = None
        self._chance = random.Random(seed)

    def __exit__(self, *error):
        for process in (self.worker, self.beat):
            if process:
                _kill_group(process)
        super().__exit__(*error)

    def command(self) -> list[str]:
        words = command_of("web")
        words[words.index("--port") + 1] = str(self.port)
        return words

    def open(self, *arguments: str, seconds: float = 40) -> float:
        took = super().open(*arguments, seconds=seconds)
        self.worker = self.worker or self._start("worker")
        self.beat = self.beat or self._start("beat")
        return took

    def kill_worker(self) -> bool:
        """kill -9 of the whole worker, or of one of the processes in its pool."""
        pool = children_of(self.worker.pid)
        if pool and self._chance.random() < 0.5:
            with contextlib.suppress(ProcessLookupError):
                os.kill(self._chance.choice(pool), signal.SIGKILL)
            return True
        self.worker.kill()
        self.worker.wait()
        self.worker = self._start("worker")
        return True

    def rows(self, sql: str, *parameters) -> list[tuple]:
        with self.servers.connect() as connection:
            return connection.execute(sql, parameters).fetchall()

    def _start(self, service: str) -> subprocess.Popen:
        options = {"cwd": ROOT, "env": self.environment, "start_new_session": True}
        with (self.home / f"{service}.log").open("ab") as log:
            return subprocess.Popen(command_of(service), stdout=log, stderr=log, **options)


def _kill_group(process: subprocess.Popen) -> None:
    with contextlib.suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()
