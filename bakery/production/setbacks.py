"""What went wrong, as the plan has to take it: wet trays, broken cookies, what ran out, another way.

Pure functions over the core's data, and one read. Hours and tools have rows of their own in the studio.
"""

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from bakery.craft.costing import without_layer
from bakery.craft.work import job_of_task
from bakery.craft.work.counting import cut_of
from bakery.craft.work.kinds import layers_of
from bakery.stock.models import Level, StockItem

from .models import Setback

Kind = Setback.Kind
IN_WORK = (Kind.WET, Kind.BROKE, Kind.RAN_OUT, Kind.WAY)
MORE = "x"
"""A line for cookies made anew is called after the one they are for."""
DRIES = ("outline_set", "crusted", "firm", "base_dry", "wafer_dry", "dry_through", "transfer_dry")
STOCK = "stock/"
PLENTY = 999
RECENT = timedelta(days=60)


@dataclass(frozen=True)
class Setbacks:
    """What is open: trays by job with the moment they should be dry, cookies lost by line, and so on."""

    wet: dict[str, datetime] = field(default_factory=dict)
    broken: dict[tuple[str, str], int] = field(default_factory=dict)
    out: tuple[tuple[str, tuple, datetime], ...] = ()
    ways: frozenset[tuple[str, str, int]] = frozenset()
    without: frozenset[tuple[str, str, int]] = frozenset()
    dryer: dict[str, datetime] = field(default_factory=dict)


def open_setbacks(now: datetime) -> Setbacks:
    """One query, two where something ran out."""
    rows = list(Setback.objects.filter(undone_at=None, kind__in=IN_WORK, at__gt=now - RECENT))
    wet, broken, ways, without, out, dryer = {}, {}, set(), set(), [], {}
    for row in reversed(rows):
        data = row.data
        if row.kind == Kind.WET:
            wet |= dict.fromkeys(data["keys"], row.until)
        elif row.kind == Kind.BROKE:
            place = (data["order"], data["line"])
            broken[place] = broken.get(place, 0) + data["count"]
        elif row.kind == Kind.WAY:
            ways |= {tuple(place) for place in data.get("places", ())}
            without |= {tuple(place) for place in data.get("without", ())}
            dryer |= dict.fromkeys(data.get("dryer", ()), row.at)
    missing = [row for row in rows if row.kind == Kind.RAN_OUT and row.until > now]
    if missing:
        items = StockItem.objects.filter(pk__in=[row.data["item"] for row in missing], level=Level.OUT)
        still = set(items.values_list("pk", flat=True))
        out = [
            (row.data["name"], tuple(map(tuple, row.data["uses"])), row.until)
            for row in missing
            if row.data["item"] in still
        ]
    return Setbacks(wet, broken, tuple(out), frozenset(ways), frozenset(without), dryer)


def specs_with(specs, setbacks: Setbacks, shop):
    """The orders with cookies made anew where too few are left, and layers done another way."""
    if not (setbacks.broken or setbacks.ways or setbacks.without):
        return specs
    return [replace(spec, lines=tuple(_lines(spec, setbacks, shop))) for spec in specs]


def _lines(spec, setbacks, shop):
    for line in spec.lines:
        line = _other_way(spec, line, setbacks)
        short = shortfall(line, setbacks.broken.get((spec.id, line.id), 0), shop)
        if not short:
            yield line
            continue
        # As many are cut as were: the work that was done stays what it was.
        cut, kept = cut_of(line, shop), line.quantity - short
        if kept > 0:
            yield replace(line, quantity=kept, spares=cut - kept, names=min(line.names, kept))
        names = min(max(0, line.names - max(kept, 0)), short)
        yield replace(
            line, id=f"{line.id}{MORE}", quantity=short, spares=min(short, 1), names=names, stage="nothing",
            stage_at=None, baked_at=None, designs=min(line.designs, short),
        )  # fmt: skip


def shortfall(line, broken: int, shop) -> int:
    """How many cookies are missing when so many of the line broke: what the spares do not cover."""
    return max(0, min(line.quantity, line.quantity - (cut_of(line, shop) - broken)))


def _other_way(spec, line, setbacks):
    mine, gone = (
        {place for order, name, place in places if (order, name) == (spec.id, line.id)}
        for places in (setbacks.ways, setbacks.without)
    )
    if not mine and not gone:
        return line
    layers = [
        (other_way_of(layer) or layer) if place in mine else layer
        for place, layer in enumerate(layers_of(line))
    ]
    for place in mine:
        if place + 1 < len(layers) and layers[place].wet and not layers[place + 1].wait:
            layers[place + 1] = replace(layers[place + 1], wait="crusted")  # a spray may be touched at once
    line = replace(line, layers=tuple(layers), of_kind=line.of_kind or not line.layers)
    for place in sorted(gone, reverse=True):
        if 0 < place < len(layers):
            line = without_layer(line, place)  # what follows waits for what the left-off layer waited for
    return line


def other_way_of(layer):
    """How a layer can be done without its tool: as its design says, else a spray through the same stencil
    by icing."""
    if layer.other_way is not None:
        return layer.other_way
    if layer.kind == "spray":
        return replace(layer, kind="icing_pass", minutes_per_cookie=None, grams_per_cookie=None)
    return None


def works_with(works: dict, setbacks: Setbacks, facts) -> dict:
    """The works with longer waits after trays that are still wet, and with what ran out as a tool."""
    if not (setbacks.wet or setbacks.out):
        return works
    ends = {fact.job_id: fact.start + timedelta(minutes=fact.minutes) for fact in facts}
    late = {name: setbacks.wet[name] for name in setbacks.wet if name in ends}
    return {key: _using(_wetter(work, late, ends), setbacks.out) for key, work in works.items()}


def _wetter(work, wet, ends):
    mine = {job_of_task(name): name for name in wet if name.split(".", 1)[0] == work.order.id}
    if not mine:
        return work
    waits, more = [], {}
    for wait in work.waits:
        name = mine.get(wait.before)
        if name is not None and wait.kind in DRIES:
            slow = max(wait.slow_minutes, whole_minutes(wet[name] - ends[name]))
            more[wait.before] = max(more.get(wait.before, 0), slow - wait.slow_minutes)
            wait = replace(
                wait, slow_minutes=slow, usual_minutes=max(wait.usual_minutes, slow),
                max_minutes=None if wait.max_minutes is None else max(wait.max_minutes, slow),
                why="still wet when you looked",
            )  # fmt: skip
        waits.append(wait)
    places = [
        place if place.minutes is None else replace(place, minutes=place.minutes + more.get(place.after, 0))
        for place in work.places
    ]
    return replace(work, waits=tuple(waits), places=tuple(places))


def whole_minutes(span: timedelta) -> int:
    """Minutes, rounded up."""
    return -int(-span.total_seconds() // 60)


def _using(work, out):
    if not out:
        return work
    jobs = []
    for job in work.jobs:
        needs = {f"{STOCK}{name}": 1 for name, uses, _ in out if (job.kind, "") in uses
                 or any((job.kind, colour.lower()) in uses for colour in job.colours)}  # fmt: skip
        jobs.append(replace(job, uses={**job.uses, **needs}) if needs else job)
    return replace(work, jobs=tuple(jobs))


def calendar_with(calendar, setbacks: Setbacks, now):
    """The calendar in which nothing of what ran out is to be had until there is more."""
    if not setbacks.out:
        return calendar
    gone = [(f"{STOCK}{name}", PLENTY, now, until) for name, _, until in setbacks.out]
    return replace(calendar, outages=(*calendar.outages, *gone))
