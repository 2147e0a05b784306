"""Writes about the business: each one function, one transaction, safe to repeat."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime, time

from django.db import transaction
from django.utils import timezone

from .answers import StartAnswers, Stint
from .models import BakingHours, HoursChange, Outage, Reading, Studio
from .signals import studio_changed


class AlreadyBaking(Exception):
    """The studio holds her own data: neither the example nor a second start may touch it."""


@transaction.atomic
def start_studio(*, answers: StartAnswers, now: datetime | None = None) -> Studio:
    """Start her own studio from the five answers. Pressed twice, it starts once."""
    studio = locked_studio()
    if studio.is_example:
        raise AlreadyBaking("Leave the example studio first; then start yours.")
    if studio.started:
        return studio
    for field in ("cookies_per_sheet", "rack_places", "cookies_per_batch", "hourly_wage"):
        setattr(studio, field, getattr(answers, field))
    studio.cookies_per_tray = answers.cookies_per_sheet
    studio.started_at = now or timezone.now()
    _save(studio)
    _replace_hours(answers.stints)
    tell("she started")
    return studio


@transaction.atomic
def change_settings(*, values: Mapping, reason: str = "set-up changed") -> Studio:
    """Change some fields of the studio; the rest stays."""
    studio = locked_studio()
    changed = {field: value for field, value in values.items() if getattr(studio, field) != value}
    if not changed:
        return studio
    for field, value in changed.items():
        setattr(studio, field, value)
    _save(studio)
    tell(reason)
    return studio


@transaction.atomic
def save_hours(*, stints: Iterable[Stint]) -> None:
    """Replace the ordinary week."""
    locked_studio()
    _replace_hours(tuple(stints))
    tell("baking hours changed")


@transaction.atomic
def change_date(
    *,
    day: date,
    kind: str,
    start: time | None = None,
    end: time | None = None,
    hands: int = 1,
    reason: str = "",
) -> HoursChange:
    """Make one date different from its weekday. The same change twice is one change."""
    if kind != HoursChange.Kind.EXTRA:
        HoursChange.objects.filter(date=day).exclude(kind=HoursChange.Kind.EXTRA).delete()
    wanted = {"date": day, "kind": kind, "start": start, "end": end}
    change = HoursChange.objects.filter(**wanted).first() or HoursChange(**wanted)
    change.hands, change.reason = hands, reason
    _save(change)
    tell(f"other hours on {day:%d %B}".replace(" 0", " "))
    return change


@transaction.atomic
def forget_date(*, pk: int) -> None:
    """The date is like its weekday again."""
    if HoursChange.objects.filter(pk=pk).delete()[0]:
        tell("a changed date is an ordinary one again")


@transaction.atomic
def report_outage(
    *, resource: str, start: datetime, end: datetime, amount: int = 1, reason: str = ""
) -> Outage:
    """A tool is out from one moment until another. Said twice, it is out once."""
    wanted = {"resource": resource, "start": start, "end": end}
    outage = Outage.objects.filter(**wanted).first() or Outage(**wanted)
    outage.amount, outage.reason = amount, reason
    _save(outage)
    tell(f"{resource} is out")
    return outage


@transaction.atomic
def end_outage(*, pk: int, now: datetime | None = None) -> None:
    """It works again: what has passed stays on record."""
    now = now or timezone.now()
    outage = Outage.objects.select_for_update().filter(pk=pk, end__gt=now).first()
    if outage is None:
        return
    if outage.start >= now:
        outage.delete()
    else:
        outage.end = now
        _save(outage)
    tell(f"{outage.resource} works again")


@transaction.atomic
def add_reading(
    *, temperature_c, humidity_percent, where: str = Reading.Where.TRAYS, fan: bool = False,
    at: datetime | None = None,
) -> Reading:  # fmt: skip
    """What the room is like; it holds for a day and a half."""
    reading = Reading(
        temperature_c=temperature_c,
        humidity_percent=humidity_percent,
        where=where,
        fan=fan,
        at=at or timezone.now(),
    )
    _save(reading)
    tell("a new reading of the room")
    return reading


def locked_studio() -> Studio:
    Studio.objects.get_or_create(pk=1)
    return Studio.objects.select_for_update().get(pk=1)


def _replace_hours(stints: tuple[Stint, ...]) -> None:
    BakingHours.objects.all().delete()
    for stint in stints:
        _save(BakingHours(weekday=stint.weekday, start=stint.start, end=stint.end, hands=stint.hands))


def _save(row) -> None:
    row.full_clean()
    row.save()


def tell(reason: str) -> None:
    transaction.on_commit(lambda: studio_changed.send(sender=Studio, reason=reason))
