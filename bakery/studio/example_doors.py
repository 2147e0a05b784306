"""Into the example studio and out again. It fills an empty studio only and never mixes with her own data."""

from datetime import datetime
from pathlib import Path

from django.db import transaction
from django.utils import timezone

from . import backup
from .emptying import empty_studio, is_empty
from .models import Studio
from .queries import the_studio
from .services import AlreadyBaking, locked_studio

__all__ = ["AlreadyBaking", "enter_example", "leave_example"]


def enter_example(*, now: datetime | None = None) -> Studio:
    """Fill the empty studio with the example and plan it. Pressed twice, it fills once."""
    from .example import plan_example

    now = now or timezone.now()
    fresh = _fill(now)
    if fresh:
        plan_example(now)
    return the_studio()


@transaction.atomic
def _fill(now: datetime) -> bool:
    from .example import fill_example

    studio = locked_studio()
    if studio.is_example:
        return False
    if studio.started or not is_empty():
        raise AlreadyBaking("This studio holds your own orders, so the example stays out of it.")
    fill_example(now)
    return True


def leave_example() -> Path | None:
    """Keep a copy, then empty the studio; None when it is not the example. CopyFailed changes nothing."""
    if not Studio.objects.filter(pk=1, is_example=True).exists():
        return None
    copy = backup.make_copy("before leaving the example")
    with transaction.atomic():
        if locked_studio().is_example:
            empty_studio()
    return copy
