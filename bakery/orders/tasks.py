"""The clock: dates that were kept and quotes nobody answered are let go when their time is over."""

from django.dispatch import receiver
from django.utils import timezone

from bakery.background.signals import tick


@receiver(tick, dispatch_uid="orders.lapse_when_due")
def lapse_when_due(**_) -> None:
    from .services import lapse_overdue

    lapse_overdue(now=timezone.now())
