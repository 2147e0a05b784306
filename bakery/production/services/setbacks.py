"""What went wrong, said with one press each: kept as she said it, and taken back by one more."""

from datetime import date, datetime, time, timedelta

from django.db import transaction
from django.utils import timezone

from bakery.stock.models import Level, StockItem
from bakery.stock.services import mark_level, undo_mark
from bakery.studio import adapters as studio
from bakery.studio.models import HoursChange, Outage
from bakery.studio.services import change_date, end_outage, forget_date, report_outage

from .. import words
from ..models import Job, Setback
from .plans import ask_for_plan, retract_proposal

Kind = Setback.Kind
PLAIN = ("kind", "start", "end", "hands", "reason")


@transaction.atomic
def day_off(*, days: list[date], now: datetime) -> Setback:
    """No baking on these days. Said twice, it is said once."""
    named = words.listed(words.named_date(day, now) for day in days)
    said = f"You said: {named} {'is' if len(days) == 1 else 'are'} off."
    twin = _twin(Kind.OFF, said, now)
    if twin is not None:
        return twin
    before = [_hours_of(day) for day in days]
    changes = [change_date(day=day, kind=HoursChange.Kind.OFF, reason="off").pk for day in days]
    data = {"days": [day.isoformat() for day in days], "changes": changes, "before": before}
    return _kept(Kind.OFF, said, data, now)


@transaction.atomic
def half_day(*, day: date, start: time, end: time, hands: int, now: datetime) -> Setback:
    """The session of this day ends sooner."""
    said = f"You said: {words.named_date(day, now)} only until {end:%H:%M}."
    twin = _twin(Kind.HALF, said, now)
    if twin is not None:
        return twin
    for off in Setback.objects.filter(kind=Kind.OFF, undone_at=None, data__days=[day.isoformat()]):
        _take_back_hours(off)
        off.undone_at = now
        off.save(update_fields=["undone_at"])
    before = [_hours_of(day)]
    change = change_date(day=day, kind=HoursChange.Kind.INSTEAD, start=start, end=end, hands=hands)
    data = {"days": [day.isoformat()], "changes": [change.pk], "before": before}
    return _kept(Kind.HALF, said, data, now)


@transaction.atomic
def tool_is_out(*, resource: str, until: datetime, now: datetime) -> Setback:
    """A tool is out from now until then."""
    tool = words.tool_name(resource)
    said = f"You said: {tool} is out until {words.day_and_time(until, now)}."
    twin = _twin(Kind.TOOL, said, now)
    if twin is not None:
        return twin
    outage = report_outage(resource=resource, start=now.replace(second=0, microsecond=0), end=until)
    return _kept(Kind.TOOL, said, {"resource": resource, "outage": outage.pk}, now, until)


@transaction.atomic
def still_wet(*, keys: list[str], now: datetime, dry_by: datetime | None = None) -> Setback | None:
    """These trays are not dry yet. Unless she says until when, they get half as long again as they had, at
    least two hours more."""
    jobs = list(Job.objects.filter(key__in=keys, cookies__gt=0).order_by("key"))
    ends = [job.done_at or job.planned_end for job in jobs if job.done_at or job.planned_end]
    ends = [end for end in ends if end <= now]
    if not ends:
        return None
    so_far = now - min(ends)
    until = dry_by or now + max(timedelta(hours=2), so_far / 2)
    title = words.small(words.run_title(jobs))
    said = f"You said: {title[:100]} is not dry yet."
    twin = _twin(Kind.WET, said, now)
    if twin is not None:
        return twin
    return _kept(Kind.WET, said, {"keys": [job.key for job in jobs]}, now, until)


@transaction.atomic
def broken(*, order, line, count: int, now: datetime) -> Setback:
    """So many of a line's cookies broke; spares cover it, or as many as are missing are made anew."""
    said = f"You said: {words.counted(count, 'cookie')} broke, {line.title}."[:200]
    twin = _twin(Kind.BROKE, said, now, within=timedelta(minutes=1))
    if twin is not None:
        return twin
    data = {"order": order.key, "line": f"l{line.position}", "count": count, "title": order.title}
    return _kept(Kind.BROKE, said, data, now)


@transaction.atomic
def ran_out(*, item: StockItem, until: datetime, now: datetime) -> Setback:
    """This is out until there is more: what needs it waits."""
    said = f"You said: {item.name} is out until {words.day_and_time(until, now)}."
    twin = _twin(Kind.RAN_OUT, said, now)
    if twin is not None:
        return twin
    mark = mark_level(item=item, level=Level.OUT, at=now)
    data = {"item": item.pk, "name": item.name, "mark": mark and mark.pk, "uses": _uses_of(item)}
    return _kept(Kind.RAN_OUT, said, data, now, until)


@transaction.atomic
def another_way(*, title: str, now: datetime, places=(), without=(), dryer=()) -> Setback:
    """These layers (order, line, place in the line) are done the other way, or left out; these trays, or all
    of these orders, dry in the dryer."""
    said = f"You said: {title}."[:200]
    data = {"places": [list(place) for place in places], "without": [list(place) for place in without]}
    if dryer:
        data["dryer"] = list(dryer)
    return _twin(Kind.WAY, said, now) or _kept(Kind.WAY, said, data, now)


@transaction.atomic
def change_until(*, pk: int, until: datetime, now: datetime) -> Setback | None:
    """It works again, is dry or is there at another time than was thought."""
    setback = Setback.objects.select_for_update().filter(pk=pk, undone_at=None).first()
    if setback is None or setback.until is None or until <= now:
        return None
    if setback.kind == Kind.TOOL:
        outage = Outage.objects.filter(pk=setback.data["outage"]).first()
        if outage is None:
            return None
        end_outage(pk=outage.pk, now=outage.start)
        fresh = report_outage(resource=outage.resource, start=outage.start, end=until)
        setback.data["outage"] = fresh.pk
        tool = words.tool_name(outage.resource)
        setback.words = f"You said: {tool} is out until {words.day_and_time(until, now)}."
    if setback.kind == Kind.RAN_OUT:
        setback.words = f"You said: {setback.data['name']} is out until {words.day_and_time(until, now)}."
    setback.until = until
    setback.save(update_fields=["until", "data", "words"])
    retract_proposal()
    ask_for_plan(reason=setback.words)
    return setback


@transaction.atomic
def undo_setback(*, pk: int, now: datetime) -> Setback | None:
    """It is as if she had never said it. Pressed twice, it is undone once."""
    setback = Setback.objects.select_for_update().filter(pk=pk, undone_at=None).first()
    if setback is None:
        return None
    setback.undone_at = now
    setback.save(update_fields=["undone_at"])
    if setback.kind in (Kind.OFF, Kind.HALF):
        _take_back_hours(setback)
    elif setback.kind == Kind.TOOL:
        outage = Outage.objects.filter(pk=setback.data["outage"]).first()
        if outage is not None:
            end_outage(pk=outage.pk, now=min(now, outage.start))
    elif setback.kind == Kind.RAN_OUT and setback.data.get("mark"):
        item = StockItem.objects.filter(pk=setback.data["item"]).first()
        if item is not None:
            undo_mark(item=item, mark_id=setback.data["mark"], at=now)
    retract_proposal()
    ask_for_plan(reason="")
    return setback


def _kept(kind, said, data, now, until=None) -> Setback:
    setback = Setback(kind=kind, words=said[:200], data=data, at=now, until=until)
    setback.full_clean()
    setback.save()
    ask_for_plan(reason=setback.words)
    return setback


def _twin(kind, said, now, within=timedelta(hours=12)) -> Setback | None:
    """The same thing said a little while ago and not taken back."""
    return Setback.objects.filter(kind=kind, words=said[:200], undone_at=None, at__gt=now - within).first()


def _hours_of(day) -> list[dict]:
    """What was different on this day before."""
    rows = HoursChange.objects.filter(date=day).exclude(kind=HoursChange.Kind.EXTRA)
    return [
        {name: str(value) if isinstance(value := getattr(row, name), time) else value for name in PLAIN}
        for row in rows
    ]


def _take_back_hours(setback) -> None:
    for pk in setback.data["changes"]:
        forget_date(pk=pk)
    for day, before in zip(setback.data["days"], setback.data["before"], strict=True):
        for row in before:
            clocks = {name: row[name] and time.fromisoformat(row[name]) for name in ("start", "end")}
            change_date(day=date.fromisoformat(day), **(row | clocks))


def _uses_of(item) -> list[list[str]]:
    """(kind of job, colour or "") of all planned work that draws on this item."""
    from bakery.stock.queries import wanted_items
    from bakery.stock.signals import Need

    from ..needs import _uses, _wraps

    jobs = list(Job.objects.exclude(state=Job.State.DONE))
    wraps, found = _wraps({job.order_id for job in jobs if job.kind == "pack"}), set()
    at, asked = timezone.now(), {}
    for job in jobs:
        for name, medium, _, _ in _uses(job, wraps, {}):
            asked.setdefault((name, medium), set()).add(job.kind)
    needs = [Need(name, at, "", medium, 0, "") for name, medium in asked]
    for need in wanted_items(needs).get(item.pk, ()):
        kinds = asked[need.name, need.medium]
        colour = need.name.lower() if need.medium else ""
        found |= {(kind, colour) for kind in kinds}
        if need.medium and "spray" not in kinds:
            found.add(("mix", colour))  # a bag of a colour is mixed before it is used
    return [list(pair) for pair in sorted(found)]


def session_of(day: date):
    """The last baking hours of a day, or None."""
    return next(reversed(studio.sessions_between(day, day)), None)
