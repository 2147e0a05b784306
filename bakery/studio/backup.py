"""Copies of the whole studio: one file each, made while everything runs, checked before one is put back.

A copy is a zip of `about.json`, the database (`database.sqlite3` or `database.dump`) and `media/`. The
database is taken first and the pictures after it, so that every picture a row speaks of is there.
"""

import hashlib
import json
import os
import re
import shutil
import tempfile
import time
import zipfile
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder
from django.utils import timezone

from . import database_files

FORMAT = 1
KEEP_LATEST = 14
NAME = re.compile(r"dryby-(\d{8}-\d{6})(-\d+)?\.zip")


class CopyFailed(Exception):
    """A copy could not be made or put back; the message says why in words."""


@dataclass(frozen=True)
class Copy:
    """A copy on disk."""

    path: Path
    made: datetime

    @property
    def size_mb(self) -> float:
        return self.path.stat().st_size / 1e6


def folder() -> Path:
    return Path(settings.HOME) / "copies"


def copies() -> list[Copy]:
    """All copies, newest first."""
    found = []
    for path in folder().glob("dryby-*.zip"):
        if match := NAME.fullmatch(path.name):
            made = datetime.strptime(match[1], "%Y%m%d-%H%M%S")  # noqa: DTZ007  (in UTC, said next)
            found.append(Copy(path, made.replace(tzinfo=timezone.get_default_timezone())))
    return sorted(found, key=lambda copy: (copy.made, copy.path.name), reverse=True)


def make_copy(reason: str = "on demand", *, attempt: int = 1) -> Path:
    """Make a copy now and tidy away old ones; the file's path. Nothing half-made ever bears a copy's name."""
    try:
        folder().mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".making-", dir=folder()) as scratch:
            half = Path(scratch) / f"copy-{attempt}.zip"
            _write(half, Path(scratch), reason)
            _sync(half)
            path = _free_name()
            os.replace(half, path)
    except database_files.DatabaseFileFailed as error:
        raise CopyFailed(f"The database could not be copied: {error}.") from error
    except OSError as error:
        raise CopyFailed(
            f"The copy could not be written into {folder()}: {error.strerror or error}."
        ) from error
    tidy()
    return path


def tidy(keep: int = KEEP_LATEST) -> list[Path]:
    """Remove copies that are not among the latest, the last of a late day or the first of a month."""
    everything = copies()
    days = {copy.made.date(): copy for copy in reversed(everything)}  # the newest of each day wins
    months = {(copy.made.year, copy.made.month): copy for copy in everything}  # the oldest of each month wins
    kept = {copy.path for copy in everything[:keep]}
    kept |= {days[day].path for day in sorted(days, reverse=True)[:keep]}
    kept |= {copy.path for copy in months.values()}
    gone = [copy.path for copy in everything if copy.path not in kept]
    for path in gone:
        path.unlink(missing_ok=True)
    return gone


def is_due(now: datetime) -> bool:
    """Is last night's copy missing? It is wanted from 3:00 on, or when the computer next runs."""
    local = timezone.localtime(now)
    night = local.replace(hour=3, minute=0, second=0, microsecond=0)
    latest = next(iter(copies()), None)
    return local >= night and (latest is None or latest.made < night)


def _write(target: Path, scratch: Path, reason: str) -> None:
    applied = MigrationRecorder(connection).applied_migrations()
    database = database_files.dump(scratch)
    about = {
        "format": FORMAT,
        "made": timezone.now().isoformat(),
        "reason": reason,
        "database": connection.vendor,
        "migrations": sorted(f"{app}.{name}" for app, name in applied),
        "files": {},
    }
    with zipfile.ZipFile(target, "w", allowZip64=True) as archive:
        _add(archive, about, database, database.name, zipfile.ZIP_DEFLATED)
        for path in _media_files():
            name = "media/" + path.relative_to(settings.MEDIA_ROOT).as_posix()
            try:
                _add(archive, about, path, name, zipfile.ZIP_STORED)  # pictures are compressed already
            except FileNotFoundError:
                continue  # deleted since we looked
        archive.writestr("about.json", json.dumps(about, indent=1), zipfile.ZIP_DEFLATED)


def _media_files() -> list[Path]:
    root = Path(settings.MEDIA_ROOT)
    return sorted(p for p in root.rglob("*") if p.is_file() and not p.is_symlink()) if root.exists() else []


def _add(archive: zipfile.ZipFile, about: dict, path: Path, name: str, compression: int) -> None:
    digest = hashlib.sha256()
    info = zipfile.ZipInfo(name, date_time=(1980, 1, 1, 0, 0, 0))
    info.compress_type = compression
    info.external_attr = 0o600 << 16
    info.file_size = path.stat().st_size
    with path.open("rb") as source, archive.open(info, "w") as into:
        while block := source.read(1 << 20):
            digest.update(block)
            into.write(block)
    about["files"][name] = digest.hexdigest()


def _free_name() -> Path:
    stem = f"dryby-{timezone.localtime():%Y%m%d-%H%M%S}"
    for extra in ("", *(f"-{n}" for n in range(2, 1000))):
        path = folder() / f"{stem}{extra}.zip"
        if not path.exists():
            return path
    raise CopyFailed("A thousand copies in one second are too many.")


def _sync(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def remove_half_made() -> None:
    """Clear what killed copies left behind; one in the making may be no more than a day old."""
    for path in folder().glob(".making-*"):
        if time.time() - path.stat().st_mtime > 24 * 3600:
            shutil.rmtree(path, ignore_errors=True)
