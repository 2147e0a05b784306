"""Invented orders, kitchens and calendars: plain ones for single facts, random studios for the planner."""

import random
from datetime import UTC, datetime, timedelta

from bakery.craft.drying import Room, times
from bakery.craft.work import (
    KINDS,
    STAGES,
    WAYS,
    Calendar,
    LineSpec,
    OrderSpec,
    Shop,
    build_problem,
    work_of,
)

TUESDAY = datetime(2026, 11, 24, tzinfo=UTC)
NOW = TUESDAY + timedelta(hours=17, minutes=50)
HAND_OVER = TUESDAY + timedelta(days=11, hours=10)


def line(kind="plain", quantity=24, **rest):
    """One line with the usual defaults."""
    return LineSpec(rest.pop("id", "l1"), rest.pop("title", "Ferns"), kind, quantity, **rest)


def order(*lines, **rest):
    """One order of those lines (24 plain cookies where none are given), due in eleven days."""
    given = {"id": "o1", "title": "Supper", "hand_over": HAND_OVER} | rest
    return OrderSpec(lines=lines or (line(),), **given)


def work(*lines, shop=None, drying=None, **rest):
    """The work of one order of those lines."""
    return work_of(order(*lines, **rest), shop, drying)


def evenings(days=40, first=TUESDAY, hours=(18.5, 22.5), weekdays=(1, 2, 3, 4), hands=1, waking=True):
    """A calendar of evenings, a long Saturday, and waking hours for jobs of ten minutes."""
    sessions = []
    for day in (first + timedelta(days=i) for i in range(days)):
        if day.weekday() in weekdays:
            sessions.append((day + timedelta(hours=hours[0]), day + timedelta(hours=hours[1]), hands, None))
        if day.weekday() == 5:
            sessions.append((day + timedelta(hours=9), day + timedelta(hours=15), hands, None))
        if waking:
            sessions.append((day + timedelta(hours=7), day + timedelta(hours=22, minutes=30), hands, 10))
    return Calendar(tuple(sessions))


def problem(*works, calendar=None, now=NOW, **rest):
    """The planning problem of those works in an ordinary calendar."""
    return build_problem(list(works), calendar or evenings(), now=now, **rest)


def studio(seed):
    """A random but ordinary studio: one to four orders, a kitchen, a room, three weeks and more to come."""
    rng = random.Random(seed)
    shop = Shop(
        rack_places=rng.choice([6, 8, 12, 16]),
        cookies_per_sheet=rng.choice([10, 14]),
        cookies_per_tray=rng.choice([10, 14, 20]),
        cookies_per_batch=rng.choice([18, 20, 24]),
        rest_darks=rng.random() < 0.3,
    )
    room = Room(rng.uniform(18, 23), rng.uniform(0.35, 0.6))
    drying = times(room, 2.5, rng.choice(["still", "still", "fan"]))
    works = []
    for i in range(1 + seed % 4):
        lines = [_line(rng, k) for k in range(1, rng.choice([1, 1, 2]) + 1)]
        due = TUESDAY + timedelta(days=rng.randint(3, 24), hours=rng.choice([10, 12, 15, 18]))
        spec = OrderSpec(
            f"o{i}",
            "Invented",
            lines,
            due,
            event=due + timedelta(hours=rng.choice([1, 5, 9])) if rng.random() < 0.7 else None,
            way=rng.choice(WAYS),
            travel_minutes=rng.choice([0, 20]),
            transit_days=rng.choice([0, 2]),
            soft=rng.random() < 0.1,
        )
        works.append(work_of(spec, shop, drying))
    hours = rng.choice([(18.5, 22.5), (19, 21.5), (9, 13), (17, 21)])
    return works, evenings(hours=hours, hands=rng.choice([1, 1, 1, 2]))


def _line(rng, number):
    stage = rng.choice(["nothing"] * 6 + list(STAGES))
    return LineSpec(
        f"l{number}",
        "Invented",
        rng.choice(KINDS),
        rng.choice([6, 12, 18, 24, 36]),
        colours=rng.randint(1, 4),
        designs=rng.randint(1, 3),
        stage=stage,
        stage_at=NOW - timedelta(hours=rng.randint(1, 30)) if rng.random() < 0.5 else None,
    )
