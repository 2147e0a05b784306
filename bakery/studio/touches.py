"""Touches: hard or soft, one press each. They are the log from which the drying of her kitchen is learnt."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from functools import lru_cache

from django.db import transaction
from django.db.models import Q
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


@dataclass(frozen=True)
class Tray:
    """A tray by the job that laid its icing, since when its last cookie is wet, and its thickest coat.

    `air` is where it dried, "" for the air of the room; `parted` says that it dried there only in part, from
    which nothing can be learnt.
    """

    job: str
    wet_since: datetime
    thickness_mm: float = 2.5
    air: str = ""
    parted: bool = False


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
    *, trays: Sequence[Tray], hard: bool, air: str = "", at: datetime | None = None
) -> list[Touch]:
    """She touched the middle of the thickest cookie of these trays. Pressed twice, it is said once.

    The room is that of the newest reading, the air that of the trays (or `air`). What was not laid yet, or
    more than ten days ago, is left out. One press is one log, whatever the number of trays.
    """
    at = at or timezone.now()
    trays = [one for one in trays if timedelta(0) < at - one.wet_since <= LONGEST and len(one.job) <= 60]
    if not trays:
        return []
    locked_studio()
    twice = Q(hard=hard, at__gt=at - TWICE, at__lte=at) | Q(at=at)
    said = Touch.objects.filter(twice, job__in=[one.job for one in trays])
    if said.exists():
        return list(said)
    room, moved = adapters.room(at)
    touches = [_touch(one, room, one.air or air or moved, hard, at) for one in trays]
    for touch in touches:
        touch.full_clean()
        touch.save()
    tell("a touch of the icing")
    return touches


def _touch(tray: Tray, room: core.Room, air: str, hard: bool, at: datetime) -> Touch:
    coat = core.Coat(thickness_mm=tray.thickness_mm)
    model = core.hours_to_dry(room.temperature_c, room.humidity, "through", coat, air)
    if tray.parted:
        model = None
    return Touch(
        job=tray.job,
        at=at,
        wet_since=tray.wet_since,
        hard=hard,
        air=air,
        thickness_mm=Decimal(f"{tray.thickness_mm:.1f}"),
        temperature_c=Decimal(f"{room.temperature_c:.1f}"),
        humidity_percent=Decimal(f"{100 * room.humidity:.1f}"),
        measured=room.measured,
        model_hours=Decimal(f"{model or 0:.2f}"),
    )


@transaction.atomic
def refuse_touch(*, pk: int, refused: bool = True) -> Touch | None:
    """This touch does not count, or counts again after all: with it those of the same press."""
    touch = Touch.objects.select_for_update().filter(pk=pk).first()
    if touch is None or touch.refused == refused:
        return touch
    Touch.objects.filter(at=touch.at, air=touch.air).update(refused=refused)
    touch.refused = refused
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
    """All touches of one tray are one log: soft until then, hard from then on. Of the trays of one press the
    slowest stands for all.
    """
    presses: dict[tuple, tuple] = {}
    for row in rows:
        press = (row[1], row[3])
        presses[press] = max(presses.get(press, row), row, key=lambda one: (one[4], one[2]))
    trays: dict[str, list] = defaultdict(list)
    for row in presses.values():
        trays[row[0]].append(row)
    told = {job: _of_tray(own) for job, own in trays.items()}
    learnt = core.learn(tuple(told.values()))
    names = list(told)
    return Known(air, learnt, frozenset(names[i] for i in learnt.held_back))


def _of_tray(rows) -> core.Touch:
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
