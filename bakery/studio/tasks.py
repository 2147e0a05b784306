"""The night's copy."""

from django.dispatch import receiver
from django.utils import timezone

from bakery.background.kinds import Refused, computation
from bakery.background.services import enqueue
from bakery.background.signals import tick


@receiver(tick, dispatch_uid="studio.copy_when_due")
def copy_when_due(**_) -> None:
    from .backup import is_due

    if is_due(timezone.now()):
        enqueue("copy", "night", {"reason": "every night"})


@computation("copy", title="Copying the studio")
def copy(args, report):
    from .backup import CopyFailed, make_copy, remove_half_made
    from .pictures import forget_unused

    remove_half_made()
    forget_unused(now=timezone.now())
    try:
        path = make_copy(args.get("reason", "on demand"), attempt=report.attempt)
    except CopyFailed as error:
        raise Refused(str(error)) from error
    return lambda: {"file": path.name}
