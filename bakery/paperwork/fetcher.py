"""What a paper may read while it is set: files of our own static and media folders, and nothing else.

Names look like `asset:css/print-paper.css`. Anything with another scheme (http, file, data) is refused before
a byte is read, and so is a name that leads out of the two folders, by dots or through a link.
"""

import mimetypes
import os
from functools import cache
from pathlib import Path

from django.conf import settings

SCHEME = "asset:"
TYPES = {".woff2": "font/woff2", ".css": "text/css", ".svg": "image/svg+xml"}


class NotOurs(ValueError):
    """An address that papers may not read."""


def roots() -> tuple[Path, ...]:
    """The folders papers may read from."""
    return tuple(Path(root).resolve() for root in (*settings.STATICFILES_DIRS, settings.MEDIA_ROOT))


def path_of(url: str) -> Path:
    """The file an asset name means. Raises NotOurs for everything else."""
    if not url.lower().startswith(SCHEME):
        raise NotOurs(f"Papers read only their own files, not {url[:80]!r}.")
    name = url[len(SCHEME) :].split("?")[0].split("#")[0]
    if not name or name.startswith(("/", "\\")) or "\x00" in name or "%" in name:
        raise NotOurs(f"{name[:80]!r} is no name of a file of ours.")
    for root in roots():
        path = Path(os.path.realpath(root / name))
        if path.is_relative_to(root) and path.is_file():
            return path
    raise NotOurs(f"There is no {name[:80]!r} among our files.")


def fetch(url: str) -> tuple[bytes, str]:
    """Bytes and type of one of our files."""
    path = path_of(url)
    kind = TYPES.get(path.suffix.lower()) or mimetypes.guess_type(path.name)[0] or "application/octet-stream"
    return path.read_bytes(), kind


@cache
def own_files_only():
    """The fetcher class for WeasyPrint; made on first use, since importing it takes half a second."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class OwnFilesOnly(URLFetcher):
        def fetch(self, url, headers=None):
            content, kind = fetch(url)
            return URLFetcherResponse(url, content, {"Content-Type": kind})

    return OwnFilesOnly
