"""Changes of her own evenings and habits: an hour more, a second pair of hands, work made apart."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from django.utils import timezone

from bakery.craft.work import job_of_task
from bakery.orders.pricing import money
from bakery.studio.queries import the_studio

from ..also import APART, DRYER, HELP, MORE, Item
from ..reasons import listed
from .found import price_gap, way_of
from .kitchen import Kitchen

NEAR = 6
"""How many sessions before the hand-over are tried."""
EARLIEST, LATEST = 7, 23
HOUR = timedelta(hours=1)
HELPS = (timedelta(hours=2), timedelta(hours=4))


def hour_more(kitchen: Kitchen, left):
    """One more hour on one evening; two where one does not do."""
    sessions, missing = _sessions(kitchen)
    for hours in (1, 2):
        for start, end in sessions if missing <= hours * HOUR else ():
            if left() <= 0:
                return
            for item in _beside(start, end, hours * HOUR, kitchen.now):
                fit = kitchen.fits(kitchen.data, kitchen.also.plus(item), seconds=0.4)
                if fit:
                    long = "an hour" if hours == 1 else f"{hours} hours"
                    yield way_of(
                        fit, words=item.words, cost=f"{long} more for you", value=f"also={item.text}"
                    )
                    return


def helping_hands(kitchen: Kitchen, left):
    """A second pair of hands in one session, as short as does."""
    sessions, missing = _sessions(kitchen)
    for most in HELPS:
        for start, end in sessions if missing <= most else ():
            if left() <= 0:
                return
            until = min(end, start + most)
            if most != HELPS[0] and end - start <= HELPS[0]:
                continue
            item = Item(HELP, start.date(), start.time(), until.time())
            fit = kitchen.fits(kitchen.data, kitchen.also.plus(item), seconds=0.4)
            if fit:
                yield way_of(fit, words=item.words, cost=_helper(until - start), value=f"also={item.text}")
                return


def made_apart(kitchen: Kitchen, left):
    """What is made together with others made apart again."""
    for one in kitchen.scene.shares:
        if left() <= 0:
            return
        if one.key in kitchen.scene.held:
            continue
        item = Item(APART, key=one.key)
        fit = kitchen.fits(kitchen.data, kitchen.also.plus(item), seconds=0.4)
        if fit:
            what = {"dough": "the dough", "mix": "the icing", "spray": "the spray run"}.get(one.kind, "it")
            titles = [
                kitchen.scene.works[name].order.title for name in one.orders if name in kitchen.scene.works
            ]
            yield way_of(fit, words=f"Make {what} for {' and '.join(titles[:3])} apart",
                         cost=f"{one.saved} min more for you", value=f"also={item.text}")  # fmt: skip
            return


def in_the_dryer(kitchen: Kitchen, left):
    """Its trays dried in the dryer, where she has one."""
    item = Item(DRYER)
    if not kitchen.scene.shop.dryer or item in kitchen.also.items or left() <= 0:
        return
    fit = kitchen.fits(kitchen.data, kitchen.also.plus(item), seconds=0.4)
    if fit:
        places = kitchen.scene.shop.dryer * kitchen.scene.shop.cookies_per_tray
        yield way_of(fit, words=item.words, cost=f"{places} cookies at a time, trays to change",
                     value=f"also={item.text}")  # fmt: skip


def baked_ahead(kitchen: Kitchen, left):
    """The blanks baked whenever there is time, frozen, and thawed before they are decorated."""
    data = kitchen.data
    if data.bake_ahead or all(line.stage not in ("nothing", "dough") for line in data.lines):
        return
    fit = kitchen.fits(replace(data, bake_ahead=True), seconds=0.5)
    if fit:
        yield way_of(fit, words=f"Bake on {_bake_days(fit)} and freeze", cost=price_gap(kitchen, fit.data),
                     value="bake_ahead=yes")  # fmt: skip


def _bake_days(fit) -> str:
    """`Saturday 28 November`: when the plan bakes what it freezes."""
    names = {task.id.removesuffix(".freeze") for task in fit.problem.tasks if task.kind == "freeze"}
    days = {timezone.localtime(fit.problem.origin + timedelta(minutes=start)).date()
            for name, start in fit.plan.starts.items() if job_of_task(name) in names}  # fmt: skip
    return listed(f"{day:%A} {day.day} {day:%B}" for day in sorted(days))


def _sessions(kitchen: Kitchen) -> tuple[list[tuple[datetime, datetime]], timedelta]:
    """Baking hours still to come before the hand-over, in local time, and how many are missing somewhere:
    those where they are missing first.
    """
    due = kitchen.data.hand_over_at
    found = [
        (timezone.localtime(max(one.start, _soon(kitchen.now))), timezone.localtime(one.end))
        for one in kitchen.scene.calendar.sessions
        if one.longest is None and one.end > kitchen.now and one.start < due
    ]
    found = [(start, end) for start, end in found if start < end and start.date() == end.date()][::-1]
    tight = kitchen.tight()
    if tight is not None:  # hours where too few are missing help before any others do
        found.sort(key=lambda span: not (span[0] < tight[1] and span[1] > tight[0]))
    return found[:NEAR], tight[2] if tight is not None else timedelta(0)


def _soon(now: datetime) -> datetime:
    """The next quarter of an hour."""
    now = now.replace(second=0, microsecond=0) + timedelta(minutes=1)
    return now + timedelta(minutes=-now.minute % 15)


def _beside(start: datetime, end: datetime, long: timedelta, now: datetime):
    """The hour after a session, where the evening is not over by then, and the hour before it."""
    if end + long <= end.replace(hour=LATEST, minute=30):
        yield Item(MORE, end.date(), end.time(), (end + long).time())
    if start - long >= max(now, start.replace(hour=EARLIEST, minute=0)):
        yield Item(MORE, start.date(), (start - long).time(), start.time())


def _helper(long: timedelta) -> str:
    """`2 h of a helper, £32 at your own wage`"""
    own, hours = the_studio(), long / HOUR
    wage = money(round(own.hourly_wage * round(hours * 4) / 4, 2), own.currency_sign)
    return f"{hours:g} h of a helper, {wage} at your own wage"
