"""What makes the plan ask to be worked out again."""

from django.db import transaction
from django.dispatch import receiver
from django.utils import timezone

from bakery.background.signals import tick
from bakery.orders.signals import orders_changed
from bakery.studio.signals import studio_changed


@receiver(orders_changed)
def when_orders_change(sender, reason="", **more):
    _ask(reason)


@receiver(studio_changed)
def when_the_studio_changes(sender, reason="", **more):
    _ask(f"{reason[0].upper()}{reason[1:]}." if reason else "")


@receiver(tick)
def when_a_day_begins(sender, **more):
    """A new session, or no plan yet: the verdicts of the last evening say nothing about this one."""
    from .queries.freshness import is_stale

    if is_stale(timezone.now()):
        _ask("")


def _ask(reason):
    from .services.plans import ask_for_plan

    with transaction.atomic():
        ask_for_plan(reason=reason, weak=True)
