"""Too much work for a stretch of time: what there is, what each order needs, what is too many.

A certificate of the planner names the stretch and the tasks that can lie nowhere else; every figure here is
added up again from the problem itself, so that the sentence can be checked with a pencil.
"""

from __future__ import annotations

from dataclasses import dataclass

HANDS = "hands"


@dataclass(frozen=True)
class Part:
    """What one order asks of the stretch, in minutes."""

    order: str
    minutes: int


@dataclass(frozen=True)
class Shortage:
    """`needed` minutes of a resource from `start` to `end` where `there` are fewer. Minutes after the origin.

    `parts` add up to `needed`, those of the order asked about last; empty where they could not be told apart.
    `tasks` can lie nowhere else. `away` means that hands are taken off for washing up, the door or the road.
    """

    resource: str
    start: int
    end: int
    there: int
    needed: int
    parts: tuple[Part, ...] = ()
    tasks: tuple[str, ...] = ()
    capacity: int = 1
    away: bool = False

    @property
    def over(self) -> int:
        return self.needed - self.there


def shortage_of(problem, why, asked: str) -> Shortage | None:
    """The shortage that a certificate tells of, else all work against all hours; None where neither is."""
    if not why or why.get("kind") != "energy":
        return plain_shortage(problem, asked) if why and "order" not in why else None
    resource, start, end = why.get("resource", HANDS), why["from"], why["to"]
    needs = by_order(problem, resource, why["tasks"])
    if sum(needs.values()) != why["needed"]:
        needs = {}
    names = sorted(needs, key=lambda name: (name == asked, -needs[name], name))
    return Shortage(
        resource, start, end, why["available"], why["needed"],
        tuple(Part(name, needs[name]) for name in names if needs[name]), tuple(why["tasks"]),
        problem.resources.get(resource, 1) if resource != HANDS else 1, hands_away(problem, start, end),
    )  # fmt: skip


def hands_away(problem, start: int, end: int) -> bool:
    """True when hands are blocked in some session of the stretch: washing up, the door, the road."""
    sessions = [(max(w.start, start), min(w.end, end)) for w in problem.windows if w.longest is None]
    return any(
        one.resource == HANDS and one.start < high and one.end > low
        for low, high in sessions if low < high for one in problem.blocked
    )  # fmt: skip


def there_is(problem, resource: str, start: int, end: int, *, sessions: bool = False) -> int:
    """Minutes of a resource between two moments, less what is blocked; of hands maybe in `sessions` alone."""
    if resource == HANDS:
        spans = [(w.start, w.end, w.hands) for w in problem.windows if w.longest is None or not sessions]
    else:
        spans = [(start, end, problem.resources[resource])]
    total = 0
    for low, high, amount in spans:
        low, high = max(low, start, problem.now), min(high, end)
        if low >= high:
            continue
        total += (high - low) * amount
        total -= sum(
            max(0, min(high, one.end) - max(low, one.start)) * one.amount
            for one in problem.blocked
            if one.resource == resource
        )
    return max(0, total)


def by_order(problem, resource: str, tasks) -> dict[str, int]:
    """Minutes that each order asks for in these tasks; what several share goes to the first of them."""
    names, by_id = set(tasks), {task.id: task for task in problem.tasks}
    waits = {(lag.before, lag.after): lag.min for lag in problem.lags}
    found: dict[str, int] = {}

    def add(task, minutes):
        if minutes and task.orders:
            found[task.orders[0]] = found.get(task.orders[0], 0) + minutes

    for name in tasks:
        task = by_id[name]
        add(
            task,
            task.attended * task.hands if resource == HANDS else task.minutes * task.uses.get(resource, 0),
        )
    for hold in problem.holds:
        if hold.resource == resource and hold.after in names and by_id[hold.after].free:
            add(by_id[hold.after], hold_minutes(hold, by_id, waits) * hold.amount)
    return found


def hold_minutes(hold, by_id, waits) -> int:
    """The least minutes a hold lasts: until dry and boxed, or until the next job may begin."""
    if hold.until is None or not by_id[hold.until].free:
        return hold.minutes or 0
    until = max(0, waits.get((hold.after, hold.until), 0))
    return until if hold.minutes is None else min(until, hold.minutes)


def plain_shortage(problem, asked: str) -> Shortage | None:
    """All work of the order, and of those due before it, against the baking hours from now until its pickup.

    None where that is not too much: then the reason lies elsewhere.
    """
    due = next((order.pickup for order in problem.orders if order.id == asked), None)
    if due is None:
        return None
    soon = {order.id for order in problem.orders if order.pickup <= due and not order.soft} | {asked}
    longest = max((w.longest for w in problem.windows if w.longest is not None), default=0)
    tasks = tuple(task.id for task in problem.tasks
                  if task.free and task.minutes > longest and soon.intersection(task.orders))  # fmt: skip
    needs = by_order(problem, HANDS, tasks)
    there = there_is(problem, HANDS, problem.now, due, sessions=True)
    if sum(needs.values()) <= there:
        return None
    parts = tuple(Part(name, needs[name]) for name in sorted(needs, key=lambda n: (n == asked, -needs[n], n)))
    away = hands_away(problem, problem.now, due)
    return Shortage(HANDS, problem.now, due, there, sum(needs.values()), parts, tasks, away=away)
