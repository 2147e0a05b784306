"""The weeks ahead, by month: how much is taken, what is over full, what she has closed."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby

from .. import words
from .room_for_more import WeekRoom, room_for_more

WEEKS, YEAR = 16, 52


@dataclass(frozen=True)
class MonthAhead:
    name: str
    text: str
    weeks: tuple[WeekRoom, ...]


@dataclass(frozen=True)
class AheadView:
    now: datetime
    headline: str
    lead: str
    months: tuple[MonthAhead, ...]
    whole_year: bool


def ahead_view(now: datetime, *, year: bool = False) -> AheadView:
    """Sixteen weeks from this one on, or a whole year of them."""
    room = room_for_more(now, weeks=YEAR if year else WEEKS)
    months = tuple(_months(room))
    return AheadView(now, _headline(room), _lead(room), months, year)


def _months(room):
    for first, weeks in groupby(room, key=_month_of):
        mine = tuple(weeks)
        yield MonthAhead(f"{first:%B}", _month_text(mine), mine)


def _month_of(week) -> date:
    """A week belongs to the month in which most of its days lie: that of its Thursday."""
    return (week.monday + timedelta(days=3)).replace(day=1)


def _month_text(weeks) -> str:
    orders, dozens = (sum(getattr(week, name) for week in weeks) for name in ("orders", "dozens"))
    count = words.counted(orders, "order") if orders else "No orders yet"
    if all(week.closed for week in weeks):
        return f"{count}. Closed."
    more = f"about {words.counted(dozens, 'dozen', 'dozen')} more" if dozens else "no room for a dozen more"
    return f"{count}; {more}."


def _headline(room) -> str:
    over = [week for week in room if week.over]
    if len(over) == 1:
        return f"{words.capital(over[0].named)} is over full."
    if over:
        return f"{words.capital(words.number_word(len(over)))} weeks are over full."
    late = [week for week in room if week.late]
    if late:
        count = sum(week.late for week in late)
        are = "order is" if count == 1 else "orders are"
        return f"{words.capital(words.number_word(count))} {are} late, the first in {late[0].named}."
    full = [week for week in room if week.nearly_full and not week.now]
    if full:
        return f"{words.capital(full[0].named)} is nearly full."
    if not any(week.whole for week in room):
        return "There are no baking hours."
    return "There is room ahead."


def _lead(room) -> str:
    minutes, dozens = sum(week.minutes for week in room), sum(week.dozens for week in room)
    weeks = f"the next {len(room)} weeks" if len(room) < YEAR else "the year ahead"
    first = next((week for week in room if week.over), None)
    more = (
        f"In {weeks} {words.hours(minutes)} are left, about {words.counted(dozens, 'dozen', 'dozen')} plain."
    )
    return f"{words.capital(first.named)} lacks {words.hours(first.over_minutes)}. {more}" if first else more


def coming_sentence(room) -> str:
    """What is coming beyond the weeks that a page draws: the first that is over full, or nearly full."""
    week = next((w for w in room if w.over), None) or next((w for w in room if w.nearly_full), None)
    if week is None:
        return ""
    if week.over:
        return f"{words.capital(week.named)} is over full by {words.hours(week.over_minutes)}."
    return f"{words.capital(week.named)} is nearly full: {week.left}."
