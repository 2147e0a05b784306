"""The week: one view for the picture, the table, the words and the room for more. Reads only, bounded
queries.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils import timezone

from bakery.craft.planning import problem_from_json
from bakery.orders.adapters import planned_orders
from bakery.studio import adapters as studio
from bakery.studio.queries import the_studio

from .. import words
from ..adapters import midnight
from . import days, freshness
from .ahead import WEEKS, coming_sentence
from .room_for_more import WEEKS as DRAWN
from .room_for_more import WeekRoom, crowded, room_for_more
from .runs import Run
from .week_evenings import EveningRow, evening_rows
from .week_orders import OrderLine, PickedOrder, order_lines, picked_order
from .week_picture import picture_of_week
from .week_runs import runs_of
from .week_why import RunWhy, why_run

DECEMBER = 12
DAY, SPAN = timedelta(days=1), timedelta(days=7)
NOON_AFTER = timedelta(hours=36)
"""One day is drawn until the next noon, so that its night's drying is seen to its end."""


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
    crowded: bool = False
    zoom: str = "week"
    why: RunWhy | None = None
    orders_between: tuple = ()
    out: bool = False
    working: bool = False
    late: bool = False
    fullest: str = ""

    @property
    def span(self) -> timedelta:
        return DAY if self.zoom == "day" else SPAN

    @property
    def before(self) -> date:
        return self.first - self.span

    @property
    def after(self) -> date:
        return self.first + self.span

    @property
    def seven(self) -> tuple[date, ...]:
        """The days to look at one by one: those of the picture, or the week around the one day."""
        start = self.first - timedelta(days=self.first.weekday()) if self.zoom == "day" else self.first
        return tuple(start + number * DAY for number in range(7))


def week_view(
    now: datetime, *, first: date | None = None, order: int | None = None, zoom: str = "week", run: str = ""
) -> WeekView:
    """Seven days from `first` (today when left out), or with zoom "day" that one until the next noon.

    The work of one `order` is picked out; `run` names a task whose way to its hand-over is told.
    """
    plan, own = freshness.wall(), the_studio()
    first = first or timezone.localdate(now)
    days_shown = DAY if zoom == "day" else SPAN
    end = midnight(first) + NOON_AFTER if zoom == "day" else midnight(first + SPAN)
    span = midnight(first), end
    if plan is None:
        working = freshness.is_stale(now) or freshness.being_worked_out()
        headline = "Sorting out the plan." if working else "Nothing is planned yet."
        room = room_for_more(now, own=own)
        return WeekView(now, first, headline, _room_line(room), working=working, room=room, zoom=zoom)
    problem = problem_from_json(plan.problem)
    orders = planned_orders()
    jobs, shades = days.jobs_between(*span), days.shades()
    sessions = studio.sessions_between(first, timezone.localdate(end - timedelta(minutes=1)))
    runs = runs_of(jobs, now, shades, sessions, problem)
    why = why_run(problem, plan, run, now) if run else None
    if order is None and orders:
        order = why.order if why else _first_order(runs, orders)
    room = room_for_more(now, plan=plan, own=own, weeks=WEEKS)
    late = plan.plan.get("late", {})
    placeless, broken = freshness.placeless(plan), bool((plan.tonight or {}).get("broken"))
    picture, out = picture_of_week(
        now=now, span=span, sessions=sessions, runs=runs, problem=problem, plan=plan, orders=orders,
        shades=shades, own=own, picked=order, zoom=zoom,
    )  # fmt: skip
    return WeekView(
        now=now,
        first=first,
        headline=_headline(orders, late, placeless, broken),
        lead=" ".join(filter(None, (
            _without_place(placeless),
            _lead(problem, plan, orders, room, late, now, broken=broken or bool(placeless)),
            coming_sentence(room[DRAWN:]),
        ))),
        picture=picture,
        days=tuple(_days(first, days_shown, sessions, runs, orders)),
        evenings=tuple(evening_rows(now, _of_days(sessions, first, days_shown), runs, orders, own, order)),
        orders=tuple(order_lines(orders, order, now)),
        picked=picked_order(problem, plan, orders, order, now),
        room=room[:DRAWN],
        crowded=crowded(room[:DRAWN]) or timezone.localdate(now).month == DECEMBER,
        zoom=zoom,
        why=why,
        orders_between=tuple(one for one in orders if span[0] <= one.hand_over_at < span[1]),
        out=out,
        late=bool(late or placeless or broken),
    )  # fmt: skip


def _of_days(sessions, first, span):
    return [s for s in sessions if first <= words.local(s.start).date() < first + span]


def _first_order(runs, orders):
    """Whose work comes first is picked when she has picked none."""
    for run in runs:
        if run.open:
            return run.jobs[0].order.number
    return orders[0].number


def _headline(orders, late, placeless=(), broken=False) -> str:
    """What the plan holds; what it does not know of, or no longer holds, it does not promise."""
    if not orders:
        return "No orders to keep."
    if placeless:
        count = words.capital(words.number_word(len(placeless)))
        return f"{count} {'order has' if len(placeless) == 1 else 'orders have'} no place in the plan yet."
    if broken:
        return "The plan no longer fits what you said."
    if not late:
        return "Every order keeps its hand-over."
    count = words.capital(words.number_word(len(late)))
    return f"{count} of {len(orders)} orders {'is' if len(late) == 1 else 'are'} late."


def _without_place(placeless) -> str:
    """Which orders they are, and why they have none, where that is known."""
    if not placeless:
        return ""
    more = [f"{len(placeless) - 3} more"] if len(placeless) > 3 else []
    return f"{words.capital(words.listed([*placeless[:3], *more]))}. {freshness.trouble()}".strip()


def _lead(problem, plan, orders, room, late, now, *, broken=False) -> str:
    titles = {order.key: order.title for order in orders}
    if late:
        named = [f"{titles.get(key, 'an order')} by {words.length(minutes)}" for key, minutes in late.items()]
        return f"{words.capital(words.listed(named[:3]))}. {_room_line(room)}"
    if broken:
        return _room_line(room)
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
    if first.by_her:
        return "This week is closed."
    dozens = f", about {words.counted(first.dozens, 'dozen', 'dozen')} plain cookies" if first.dozens else ""
    if not first.whole:
        return "No baking hours are left this week."
    return f"{first.left} this week{dozens}." if first.minutes else "This week is full."


def _days(first, span, sessions, runs, orders):
    for number in range(span.days):
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
