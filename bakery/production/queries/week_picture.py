"""The week's picture from the plan: hands, rack places, oven, airbrush, hand-overs. Times are local."""

from datetime import timedelta
from urllib.parse import urlencode

from django.urls import reverse

from bakery.drawing.week import HandOver, Outage, Piece, Session, Spell, Stay, Week, Work

from .. import words
from ..chains import wait_kind
from .tools import outage_rows

ROOM_FOR_WORDS = timedelta(hours=3)
AFTERWARDS = timedelta(hours=6)
"""What is drawn after the last thing of a week."""
PIXELS = {"week": (43, 3), "day": (190, 14)}  # of a baking hour, of any other


def picture_of_week(*, now, span, sessions, runs, problem, plan, orders, shades, own, picked, zoom="week"):
    """(the picture's data, whether a tool is out)."""
    start, end = span
    shown = [s for s in sessions if s.end > start]
    out = [o.hand_over_at for o in orders if start <= o.hand_over_at < end]
    first = min([*(s.start for s in shown[:1]), *(run.start for run in runs[:1]), *out], default=start)
    hands = tuple(_hand_overs(orders, plan, span, picked))
    if zoom == "week":
        end = _trimmed(end, [*(s.end for s in shown), *(run.end for run in runs),
                             *(hand.at for hand in hands)])  # fmt: skip
    stays = tuple(_stays(problem, plan, (start, end), own.rack_places, picked))
    outages = _outages((start, end))
    week = Week(
        start=words.local(max(start, first - timedelta(minutes=15))),
        end=words.local(end),
        sessions=tuple(_session(s, zoom) for s in shown),
        work=(*_work(runs, shown, picked, zoom, words.local(start).date()), *_wash_ups(shown, own)),
        stays=stays,
        places=own.rack_places,
        oven=tuple(_oven(runs)),
        airbrush=tuple(_airbrush(runs, shades)),
        outages=outages,
        hand_overs=hands,
        helper=any(s.hands > 1 for s in shown),
        helper_sessions=tuple(_session(s) for s in shown if s.hands > 1),
        wide_px=PIXELS[zoom][0],
        narrow_px=PIXELS[zoom][1],
    )
    return week, bool(outages)


def _trimmed(end, moments):
    """The last days of a week in which nothing happens are not drawn."""
    return min(end, max(moments) + AFTERWARDS) if moments else end


def _session(session, zoom="day") -> Session:
    start, end = words.local(session.start), words.local(session.end)
    href = f"{reverse('week')}?zoom=day&from={start:%Y-%m-%d}" if zoom == "week" else ""
    return Session(start, end, f"{start:%a} {start.day}", f"{start:%H:%M} to {end:%H:%M}", href)


def _work(runs, sessions, picked, zoom, first):
    """Runs in her hands; where two pairs of hands work at once the second stands in the helper's row."""
    busy_until = {}
    for run in runs:
        session = next((s for s in sessions if s.start <= run.start < s.end), None)
        two = session is not None and session.hands > 1
        who = "helper" if two and busy_until.get(session, run.start) > run.start else "you"
        if who == "you" and session is not None:
            busy_until[session] = run.end
        end = min(run.end, session.end) if session is not None else run.end
        yield Work(
            words.local(run.start),
            words.local(max(end, run.start + timedelta(minutes=1))),
            run.label.split(",")[0],
            str(run.cookies_count) if run.kind in ("flood", "bake") else "",
            picked=any(job.order.number == picked for job in run.jobs),
            who=who,
            title=f"{words.clock(run.start)} to {words.clock(end)}, {run.title}",
            **_links(run, zoom, first),
        )


def _links(run, zoom, first) -> dict:
    """Where a block leads: the page with its reason told, and the reason alone for when it has focus."""
    if not run.open:
        return {}
    query = urlencode({"zoom": zoom, "from": first.isoformat(), "run": run.keys[0]})
    return {
        "href": f"{reverse('week')}?{query}#week-why",
        "why": f"{reverse('week_why')}?{urlencode({'run': run.keys[0]})}",
    }


def _wash_ups(sessions, own):
    if not own.wash_up_minutes:
        return
    for session in sessions:
        end = words.local(session.end)
        yield Work(end - timedelta(minutes=own.wash_up_minutes), end, "Wash", bare=True, title="Wash up")


def _stays(problem, plan, span, places, picked):
    """Each hold of the rack on a place of its own: work, drying to its bar, then waiting for her."""
    held = sorted(_held(problem, plan), key=lambda one: (one[0], one[3].after))
    free_from = [None] * places
    left_by: dict[str, list[int]] = {}
    start, end = span
    for begin, finish, amount, hold in held:
        if finish <= start or begin >= end:
            continue
        for _ in range(amount):
            place = _place(free_from, left_by.get(hold.after, []), begin)
            if place is None:
                continue
            free_from[place] = finish
            if hold.until:
                left_by.setdefault(hold.until, []).append(place)
            pieces = _pieces(problem, plan, hold, begin, finish, end)
            yield Stay(place, tuple(pieces), picked=hold.after.split(".", 1)[0] == f"o{picked}")


def _place(free_from, wished, begin):
    """The place where this tray stood before, else the first that is free."""
    for place in wished:
        if free_from[place] is None or free_from[place] <= begin:
            wished.remove(place)
            return place
    return next((i for i, until in enumerate(free_from) if until is None or until <= begin), None)


def _held(problem, plan):
    tasks, starts = {task.id: task for task in problem.tasks}, plan.plan["starts"]

    def start_of(name):
        return starts.get(name, tasks[name].start)

    for hold in problem.holds:
        if hold.resource != "rack" or start_of(hold.after) is None:
            continue
        begin = start_of(hold.after)
        end = begin + tasks[hold.after].minutes
        ends = [end + hold.minutes] if hold.minutes is not None else []
        if hold.until and start_of(hold.until) is not None:
            ends.append(start_of(hold.until))
        if ends and min(ends) > end:
            yield _at(problem, end), _at(problem, min(ends)), hold.amount, hold


def _pieces(problem, plan, hold, begin, finish, last):
    task = next(task for task in problem.tasks if task.id == hold.after)
    lag = next((lag for lag in problem.lags if (lag.before, lag.after) == (hold.after, hold.until)), None)
    dry = begin + timedelta(minutes=lag.min if lag else hold.minutes or 0)
    kind = wait_kind(lag) if lag else "cool"
    if task.kind != "bake":
        yield Piece("work", words.local(begin - timedelta(minutes=task.minutes)), words.local(begin))
    if dry > begin and task.kind != "bake":
        title = f"{words.AFTER.get(kind, 'Dries')} by {words.short_day(dry)} {words.clock(dry)}"
        yield Piece("mist", words.local(begin), words.local(min(dry, last)), title=title, beyond=dry > last)
    if finish > dry:
        yield Piece("wait", words.local(max(dry, begin)), words.local(min(finish, last)))


def _oven(runs):
    for run in runs:
        if run.kind == "bake":
            sheets = sum(job.uses.get("oven", 0) for job in run.jobs)
            yield Spell(
                words.local(run.start), words.local(run.end), words.counted(sheets, "sheet"), title=run.title
            )


def _airbrush(runs, shades):
    """Spray runs; the colours are named beside a run only where nothing follows close by."""
    sprays = [run for run in runs if run.kind == "spray"]
    for i, run in enumerate(sprays):
        near = i + 1 < len(sprays) and sprays[i + 1].start - run.end < ROOM_FOR_WORDS
        hexes = tuple(dict.fromkeys(shades.of(colour, "airbrush") for colour in run.colours))
        named = "" if near else ", ".join(run.colours[:2]).lower()
        yield Spell(words.local(run.start), words.local(run.end), named, hexes, run.title)


def _outages(span):
    found = []
    for row in outage_rows(*span):
        name = row.resource if row.resource in ("oven", "airbrush", "rack") else ""
        if name:
            end = words.local(row.end)
            shown = words.local(max(row.start, span[0])), words.local(min(row.end, span[1]))
            found.append(Outage(name, *shown, f"out until {end:%A} {end:%H:%M}"))
    return tuple(found)


def _hand_overs(orders, plan, span, picked):
    late = plan.plan.get("late", {})
    for order in orders:
        if not span[0] <= order.hand_over_at < span[1]:
            continue
        at = words.local(order.hand_over_at)
        yield HandOver(
            at,
            f"{order.number}  {at.hour}:{at:%M}",
            picked=order.number == picked,
            soft=order.for_stock,
            late=f"late {words.length(late[order.key])}" if order.key in late else "",
        )


def _at(problem, minute):
    return problem.origin + timedelta(minutes=minute)
