"""Into the example studio and out again. It fills an empty studio only and never mixes with her own data."""

from datetime import datetime
from pathlib import Path

from django.db import transaction
from django.utils import timezone

from . import backup
from .emptying import empty_studio, is_empty
from .models import Studio
from .services import AlreadyBaking, locked_studio, tell

__all__ = ["AlreadyBaking", "enter_example", "leave_example"]


@transaction.atomic
def enter_example(*, now: datetime | None = None) -> Studio:
    """Fill the empty studio with the example and ask for its plan. Pressed twice, it fills once."""
    from .example import fill_example

    studio = locked_studio()
    if studio.is_example:
        return studio
    if studio.started or not is_empty():
        raise AlreadyBaking("This studio holds your own orders, so the example stays out of it.")
    studio = fill_example(now or timezone.now())
    tell("the example was opened")
    return studio


@transaction.atomic
def begin_again(*, now: datetime | None = None) -> Studio | None:
    """The example as it stands today, whatever became of the old one; her own studio is never touched."""
    studio = locked_studio()
    if not studio.is_example:
        return None
    empty_studio()
    return enter_example(now=now)


def leave_example() -> Path | None:
    """Keep a copy, then empty the studio; None when it is not the example. CopyFailed changes nothing."""
    if not Studio.objects.filter(pk=1, is_example=True).exists():
        return None
    copy = backup.make_copy("before leaving the example")
    with transaction.atomic():
        if locked_studio().is_example:
            empty_studio()
    return copy
