"""The week: one view for the picture, the table, the words and the room for more. Reads only, bounded
queries.
"""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.utils import timezone

from bakery.craft.planning import problem_from_json
from bakery.orders.adapters import planned_orders
from bakery.studio import adapters as studio
from bakery.studio.queries import the_studio

from .. import words
from ..adapters import midnight
from . import days, freshness
from .room_for_more import WeekRoom, room_for_more
from .runs import Run, merged, run_of
from .week_evenings import EveningRow, evening_rows
from .week_orders import OrderLine, PickedOrder, order_lines, picked_order
from .week_picture import picture_of_week

SPAN = timedelta(days=7)


@dataclass(frozen=True)
class WeekDay:
    """One day in words."""

    day: date
    hours: str
    runs: tuple[Run, ...]
    hand_overs: tuple[str, ...]

    @property
    def title(self) -> str:
        return words.day_month(self.day)


@dataclass(frozen=True)
class WeekView:
    now: datetime
    first: date
    headline: str
    lead: str
    picture: object = None
    days: tuple[WeekDay, ...] = ()
    evenings: tuple[EveningRow, ...] = ()
    orders: tuple[OrderLine, ...] = ()
    picked: PickedOrder | None = None
    room: tuple[WeekRoom, ...] = ()
    out: bool = False
    working: bool = False
    late: bool = False
    fullest: str = ""

    @property
    def before(self) -> date:
        return self.first - SPAN

    @property
    def after(self) -> date:
        return self.first + SPAN


def week_view(now: datetime, *, first: date | None = None, order: int | None = None) -> WeekView:
    """Seven days from `first` (today when left out), with the work of one order picked out."""
    plan, own = freshness.wall(), the_studio()
    first = first or timezone.localdate(now)
    span = midnight(first), midnight(first + SPAN)
    if plan is None:
        working = freshness.is_stale(now) or freshness.being_worked_out()
        headline = "Sorting out the plan." if working else "Nothing is planned yet."
        room = room_for_more(now, own=own)
        return WeekView(now, first, headline, _room_line(room), working=working, room=room)
    problem = problem_from_json(plan.problem)
    orders = planned_orders()
    jobs, shades = days.jobs_between(*span), days.shades()
    sessions = studio.sessions_between(first, first + SPAN - timedelta(days=1))
    runs = _runs(jobs, now, shades)
    if order is None and orders:
        order = _first_order(runs, orders)
    room = room_for_more(now, plan=plan, own=own)
    late = plan.plan.get("late", {})
    picture, out = picture_of_week(
        now=now, span=span, sessions=sessions, runs=runs, problem=problem, plan=plan, orders=orders,
        shades=shades, own=own, picked=order,
    )  # fmt: skip
    return WeekView(
        now=now,
        first=first,
        headline=_headline(orders, late),
        lead=_lead(problem, plan, orders, room, late, now),
        picture=picture,
        days=tuple(_days(first, sessions, runs, orders)),
        evenings=tuple(evening_rows(now, sessions, runs, orders, own, order)),
        orders=tuple(order_lines(orders, order, now)),
        picked=picked_order(problem, plan, orders, order, now),
        room=room,
        out=out,
        late=bool(late),
    )


def _runs(jobs, now, shades) -> list[Run]:
    groups = merged(jobs, now, lambda job: "good")
    return [replace(run_of(group, now, shades), number=i) for i, group in enumerate(groups, 1)]


def _first_order(runs, orders):
    """Whose work comes first is picked when she has picked none."""
    for run in runs:
        if run.open:
            return run.jobs[0].order.number
    return orders[0].number


def _headline(orders, late) -> str:
    if not orders:
        return "No orders to keep."
    if not late:
        return "Every order keeps its hand-over."
    count = words.capital(words.number_word(len(late)))
    return f"{count} of {len(orders)} orders {'is' if len(late) == 1 else 'are'} late."


def _lead(problem, plan, orders, room, late, now) -> str:
    titles = {order.key: order.title for order in orders}
    if late:
        named = [f"{titles.get(key, 'an order')} by {words.length(minutes)}" for key, minutes in late.items()]
        return f"{words.capital(words.listed(named[:3]))}. {_room_line(room)}"
    tasks = {task.id: task for task in problem.tasks}
    ends = []
    for order in problem.orders:
        task = tasks[order.finish]
        start = plan.plan["starts"].get(task.id, task.start)
        if task.state != "done" and start is not None and order.id in titles:
            ends.append((order.pickup - start - task.minutes, order))
    if not ends:
        return _room_line(room)
    spare, order = min(ends, key=lambda pair: pair[0])
    tight = f"The tightest is {titles[order.id]}: packed {words.length(spare)} before its hand-over."
    return f"{tight} {_room_line(room)}"


def _room_line(room) -> str:
    if not room:
        return ""
    first = room[0]
    if first.closed:
        return "This week is closed."
    dozens = f", about {words.counted(first.dozens, 'dozen', 'dozen')} plain cookies" if first.dozens else ""
    return f"{first.left} this week{dozens}." if first.minutes else "This week is full."


def _days(first, sessions, runs, orders):
    for number in range(SPAN.days):
        day = first + timedelta(days=number)
        hours = [
            f"{words.clock(s.start)} to {words.clock(s.end)}"
            for s in sessions
            if words.local(s.start).date() == day
        ]
        own = tuple(run for run in runs if words.local(run.start).date() == day)
        hands = tuple(
            f"{words.clock(order.hand_over_at)} {order.title}, {order.get_way_display()}"
            for order in orders
            if words.local(order.hand_over_at).date() == day
        )
        if hours or own or hands:
            yield WeekDay(day, ", ".join(hours), own, hands)
