"""Putting a copy back: checked whole before anything is touched, and what it replaces is kept as a copy."""

import hashlib
import json
import lzma
import os
import shutil
import sqlite3
import tempfile
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from django.conf import settings
from django.core.management import call_command
from django.db import DatabaseError, connection
from django.db.migrations.loader import MigrationLoader

from . import backup, database_files
from .backup import CopyFailed

MOST_ABOUT = 64_000_000
LONGEST_NAME = 400
"""Signs in the name of a file of a copy; folders that lie deeper could not be cleared away again."""
NOT_WHOLE = (
    zipfile.BadZipFile, zlib.error, lzma.LZMAError, KeyError, ValueError, TypeError, AttributeError, EOFError,
    RuntimeError,  # asks for a password, is packed in an unknown way, or is nested without end
)  # fmt: skip
NEWER = "This copy was made by a newer Dryby. Put it back with that one. Nothing was changed."


@dataclass(frozen=True)
class Restored:
    made: str
    kept: Path | None
    """The copy of what was replaced; None when there was nothing that could be copied."""


def restore(path: Path) -> Restored:
    """Put the studio of the copy in the place of the present one. CopyFailed, in words, changes nothing."""
    home = Path(settings.HOME)
    home.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=".restoring-", dir=home) as scratch:
        about = _unpack_and_check(Path(path), Path(scratch))
        kept = _keep_present()
        try:
            database_files.load(Path(scratch) / database_files.name())
        except database_files.DatabaseFileFailed as error:
            raise CopyFailed(f"The copy was not put back: {error}.") from error
        _swap_media(Path(scratch))
    call_command("migrate", interactive=False, verbosity=0)
    return Restored(about["made"], kept)


def _unpack_and_check(path: Path, scratch: Path) -> dict:
    try:
        with zipfile.ZipFile(path) as archive:
            if archive.getinfo("about.json").file_size > MOST_ABOUT:
                raise ValueError("no copy says so much about itself")
            about = json.loads(archive.read("about.json"))
            _check_about(about)
            for name, digest in about["files"].items():
                _unpack_one(archive, name, digest, scratch)
        database_files.check(scratch / database_files.name())
    except FileNotFoundError as error:
        raise CopyFailed(f"There is no file {error.filename or path}.") from error
    except database_files.DatabaseFileFailed as error:
        raise CopyFailed(f"This copy cannot be used: {error}. Nothing was changed.") from error
    except OSError as error:
        raise CopyFailed(
            f"The copy cannot be read: {error.strerror or error}. Nothing was changed."
        ) from error
    except NOT_WHOLE as error:
        raise CopyFailed(f"{path.name} is not a whole copy of a studio. Nothing was changed.") from error
    return about


def _check_about(about: dict) -> None:
    if not (isinstance(about["made"], str) and isinstance(about["migrations"], list)):
        raise TypeError("a copy says when it was made, and from what")
    if about["format"] > backup.FORMAT:
        raise CopyFailed(NEWER)
    if about["database"] != connection.vendor:
        raise CopyFailed(
            f"This copy is of a {about['database']} database and this studio uses {connection.vendor}. "
            "Nothing was changed."
        )
    known = {
        f"{app}.{name}" for app, name in MigrationLoader(None, ignore_no_migrations=True).disk_migrations
    }
    apps = {name.split(".")[0] for name in known}
    unknown = [name for name in about["migrations"] if name.split(".")[0] in apps and name not in known]
    if unknown:
        raise CopyFailed(NEWER)


def _unpack_one(archive: zipfile.ZipFile, name: str, digest: str, scratch: Path) -> None:
    parts = PurePosixPath(name).parts
    allowed = name == database_files.name() or (len(parts) > 1 and parts[0] == "media")
    if not allowed or ".." in parts or "\\" in name or ":" in name or len(name) > LONGEST_NAME:
        raise ValueError(f"a copy does not hold {name!r}")
    target = scratch.joinpath(*parts)
    target.parent.mkdir(parents=True, exist_ok=True)
    found = hashlib.sha256()
    with archive.open(name) as source, target.open("wb") as into:
        while block := source.read(1 << 20):
            found.update(block)
            into.write(block)
    if found.hexdigest() != digest:
        raise ValueError(f"{name} has changed since the copy was made")


def _keep_present() -> Path | None:
    try:
        if "django_migrations" not in connection.introspection.table_names():
            return None
        return backup.make_copy("before putting a copy back")
    except (DatabaseError, sqlite3.DatabaseError):
        return None  # a damaged database cannot be copied; `load` sets the file itself aside


def _swap_media(scratch: Path) -> None:
    media, fresh = Path(settings.MEDIA_ROOT), scratch / "media"
    fresh.mkdir(exist_ok=True)
    old = scratch / "media-before"
    if media.exists():
        os.replace(media, old)
    os.replace(fresh, media)
    shutil.rmtree(old, ignore_errors=True)
