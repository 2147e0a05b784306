"""What can still be taken back from tonight's page."""

from datetime import timedelta

from django.utils import timezone

from bakery.studio.models import HoursChange

from ..models import Plan

FOR = timedelta(hours=6)


def just_taken(now) -> bool:
    """True while a proposal taken a few hours ago can be undone: the plan before it is still kept."""
    wall = Plan.objects.filter(state=Plan.State.WALL, settled_at__gt=now - FOR).only("settled_at").first()
    if wall is None:
        return False
    return Plan.objects.filter(state=Plan.State.PAST, settled_at=wall.settled_at).exists()


def off_day(now):
    """Today, when she said it is off."""
    today = timezone.localdate(now)
    off = HoursChange.objects.filter(date=today, kind=HoursChange.Kind.OFF).exists()
    return today if off else None
