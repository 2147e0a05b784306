"""Room for more in her words: the weeks ahead with hours left, said as dozens of plain cookies."""

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from bakery.studio import adapters as studio
from bakery.studio.queries import the_studio
from bakery.studio.room import dozens_in, minutes_a_dozen
from bakery.studio.weeks import monday_of

from .. import words
from ..adapters import midnight
from ..overfull import Overfull, overfull_weeks
from . import freshness
from .hours_left import WEEK, WeekHours, hands_of, hours_left

WEEKS = 4
NEARLY_FULL = 0.85


@dataclass(frozen=True)
class WeekRoom:
    """A week as pages show it. `over` says by what arithmetic there is too much in it."""

    monday: date
    label: str
    left: str
    minutes: int
    dozens: int
    note: str
    closed: bool = False
    away: bool = False
    by_her: bool = False
    orders: int = 0
    late: int = 0
    whole: int = 0
    taken: int = 0
    over: str = ""
    over_minutes: int = 0
    nearly_full: bool = False
    now: bool = False

    @property
    def named(self) -> str:
        """This week; the week from 7 December."""
        return "this week" if self.now else f"the week from {self.monday.day} {self.monday:%B}"

    @property
    def late_words(self) -> str:
        """Two of 7 orders are late"""
        if not self.late:
            return ""
        count = words.capital(words.number_word(self.late))
        of = f" of {self.orders} orders" if self.orders > self.late else ""
        return f"{count}{of} {'is' if self.late == 1 else 'are'} late"

    @property
    def over_words(self) -> str:
        return words.hours(self.over_minutes)

    @property
    def whole_words(self) -> str:
        return words.hours(self.whole)

    @property
    def shut_on(self) -> bool:
        return self.closed and self.by_her


def room_for_more(now: datetime, *, weeks: int = WEEKS, plan=None, own=None) -> tuple[WeekRoom, ...]:
    """The coming weeks, this one first; bounded queries however many."""
    plan, own = plan or freshness.wall(), own or the_studio()
    hands = hands_of(now, weeks=weeks, plan=plan, own=own)
    found = hours_left(now, weeks=weeks, hands=hands)
    too_much = _too_much(plan, hands, found, now)
    late = _late(plan)
    shop, padding = studio.shop(own), float(own.padding)
    return tuple(
        replace(
            _worded(week, dozens_in(week.left, shop, padding), too_much.get(i), hands, i == 0),
            late=late.get(week.monday, 0),
        )
        for i, week in enumerate(found)
    )


def dozen_minutes(own=None) -> float:
    """Her minutes for a dozen plain cookies, as every page reckons them."""
    own = own or the_studio()
    return minutes_a_dozen(studio.shop(own), float(own.padding))


def crowded(room) -> bool:
    """Whether the weeks need looking at first: one of them over full, or one after this one nearly full."""
    return any(week.over or (week.nearly_full and not week.now) for week in room)


def _too_much(plan, hands, found, now) -> dict[int, Overfull]:
    if plan is None:
        return {}
    spans = [(hands.minute(midnight(w.monday)), hands.minute(midnight(w.monday + WEEK))) for w in found]
    return overfull_weeks(plan.problem, spans, hands.between, hands.minute(now))


def _late(plan) -> dict[date, int]:
    """How many hand-overs of each week the plan on the wall misses."""
    if plan is None:
        return {}
    origin = datetime.fromisoformat(plan.problem["origin"])
    missed = plan.plan.get("late", {})
    due = [origin + timedelta(minutes=o["pickup"]) for o in plan.problem["orders"] if o["id"] in missed]
    return Counter(monday_of(words.local(moment).date()) for moment in due)


def _worded(week: WeekHours, dozens: int, too_much: Overfull | None, hands, this: bool) -> WeekRoom:
    label = "This week" if this else f"From {week.monday.day} {week.monday:%b}"
    room = WeekRoom(
        week.monday, label, "Closed", 0, 0, "", closed=True, orders=week.orders, whole=week.whole,
        taken=week.taken, now=this,
    )  # fmt: skip
    if too_much:
        room = replace(room, over=_arithmetic(too_much, hands), over_minutes=too_much.over)
    if week.closed:
        at = words.day_month(week.closed.closed_at)
        what = "No baking" if week.closed.away else "No more orders"
        return replace(room, note=f"{what}: closed by you on {at}.", away=week.closed.away, by_her=True)
    if not week.whole:
        return replace(room, note="No baking hours are left." if this else "No baking hours.")
    left = f"{words.hours(week.left)} left" if week.left else "Full"
    return replace(
        room,
        left=left,
        minutes=week.left,
        dozens=dozens,
        closed=False,
        note=_note(week, dozens),
        nearly_full=week.full_share >= NEARLY_FULL,
    )


def _note(week: WeekHours, dozens: int) -> str:
    """about 2 dozen plain; 1 h 30 of the rest is only held"""
    taken = f"{words.hours(week.taken)} of {words.hours(week.whole)} taken"
    text = f"about {words.counted(dozens, 'dozen', 'dozen')} plain" if dozens else taken
    if week.held:
        text += f"; {words.hours(week.held)} of the rest is only held"
    if week.unplanned:
        are = "is" if week.unplanned == 1 else "are"
        text += f"; {words.counted(week.unplanned, 'order')} {are} not in the plan yet"
    return text


def _arithmetic(found: Overfull, hands) -> str:
    """12 orders need 44 h from baking on. From Wed 2 Dec, … until Sat 12 Dec 17:00 there are 38 h."""

    def moment(minutes: int) -> str:
        at = hands.origin + timedelta(minutes=minutes)
        return f"{words.day_month(at)} {words.clock(at)}"

    count = words.counted(len(found.orders), "order")
    needs = "needs" if len(found.orders) == 1 else "need"
    return (
        f"{words.capital(count)} {needs} {words.hours(found.need)} from baking on. "
        f"From {moment(found.start)}, when the first can be baked and stay fresh, "
        f"until {moment(found.end)} there are {words.hours(found.have)}: "
        f"{words.hours(found.over)} too little."
    )
