"""What `open` prints: tonight's list, the addresses with a square code, the first login."""

import contextlib
import io
import sys

from django.core.management import call_command, get_commands

from .first_login import NAME


def tonight() -> str:
    """Tonight's list as the `tonight` command prints it; a plain sentence when it cannot be made now."""
    if "tonight" not in get_commands():
        return ""
    out = io.StringIO()
    try:
        call_command("tonight", stdout=out, stderr=io.StringIO())
    except Exception as error:  # the list is on the first page too; nothing here may keep the house shut
        return f"Tonight's list could not be printed ({error}); the first page has it."
    return out.getvalue().rstrip()


def addresses(host: str, port: int, lan: str | None) -> list[str]:
    """Lines with the address for this computer and, where it can be reached, for a phone in the house."""
    local = "localhost" if host in ("0.0.0.0", "127.0.0.1", "localhost") else host
    lines = [f"  On this computer   http://{local}:{port}/"]
    if host == "0.0.0.0" and lan:
        url = f"http://{lan}:{port}/"
        lines += [f"  On your phone      {url}   (same house network; or point the camera here)", ""]
        lines += square_code(url)
    return lines


def square_code(url: str) -> list[str]:
    import segno

    picture = io.StringIO()
    segno.make(url, micro=False, error="l").terminal(picture, compact=True, border=2)
    rows = picture.getvalue().rstrip("\n").splitlines()
    if sys.stdout.isatty():  # white on black whatever the terminal's own colours: cameras want it so
        rows = [f"\x1b[97;40m{row}\x1b[0m" for row in rows]
    return ["  " + row for row in rows]


def login(password: str | None) -> list[str]:
    if password is None:
        return [f"  Password forgotten?   python3 manage.py changepassword {NAME}"]
    return [
        f"  Your first login   name {NAME}   password {password}",
        f"                     Shown this once. To change it: python3 manage.py changepassword {NAME}",
    ]


def say(*lines: str) -> None:
    """Print, also where the terminal lacks the letters or has gone."""
    text = "\n".join(lines)
    encoding = sys.stdout.encoding or "ascii"
    with contextlib.suppress(OSError):  # nobody reads it any more; the house opens all the same
        print(text.encode(encoding, "replace").decode(encoding), flush=True)
