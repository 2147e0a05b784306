"""The orders beside the week, and the picked one in words."""

from dataclasses import dataclass

from bakery.designs.adapters import drawing_of, drawing_of_kind

from .. import words
from ..chains import chain_of, tails_of
from ..models import Job
from .whys import _steps


@dataclass(frozen=True)
class OrderLine:
    number: int
    title: str
    text: str
    picture: dict | None
    picked: bool


@dataclass(frozen=True)
class PickedOrder:
    number: int
    title: str
    text: str
    steps: tuple
    closing: str

    @property
    def number_text(self) -> str:
        return str(self.number)


def order_picture(order) -> dict | None:
    line = next(iter(order.lines.all()), None)
    if line is None:
        return None
    names = [name.text for name in order.names.all()]
    if line.design:
        return drawing_of(
            line.design, line.variation, text=names[0] if names and line.kind.key == "lettered" else ""
        )
    return drawing_of_kind(line.kind, text=names[0] if names and line.kind.key == "lettered" else "")


def order_lines(orders, picked, now):
    for order in orders:
        count = sum(line.quantity for line in order.lines.all())
        when = f"{words.day_month(order.hand_over_at)} {words.clock(order.hand_over_at)}"
        text = f"{count}, {when}, {order.get_way_display()}"
        yield OrderLine(order.number, order.title, text, order_picture(order), order.number == picked)


def picked_order(problem, plan, orders, number, now) -> PickedOrder | None:
    """The way of the picked order from the first thing still to do to its hand-over."""
    order = next((one for one in orders if one.number == number), None)
    if order is None:
        return None
    count = sum(line.quantity for line in order.lines.all())
    text = f"{words.counted(count, 'cookie')}. Hand-over {words.day_and_time(order.hand_over_at, now)}"
    if order.event_at:
        text += f", event {words.day_and_time(order.event_at, now)}"
    steps, closing = (), ""
    tails = tails_of(problem, order.key)
    own = [
        t
        for t in problem.tasks
        if order.key in t.orders and t.state == "todo" and t.id in plan.plan["starts"]
    ]
    spec = next((one for one in problem.orders if one.id == order.key), None)
    if own and spec:
        rows = {
            row.key: (row.kind, row.title)
            for row in Job.objects.filter(key__in=[task.id for task in own]).only("key", "kind", "title")
        }
        first = max(own, key=lambda task: (tails[task.id][0], task.id))
        chain = chain_of(
            problem, plan.plan["starts"], first.id, tails, lambda name: rows.get(name, ("", name))
        )
        steps = tuple(_steps(chain["steps"], now))
        closing = _closing(problem, plan, spec, now)
    elif spec:
        closing = "Nothing is left to do for it."
    return PickedOrder(order.number, order.title, f"{text}.", steps, closing)


def _closing(problem, plan, spec, now) -> str:
    from datetime import timedelta

    finish = next(task for task in problem.tasks if task.id == spec.finish)
    start = plan.plan["starts"].get(finish.id, finish.start)
    if start is None:
        return ""
    end = start + finish.minutes
    spare = spec.pickup - end
    at = words.day_and_time(problem.origin + timedelta(minutes=end), now)
    if spare < 0:
        return f"Packed {at}: {words.length(-spare)} after the hand-over."
    return f"Once packed, {at}, {words.length(spare)} remain until it leaves."
