"""The secret address of her calendar: made, renewed, shut. Whoever knows it reads her calendar and nothing
else.
"""

import secrets
from datetime import datetime, timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.crypto import constant_time_compare

from .models import CalendarAddress
from .services import locked_studio

BYTES = 32
READ_AGAIN = timedelta(minutes=10)
"""How often at most a fetch is written down."""


def calendar_address() -> CalendarAddress | None:
    """Her calendar's address, or None while there is none."""
    return CalendarAddress.objects.filter(pk=1).first()


def address_of(secret: str) -> CalendarAddress | None:
    """The address with this secret, or None; how long it takes tells nothing about the right one."""
    own = calendar_address()
    return own if own is not None and constant_time_compare(own.secret, secret) else None


@transaction.atomic
def renew_calendar(*, now: datetime | None = None) -> CalendarAddress:
    """A first address, or a new secret for it: the old address answers no more."""
    locked_studio()
    own = calendar_address() or CalendarAddress(pk=1)
    own.secret = secrets.token_urlsafe(BYTES)
    own.made_at, own.read_at = now or timezone.now(), None
    own.full_clean(validate_unique=False, validate_constraints=False)
    own.save()
    return own


@transaction.atomic
def shut_calendar() -> None:
    """The calendar can be read by nobody any more. Safe to repeat."""
    CalendarAddress.objects.all().delete()


@transaction.atomic
def note_reading(*, secret: str, content_hash: str, now: datetime) -> datetime:
    """Write down that it was fetched, and since when its content is as it is; that moment is returned."""
    own = CalendarAddress.objects.select_for_update().filter(pk=1, secret=secret).first()
    if own is None:
        return now
    changed = own.content_hash != content_hash
    if changed:
        own.content_hash, own.changed_at = content_hash, now
    if changed or own.read_at is None or own.read_at < now - READ_AGAIN:
        own.read_at = now
        own.save()
    return own.changed_at
