"""The database as one file, and back: SQLite by its own backup, PostgreSQL by pg_dump and pg_restore."""

import os
import shutil
import sqlite3
import subprocess
from contextlib import closing
from pathlib import Path

from django.db import connection, connections


class DatabaseFileFailed(Exception):
    """The message says why, in words."""


def dump(scratch: Path) -> Path:
    """A consistent copy of the live database in the folder; writers go on meanwhile."""
    if connection.vendor == "sqlite":
        return _dump_sqlite(scratch / "database.sqlite3")
    if connection.vendor == "postgresql":
        return _dump_postgresql(scratch / "database.dump")
    raise DatabaseFileFailed(f"Dryby cannot copy a {connection.vendor} database.")


def name() -> str:
    return "database.sqlite3" if connection.vendor == "sqlite" else "database.dump"


def check(path: Path) -> None:
    """Is the file a whole database of our kind? DatabaseFileFailed when not."""
    if connection.vendor == "sqlite":
        _check_sqlite(path)
    else:
        _run(["pg_restore", "--list", str(path)], with_database=False)


def load(path: Path) -> None:
    """Put the file in the live database's place, all or nothing."""
    if connection.vendor == "sqlite":
        _load_sqlite(path)
    else:
        _load_postgresql(path)


# SQLite


def _dump_sqlite(target: Path) -> Path:
    connection.ensure_connection()
    with closing(sqlite3.connect(target)) as copy:
        connection.connection.backup(copy)  # in one step: in several, each write starts it anew
        copy.execute("PRAGMA journal_mode=DELETE")  # one file, nothing beside it
    return target


def _check_sqlite(path: Path) -> None:
    try:
        with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as database:
            answer = database.execute("PRAGMA integrity_check").fetchone()[0]
            orphans = database.execute("PRAGMA foreign_key_check").fetchone()
            users = database.execute("SELECT count(*) FROM auth_user").fetchone()
            made_by = database.execute("SELECT count(*) FROM django_migrations").fetchone()[0]
    except sqlite3.DatabaseError as error:
        raise DatabaseFileFailed(f"its database cannot be read ({error})") from error
    if answer != "ok" or orphans or not users or not made_by:
        raise DatabaseFileFailed("its database is damaged")


def _load_sqlite(path: Path) -> None:
    live = Path(connection.settings_dict["NAME"])
    connections.close_all()
    try:
        _copy_over(path, live)
    except sqlite3.DatabaseError:  # the live file is no database any more: set it aside, begin afresh
        for part in (live, *(live.with_name(live.name + end) for end in ("-wal", "-shm"))):
            if part.exists():
                os.replace(part, part.with_name(part.name + ".damaged"))
        _copy_over(path, live)


def _copy_over(path: Path, live: Path) -> None:
    """SQLite's own backup into the live file is one transaction: a kill leaves the old or the new, whole."""
    with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(live, timeout=20)) as target:
        target.execute("PRAGMA journal_mode=WAL")
        target.execute("PRAGMA synchronous=FULL")
        source.backup(target)


# PostgreSQL


def _dump_postgresql(target: Path) -> Path:
    _run(["pg_dump", "--format=custom", "--no-owner", "--no-privileges", f"--file={target}"])
    return target


def _load_postgresql(path: Path) -> None:
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database()"
            " AND pid <> pg_backend_pid() AND backend_type = 'client backend'"
        )
        if cursor.fetchone()[0]:
            raise DatabaseFileFailed("the database is in use; stop the web server and the worker first")
    connections.close_all()
    settings = connection.settings_dict
    _run([
        "pg_restore", "--clean", "--if-exists", "--no-owner", "--no-privileges", "--single-transaction",
        "--exit-on-error", f"--dbname={settings['NAME']}", str(path),
    ])  # fmt: skip


def _run(command: list[str], *, with_database: bool = True) -> None:
    if not shutil.which(command[0]):
        raise DatabaseFileFailed(f"{command[0]} is missing; install PostgreSQL's client programs")
    settings = connection.settings_dict
    environment = dict(os.environ)
    if with_database:
        parts = {
            "PGHOST": "HOST",
            "PGPORT": "PORT",
            "PGUSER": "USER",
            "PGPASSWORD": "PASSWORD",
            "PGDATABASE": "NAME",
        }
        environment |= {name: str(settings[key]) for name, key in parts.items() if settings.get(key)}
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    if done.returncode:
        lines = done.stderr.strip().splitlines() or ["no reason given"]
        raise DatabaseFileFailed(f"{command[0]} says: {lines[0][:300]}")
