"""The first login: made once, printed once, kept hashed."""

import secrets
from pathlib import Path

from django.contrib.auth import get_user_model
from django.db import IntegrityError, transaction

# Short words that are hard to confuse when read aloud or typed with floury thumbs.
WORDS = (Path(__file__).parent / "words.txt").read_text(encoding="utf-8").split()
NAME = "baker"


def make_readable_password() -> str:
    """Four words: about 30 bits, behind a lock that closes after ten wrong tries."""
    return "-".join(secrets.choice(WORDS) for _ in range(4))


def make_first_login() -> str | None:
    """Create the baker when there is no user yet; the password to print, or None when there was one."""
    users = get_user_model().objects
    if users.exists():
        return None
    password = make_readable_password()
    try:
        with transaction.atomic():
            users.create_superuser(username=NAME, password=password)
    except IntegrityError:  # another process opened the same studio at the same moment and has printed it
        return None
    return password
