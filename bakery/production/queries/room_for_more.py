"""Room for more: hours left in the weeks ahead, said as dozens of plain cookies."""

from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from django.utils import timezone

from bakery.craft.work import LineSpec, OrderSpec, work_of
from bakery.studio import adapters as studio

from .. import words
from ..settle import free_minutes

WEEKS = 4
SAMPLE = 48  # cookies: an order of a usual size, so that its share of the set-up is a usual one
DOZENS = SAMPLE / 12


@dataclass(frozen=True)
class WeekRoom:
    label: str
    left: str
    minutes: int
    dozens: int
    note: str
    closed: bool = False


def room_for_more(now, wall, own) -> tuple[WeekRoom, ...]:
    """The coming weeks; `wall` is (problem, plan row) or None when nothing is planned."""
    today = timezone.localdate(now)
    monday = today - timedelta(days=today.weekday())
    last = monday + timedelta(days=7 * WEEKS - 1)
    sessions = [s for s in studio.sessions_between(today, last) if s.end > now]
    dozen = minutes_a_dozen(studio.shop(own), float(own.padding))
    return tuple(
        _week(monday + timedelta(days=7 * i), sessions, wall, now, own, dozen, i) for i in range(WEEKS)
    )


def _week(monday: date, sessions, wall, now, own, dozen, number) -> WeekRoom:
    own_sessions = [s for s in sessions if monday <= words.local(s.start).date() < monday + timedelta(days=7)]
    label = "This week" if number == 0 else f"From {monday.day} {monday:%b}"
    if not own_sessions:
        return WeekRoom(label, "Closed", 0, 0, "no baking hours", closed=True)
    minutes = sum(_left(session, wall, now, own) for session in own_sessions)
    dozens = int(minutes // dozen)
    note = f"about {words.counted(dozens, 'dozen', 'dozen')} plain" if dozens else "no room for a dozen"
    left = f"{words.length(minutes)} left" if minutes else "Full"
    return WeekRoom(label, left, minutes, dozens, note)


def _left(session, wall, now, own) -> int:
    """Minutes of hands that the plan leaves free; where the plan does not reach, all but the washing-up."""
    if wall is not None:
        problem, plan = wall
        at = int((session.start - problem.origin).total_seconds() // 60)
        window = next((w for w in problem.windows if w.longest is None and w.start <= at < w.end), None)
        if window is not None:
            return free_minutes(problem, plan.plan["starts"], window)
    start = max(session.start, now)
    whole = int((session.end - start).total_seconds() // 60) * session.hands
    return max(0, whole - own.wash_up_minutes)


def minutes_a_dozen(shop, padding: float) -> float:
    """Minutes of hands that a dozen plain cookies takes, padded as the plan is."""
    return padding * _bench(shop.cookies_per_sheet, shop.sheets_in_oven, shop.cookies_per_tray,
                            shop.cookies_per_batch, tuple(sorted(shop.minutes.items()))) / DOZENS  # fmt: skip


@lru_cache(maxsize=16)
def _bench(sheet, sheets, tray, batch, minutes) -> int:
    from datetime import UTC, datetime

    from bakery.craft.work import Shop

    shop = Shop(cookies_per_sheet=sheet, sheets_in_oven=sheets, cookies_per_tray=tray,
                cookies_per_batch=batch,
                minutes=dict(minutes))  # fmt: skip
    line = LineSpec("l1", "plain", "plain", SAMPLE, spares=0)
    spec = OrderSpec("room", "a dozen plain", (line,), datetime(2030, 1, 7, 12, tzinfo=UTC))
    return work_of(spec, shop).bench_minutes
