"""Reads of computations."""

from .models import Computation


def latest(kind: str, key: str = "") -> Computation | None:
    """The most recent computation of that kind and key, in any state."""
    return Computation.objects.filter(kind=kind, key=key).order_by("-id").first()


def is_active(kind: str, key: str = "") -> bool:
    return Computation.objects.filter(kind=kind, key=key, state__in=Computation.ACTIVE).exists()
