"""Weeks whose orders need more hours than there are, by arithmetic that can be checked by hand.

Cookies keep for so many days: what comes after baking can be done neither before that many days ahead of the
first hand-over nor after the last one. If that work needs more hours of hands than lie between, something is
late or stale, whatever the plan. Pure functions over the planner's plain data.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

MOST_WEEKS = 6
"""How many weeks of hand-overs are looked at together."""


@dataclass(frozen=True)
class Overfull:
    """`need` minutes of work after baking for `orders`, `have` minutes of hands from `start` to `end`."""

    start: int
    end: int
    need: int
    have: int
    orders: tuple[str, ...]

    @property
    def over(self) -> int:
        return self.need - self.have


def fresh_work(problem: dict) -> dict[str, int]:
    """For each order the minutes of hands still to do from its baking on; shared work is left out.

    Dough, colours and transfers can be made ahead, so they do not count; nor does what runs or is done.
    """
    after: dict[str, list[str]] = {}
    for lag in problem.get("lags", ()):
        after.setdefault(lag["before"], []).append(lag["after"])
    reached: set[str] = set()
    waiting = [name for order in problem["orders"] for name in order["bakes"]]
    while waiting:
        name = waiting.pop()
        if name not in reached:
            reached.add(name)
            waiting += after.get(name, ())
    found = {order["id"]: 0 for order in problem["orders"]}
    for task in problem["tasks"]:
        if task["state"] == "todo" and task["id"] in reached and len(task["orders"]) == 1:
            found[task["orders"][0]] = found.get(task["orders"][0], 0) + task["attended"] * task["hands"]
    return found


def overfull_weeks(
    problem: dict, weeks: Iterable[tuple[int, int]], between: Callable[[int, int], int], now: int
) -> dict[int, Overfull]:
    """By the number of a week (start, end minutes) the worst excess that ends with its hand-overs.

    `between(start, end)` gives the minutes of hands that lie between two moments. Soft orders do not count:
    she may give them up.
    """
    work, weeks = fresh_work(problem), list(weeks)
    inside: list[list[dict]] = [[] for _ in weeks]
    for order in problem["orders"]:
        at = next((i for i, (start, end) in enumerate(weeks) if start <= order["pickup"] < end), None)
        if at is not None and not order["soft"] and order["pickup"] > now and work[order["id"]]:
            inside[at].append(order)
    found: dict[int, Overfull] = {}
    for last, orders in enumerate(inside):
        if not orders:
            continue
        ways = [_together(inside[first : last + 1], work, between, now)
                for first in range(max(0, last - MOST_WEEKS + 1), last + 1) if inside[first]]  # fmt: skip
        worst = max(ways, key=lambda way: way.over)
        if worst.over > 0:
            found[last] = worst
    return found


def _together(weeks, work, between, now) -> Overfull:
    orders = [order for week in weeks for order in week]
    start = max(now, min(order["pickup"] - order["keeps"] for order in orders))
    end = max(order["pickup"] for order in orders)
    need = sum(work[order["id"]] for order in orders)
    return Overfull(start, end, need, between(start, end), tuple(order["id"] for order in orders))
