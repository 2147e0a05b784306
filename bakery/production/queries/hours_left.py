"""The one answer to "how much room is there": minutes of hands left in each week, read by every page.

Hours left = baking hours still to come, less washing-up, door and road, less the work of the plan on the
wall (held orders included; what they take is told apart). Work is padded as the plan pads it.
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from math import ceil

from django.utils import timezone

from bakery.orders.models import PLANNED_STATES, Order, State
from bakery.studio import adapters as studio
from bakery.studio.models import ClosedWeek
from bakery.studio.queries import the_studio
from bakery.studio.weeks import closed_weeks, monday_of

from ..free_hands import Span, left_in, washing_up
from ..models import Plan
from . import freshness

WEEK = timedelta(days=7)


@dataclass(frozen=True)
class WeekHours:
    """One week, in minutes of hands from now on. `left` and `held` are 0 where it is closed by her.

    `unplanned` counts hand-overs that the plan on the wall does not know yet: their work is in no week.
    """

    monday: date
    whole: int
    left: int
    held: int = 0
    orders: int = 0
    held_orders: int = 0
    unplanned: int = 0
    closed: ClosedWeek | None = None

    @property
    def taken(self) -> int:
        return self.whole - self.left

    @property
    def full_share(self) -> float:
        """How much of what there is is taken; a week without baking hours is full."""
        return self.taken / self.whole if self.whole else 1.0


@dataclass
class Hands:
    """Her hands over time as the plan on the wall takes them; minutes count from `origin`."""

    origin: datetime
    stretches: list[tuple[date, Span]]
    blocked: list[Span] = field(default_factory=list)
    work: list[tuple[Span, frozenset]] = field(default_factory=list)
    known: frozenset = frozenset()

    def __post_init__(self):
        self.blocked.sort()
        self.work.sort(key=lambda pair: pair[0])
        self._blocked_at = [span.start for span in self.blocked]
        self._work_at = [span.start for span, _ in self.work]
        self._longest = max((s.end - s.start for s in (*self.blocked, *(w for w, _ in self.work))), default=0)

    def minute(self, moment: datetime) -> int:
        return ceil((moment - self.origin) / timedelta(minutes=1))

    def blocked_in(self, span: Span) -> list[Span]:
        """Washing-up, door, road and hours with fewer hands near this span."""
        return _near(self.blocked, self._blocked_at, span, self._longest)

    def work_in(self, span: Span) -> list[tuple[Span, frozenset]]:
        return _near(self.work, self._work_at, span, self._longest)

    def whole(self, span: Span) -> int:
        """Minutes of hands for work, whether taken or not."""
        return left_in(span, self.blocked_in(span))

    def left(self, span: Span, *, without: frozenset = frozenset()) -> int:
        """Minutes of hands that nothing takes; work of the orders `without` alone is not counted."""
        work = [taken for taken, orders in self.work_in(span) if not orders <= without]
        return left_in(span, [*self.blocked_in(span), *work])

    def between(self, start: int, end: int) -> int:
        """Minutes of hands for work between two moments, taken or not."""
        cut = (Span(max(s.start, start), min(s.end, end), s.hands) for _, s in self.stretches)
        return sum(self.whole(span) for span in cut if span.end > span.start)


def hours_left(
    now: datetime, *, weeks: int, plan: Plan | None = None, own=None, hands: Hands | None = None
) -> list[WeekHours]:
    """The coming weeks, this one first. `plan` is the one on the wall; read when left out."""
    first = monday_of(timezone.localdate(now))
    hands = hands or hands_of(now, weeks=weeks, plan=plan, own=own)
    closed = closed_weeks(first, first + weeks * WEEK - timedelta(days=1))
    orders = _orders_by_week()
    every_held = frozenset(key for keys in orders.values() for key, held in keys if held)
    found = []
    for number in range(weeks):
        monday = first + number * WEEK
        mine = [span for day, span in hands.stretches if monday <= day < monday + WEEK]
        whole, left = sum(map(hands.whole, mine)), sum(map(hands.left, mine))
        held = sum(hands.left(span, without=every_held) for span in mine) - left if every_held else 0
        keys = orders.get(monday, [])
        shut = closed.get(monday)
        found.append(
            WeekHours(
                monday,
                whole,
                left=0 if shut else left,
                held=0 if shut else held,
                orders=len(keys),
                held_orders=sum(held for _, held in keys),
                unplanned=sum(key not in hands.known for key, _ in keys),
                closed=shut,
            )
        )
    return found


def hands_of(now: datetime, *, weeks: int, plan: Plan | None = None, own=None) -> Hands:
    """Her hands from now until the end of the last of these weeks."""
    plan, own = plan or freshness.wall(), own or the_studio()
    today = timezone.localdate(now)
    last = monday_of(today) + weeks * WEEK - timedelta(days=1)
    sessions = [s for s in studio.sessions_between(today, last) if s.end > now]
    problem = plan.problem if plan else {}
    origin = datetime.fromisoformat(problem["origin"]) if plan else now.astimezone(UTC)
    hands = Hands(origin, [])
    windows = [(w["start"], w["end"], w["hands"]) for w in problem.get("windows", ()) if not w.get("longest")]
    stretches, blocked = [], []
    for session in sessions:
        day = timezone.localdate(session.start)
        whole = Span(hands.minute(session.start), hands.minute(session.end), session.hands)
        planned = [w for w in windows if w[0] < whole.end and w[1] > whole.start]
        for start, end, pairs in planned:
            stretches.append((day, Span(max(start, whole.start), min(end, whole.end), pairs)))
        if not planned:  # the plan does not reach so far
            stretches.append((day, whole))
            blocked.append(washing_up(whole, own.wash_up_minutes))
            blocked += [Span(hands.minute(a.start), hands.minute(a.end), a.hands) for a in session.away]
    blocked += [Span(b["start"], b["end"], b["amount"]) for b in problem.get("blocked", ())
                if b["resource"] == "hands"]  # fmt: skip
    at = hands.minute(now)
    ahead = [(day, span._replace(start=max(span.start, at))) for day, span in stretches if span.end > at]
    known = frozenset(order["id"] for order in problem.get("orders", ()))
    return Hands(origin, ahead, blocked, _work(problem, plan.plan["starts"]) if plan else [], known)


def _work(problem: dict, starts: dict) -> list[tuple[Span, frozenset]]:
    """What the plan has her hands do, each with its orders."""
    found = []
    for task in problem["tasks"]:
        start = starts.get(task["id"]) if task["state"] == "todo" else task["start"]
        if start is not None and task["state"] != "done" and task["attended"]:
            span = Span(start, start + task["attended"], task["hands"])
            found.append((span, frozenset(task["orders"])))
    return found


def _orders_by_week() -> dict[date, list[tuple[str, bool]]]:
    """(key, held) of what is planned, by the Monday of its hand-over."""
    rows = Order.objects.filter(state__in=PLANNED_STATES).values_list("number", "hand_over_at", "state")
    found: dict[date, list[tuple[str, bool]]] = {}
    for number, hand_over, state in rows:
        monday = monday_of(timezone.localdate(hand_over))
        found.setdefault(monday, []).append((f"o{number}", state == State.HELD))
    return found


def _near(rows: Sequence, starts: Sequence[int], span: Span, longest: int) -> list:
    """Rows, sorted by their start, that may touch the span."""
    return list(rows[bisect_left(starts, span.start - longest) : bisect_left(starts, span.end)])
