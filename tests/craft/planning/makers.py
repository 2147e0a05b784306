"""Invented planning problems: tiny ones with every rule, and whole studios of a given size and load."""

from __future__ import annotations

import random
from datetime import UTC, datetime
from itertools import pairwise

from bakery.craft.planning import Blocked, Hold, Lag, Order, Problem, Task, Window

ORIGIN = datetime(2026, 3, 2, tzinfo=UTC)
DAY = 1440


def task(name, minutes=10, *, attended=None, hands=1, uses=None, orders=("o1",), kind="job", **rest):
    """A task with the usual defaults."""
    attended = minutes if attended is None else attended
    return Task(name, kind, tuple(orders), minutes, attended, hands, uses or {}, **rest)


def problem(tasks, windows, orders=(), **rest):
    """A problem on a 10-minute grid, starting now; `windows` are Window objects or (start, end) pairs."""
    windows = [window if isinstance(window, Window) else Window(*window) for window in windows]
    names = {name for one in tasks for name in one.orders} | {order.id for order in orders}
    known = {order.id for order in orders}
    last = tasks[-1].id
    orders = list(orders) + [Order(name, 100_000, None, last) for name in sorted(names - known)]
    given = {
        "origin": ORIGIN,
        "step": 10,
        "now": 0,
        "horizon": 100_000,
        "resources": {},
        "blocked": (),
        "lags": (),
        "holds": (),
    }
    return Problem(windows=windows, tasks=tasks, orders=orders, **{**given, **rest})


def tiny(seed: int) -> Problem:
    """A random problem of at most six tasks and about a dozen starts each, with every kind of rule in it."""
    rng = random.Random(seed)
    step, windows, at = 10, [], 0
    for _ in range(rng.choice([2, 3, 3])):
        at += rng.choice([0, 10, 30, 60])
        length = rng.choice([30, 40, 50, 60])
        longest = 10 if rng.random() < 0.15 else None
        windows.append(Window(at, at + length, rng.choice([1, 1, 1, 2]), longest))
        at += length
    now = rng.choice([0, 0, 0, 10, 20])
    resources = {"rack": rng.choice([1, 2]), "airbrush": 1, "oven": 2}
    tasks, lags, holds, orders = [], [], [], []
    for k in range(rng.choice([1, 2, 2])):
        name, chain = f"o{k}", []
        for j in range(rng.choice([2, 3]) if k == 0 else rng.choice([1, 2])):
            chain.append(_tiny_task(rng, name, j, now))
        tasks += chain
        for before, after in pairwise(chain):
            least = rng.choice([0, 0, 10, 20, 40])
            most = least + rng.choice([10, 30]) if rng.random() < 0.25 else None
            lags.append(Lag(before.id, after.id, least, most, "dry"))
            if rng.random() < 0.5:
                minutes = rng.choice([None, None, 20, 40])
                holds.append(Hold("rack", 1, before.id, after.id, minutes))
        if rng.random() < 0.2:
            holds.append(Hold("rack", 1, chain[-1].id, None, rng.choice([10, 20])))
        pickup = rng.choice([at - 40, at - 20, at, at + 20, at + 60])
        pickup = max(10, pickup)
        event = rng.choice([None, pickup, pickup + 20])
        orders.append(
            Order(
                name,
                pickup,
                event,
                chain[-1].id,
                (chain[0].id,) if rng.random() < 0.6 else (),
                keeps=rng.choice([30, 60, 100]),
                spare=rng.choice([0, 20, 40]),
                weight=rng.choice([1, 1, 3]),
                soft=rng.random() < 0.15,
            )
        )
    blocked = []
    for _ in range(rng.choice([0, 0, 1, 2])):
        start = rng.randrange(0, max(10, at - 10), 10)
        blocked.append(
            Blocked(rng.choice(["hands", "airbrush", "rack"]), 1, start, start + rng.choice([10, 20]))
        )
    wall = {}
    if rng.random() < 0.6:
        wall = {
            one.id: rng.choice(windows).start + rng.choice([0, 0, 500]) for one in tasks if rng.random() < 0.7
        }
    return Problem(ORIGIN, step, now, at, windows, resources, blocked, tasks, lags, holds, orders, wall)


def _tiny_task(rng, order, j, now):
    minutes = rng.choice([10, 10, 10, 20, 20, 30])
    attended = minutes if rng.random() < 0.7 else rng.choice([0, 10])
    uses = {}
    if rng.random() < 0.3:
        uses["airbrush"] = 1
    if j == 0 and rng.random() < 0.5:
        uses["oven"] = rng.choice([1, 2])
    if rng.random() < 0.1:
        uses["rack"] = 1
    state, start, pinned = "todo", None, False
    if j == 0 and now and rng.random() < 0.5:
        state = rng.choice(["done", "running"])
        start = max(0, now - 10) if state == "running" else now - rng.choice([20, 10, 13])
        if state == "done":
            minutes, attended = min(minutes, 10), min(attended, 10)
    elif rng.random() < 0.07:
        pinned, start = True, rng.choice([now, now + 20, now + 40])
    return Task(f"{order}.{j}", "job", (order,), minutes, attended, 1, uses, state, start, pinned)


def studio(orders=15, *, load=0.5, seed=1, weeks=None, hands=1, now=600, both=False, waking=True) -> Problem:
    """A whole kitchen: chains of mix, bake, flood, spray, pipe and pack over evenings and Saturdays.

    `load` is attended minutes over hand minutes of the sessions up to the last hand-over.
    """
    rng = random.Random(seed)
    weeks = weeks or max(2, round(orders / 5))
    tasks, lags, holds, made, sizes = [], [], [], [], []
    for k in range(orders):
        before = len(tasks)
        _order(rng, f"o{k + 1}", tasks, lags, holds, made, both)
        sizes.append(sum(one.attended for one in tasks[before:]))
    # Hand-overs follow the work, so that no stretch of days is hopeless at a load below one.
    days = weeks * 7
    total, done = sum(sizes), 0
    for k, size in enumerate(sizes):
        done += size
        day = round(4 + (days - 5) * done / total + rng.choice([-1, 0, 0, 1]))
        day = min(max(4, day), days - 1)
        pickup = day * DAY + rng.choice([600, 720, 1020])
        made[k] = Order(made[k].id, pickup, pickup + 360, made[k].finish, made[k].bakes)
    after = 7 + round(days * max(0, load - 0.7))
    open_days = [d for d in range(days) if d % 7 != 6]
    units = sum(1.5 if d % 7 == 5 else 1.0 for d in open_days)
    length = max(75, total / load / hands / units)
    windows = []
    for d in range(days + after):
        if d % 7 == 6:
            continue
        size = int(length * (1.5 if d % 7 == 5 else 1.0)) // 5 * 5
        start = d * DAY + (540 if d % 7 == 5 else max(480, min(1140, DAY - size)))
        if waking:
            windows.append(Window(d * DAY + 400, d * DAY + 430, 1, 10))
        windows.append(Window(start, min(start + size, (d + 1) * DAY), hands))
    resources = {"oven": 2, "rack": max(12, orders // 2), "airbrush": 1, "dryer": 2}
    return Problem(ORIGIN, 5, now, (days + after) * DAY, windows, resources, (), tasks, lags, holds, made, {})


def _order(rng, name, tasks, lags, holds, made, both):
    cookies = rng.choice([12, 24, 24, 36, 48])
    trays = -(-cookies // 14)
    loads = -(-cookies // 28)

    def add(step, minutes, attended=None, uses=None, kind=None):
        minutes = -(-minutes // 5) * 5
        attended = minutes if attended is None else attended
        key = f"{name}.{step}"
        tasks.append(Task(key, kind or step.split(".")[0], (name,), minutes, attended, 1, uses or {}))
        return key

    dough = add("dough", 20 + 10 * loads)
    bakes = []
    for load in range(1, loads + 1):
        bake = add(f"bake.{load}", 40, 25, {"oven": min(2, trays)})
        bakes.append(bake)
        lags.append(Lag(dough, bake, 60, 4320, "chill"))
    pack = None
    finals = []
    mix = add("mix", rng.choice([20, 25, 30]))
    style = rng.choice(["plain", "spray", "spray", "detail"])
    for tray in range(1, trays + 1):
        flood = add(f"flood.{tray}", rng.choice([35, 40, 45]))
        for bake in bakes:
            lags.append(Lag(bake, flood, 45, None, "cool"))
        lags.append(Lag(mix, flood, 0, 2880, "icing keeps"))
        last, wait = flood, 720
        if style == "spray":
            spray = add(f"spray.{tray}", rng.choice([25, 30]), None, {"airbrush": 1})
            lags.append(Lag(flood, spray, 720, None, "base dry"))
            holds.append(Hold("rack", 1, flood, spray, 1440 if both else None))
            last, wait = spray, 30
        elif style == "detail":
            pipe = add(f"pipe.{tray}", rng.choice([40, 50, 60]))
            lags.append(Lag(flood, pipe, 240, None, "firm"))
            holds.append(Hold("rack", 1, flood, pipe, 1440 if both else None))
            last, wait = pipe, 480
        finals.append((last, wait))
    pack = add("pack", 15 + cookies // 2)
    for last, wait in finals:
        lags.append(Lag(last, pack, wait, None, "dry through"))
        holds.append(Hold("rack", 1, last, pack, 900 if both else None))
    made.append(Order(name, 0, None, pack, tuple(bakes)))
