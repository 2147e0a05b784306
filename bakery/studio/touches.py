"""Touches: hard or soft, one press each. They are the log from which the drying of her kitchen is learnt."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from functools import lru_cache

from django.db import transaction
from django.utils import timezone

from bakery.craft import drying as core

from . import adapters
from .models import Touch
from .services import locked_studio, tell

NEWEST = 60
"""So many touches of each kind of air count: kitchens change."""
TWICE = timedelta(minutes=2)
"""The same word about the same tray within this is one press that came twice."""
LONGEST = timedelta(days=10)
CLOSED_FORM = (5, 45)


@dataclass(frozen=True)
class Known:
    """What is known of one kind of air, and which touches were held back as slips."""

    air: str
    learnt: core.Learnt
    held_back: frozenset[str] = frozenset()

    @property
    def factor(self) -> float:
        return self.learnt.factor


@transaction.atomic
def record_touch(
    *, job: str, wet_since: datetime, hard: bool, thickness_mm=Decimal("2.5"), air: str = "",
    at: datetime | None = None,
) -> Touch | None:  # fmt: skip
    """She touched the middle of this tray's thickest cookie. Pressed twice, it is said once.

    The room is that of the newest reading, the air that of the trays (or `air`). None where it cannot be:
    before the icing was laid, or ten days after.
    """
    at = at or timezone.now()
    if not timedelta(0) < at - wet_since <= LONGEST:
        return None
    locked_studio()
    twin = Touch.objects.filter(job=job, hard=hard, at__gt=at - TWICE, at__lte=at).first()
    if twin is not None:
        return twin
    room, moved = adapters.room(at)
    air = air or moved
    coat = core.Coat(thickness_mm=float(thickness_mm))
    model = core.hours_to_dry(room.temperature_c, room.humidity, "through", coat, air)
    touch = Touch(
        job=job,
        at=at,
        wet_since=wet_since,
        hard=hard,
        air=air,
        thickness_mm=thickness_mm,
        temperature_c=Decimal(f"{room.temperature_c:.1f}"),
        humidity_percent=Decimal(f"{100 * room.humidity:.1f}"),
        measured=room.measured,
        model_hours=Decimal(f"{model or 0:.2f}"),
    )
    touch.full_clean()
    touch.save()
    tell("a touch of the icing")
    return touch


@transaction.atomic
def refuse_touch(*, pk: int, refused: bool = True) -> Touch | None:
    """This touch does not count, or counts again after all."""
    touch = Touch.objects.select_for_update().filter(pk=pk).first()
    if touch is None or touch.refused == refused:
        return touch
    touch.refused = refused
    touch.save(update_fields=["refused"])
    tell("a touch counts no longer" if refused else "a touch counts again")
    return touch


@transaction.atomic
def reset_air(*, air: str) -> int:
    """Begin anew with this kind of air: none of its touches so far counts. How many were put aside."""
    if air not in Touch.Air.values:
        return 0
    count = Touch.objects.filter(air=air, refused=False).update(refused=True)
    if count:
        tell("the touches were put aside")
    return count


def known(airs: Iterable[str] = Touch.Air.values) -> dict[str, Known]:
    """What the touches taught of each of these kinds of air; one query each."""
    return {air: _known(air, _rows(air)) for air in airs}


def bias_of(air: str) -> core.Bias:
    """What a plan reckons with in this kind of air."""
    return _known(air, _rows(air)).learnt.bias


def _rows(air: str) -> tuple:
    counted = Touch.objects.filter(air=air, refused=False, model_hours__gt=0)
    fields = ("job", "at", "wet_since", "hard", "model_hours", "measured")
    return tuple(counted.order_by("-at", "-pk").values_list(*fields)[:NEWEST])


@lru_cache(maxsize=64)
def _known(air: str, rows: tuple) -> Known:
    """All touches of one tray are one log: soft until then, hard from then on."""
    trays: dict[str, list] = defaultdict(list)
    for row in rows:
        trays[row[0]].append(row)
    told = {job: touch for job, own in trays.items() if (touch := _of_tray(own))}
    learnt = core.learn(tuple(told.values()))
    names = list(told)
    return Known(air, learnt, frozenset(names[i] for i in learnt.held_back))


def _of_tray(rows) -> core.Touch | None:
    """The tray's touches, newest first, as one: of two that contradict each other the newest holds."""
    soft = hard = None
    for _, at, wet_since, is_hard, _, _ in rows:
        hours = (at - wet_since) / timedelta(hours=1)
        if is_hard and (soft is None or hours >= soft):
            hard = hours if hard is None else min(hard, hours)
        elif not is_hard and (hard is None or hours <= hard):
            soft = hours if soft is None else max(soft, hours)
    model, measured = float(rows[0][4]), rows[0][5]
    return core.Touch(model, soft, hard, core.unmeasured_spread(core.Room(measured=measured)))
