"""The folder with the data: made, checked, and held by one running Dryby at a time."""

import os
from pathlib import Path
from typing import IO

from . import CannotOpen


def make(home: Path) -> None:
    """Make the folder and see that it can be written to."""
    try:
        home.mkdir(mode=0o700, parents=True, exist_ok=True)  # addresses and orders are nobody else's
        probe = home / f".write-{os.getpid()}"
        probe.write_text("")
        probe.unlink()
    except OSError as error:
        raise CannotOpen(
            f"Dryby may not write into {home} ({error.strerror}). "
            "Give it a folder of yours: DRYBY_HOME=/a/folder python3 manage.py open"
        ) from error


def hold(home: Path) -> IO[str]:
    """Take the folder for this process; CannotOpen when a running Dryby holds it. Falls free at any death."""
    file = open(home / "open.lock", "a+", encoding="utf-8")  # noqa: SIM115  (held open on purpose)
    try:
        _lock(file)
    except OSError:
        file.seek(0)
        address = file.read().strip()
        file.close()
        where = f" at {address}" if address else ""
        raise CannotOpen(f"Dryby is already open{where}. Stop that one first, with Ctrl-C.", code=1) from None
    return file


def tell(file: IO[str], address: str) -> None:
    """Leave the address in the held file, for whoever tries to open a second time."""
    file.truncate(0)
    file.write(address)
    file.flush()


def _lock(file: IO[str]) -> None:
    try:
        import fcntl
    except ImportError:  # Windows: a byte far away, so that the address can still be read
        import msvcrt

        file.seek(4096)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
    else:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
