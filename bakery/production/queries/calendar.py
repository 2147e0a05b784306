"""What her subscribed calendar holds: baking sessions with their runs, and the hand-overs. Bounded queries.

No allergies, no prices, no names, addresses or numbers of customers: the address is secret but may be passed
on.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import groupby

from django.db.models import Sum
from django.utils import timezone

from bakery.orders.models import PLANNED_STATES, Order, State
from bakery.orders.text import one_line
from bakery.studio import adapters as studio
from bakery.studio.queries import the_studio

from .. import words
from ..models import Job
from .days import began, ended
from .runs import merged
from .week_runs import new_runs, place_of

BACK, AHEAD = timedelta(days=14), timedelta(days=183)
NAMED = 2


@dataclass(frozen=True)
class Entry:
    """One entry. `uid` stays the same from fetch to fetch, whatever moves."""

    uid: str
    start: datetime
    end: datetime
    title: str
    text: str
    sure: bool = True


def entries(now: datetime) -> tuple[Entry, ...]:
    """Everything from a fortnight ago to half a year ahead, in order of time."""
    own = the_studio()
    span = now - BACK, now + AHEAD
    found = [*_baking(span, own), *_hand_overs(span, own)]
    return tuple(sorted(found, key=lambda entry: (entry.start, entry.uid)))


def _baking(span, own):
    jobs = list(Job.objects.filter(planned_start__range=span).select_related("order"))
    jobs.sort(key=lambda job: (began(job), job.key))
    first, last = (timezone.localdate(moment) for moment in span)
    sessions = studio.sessions_between(first, last)
    apart = new_runs(jobs, sessions)
    counted: dict = {}
    for (number, loose), group in groupby(jobs, key=lambda job: place_of(job, sessions)):
        mine = list(group)
        start, end = began(mine[0]), max(ended(job) for job in mine)
        day = words.local(start).date()
        if loose is None:
            session = sessions[number]
            uid = f"baking-{words.local(session.start):%Y-%m-%d-%H%M}"
            end = max(start, min(end + timedelta(minutes=own.wash_up_minutes), session.end))
        else:
            counted[day] = counted.get(day, 0) + 1
            uid = f"small-{day.isoformat()}-{counted[day]}"
        runs = merged(mine, start, lambda job: "good", apart=apart)
        yield Entry(
            uid=uid,
            start=start,
            end=max(end, start + timedelta(minutes=5)),
            title=_summary([words.run_title(run) for run in runs]),
            text="\n".join(f"{words.clock(began(run[0]))} {one_line(words.run_title(run))}" for run in runs),
        )


def _summary(titles) -> str:
    more = len(titles) - NAMED
    text = ", ".join([titles[0], *(words.small(title) for title in titles[1:NAMED])])
    return one_line(f"{text} and {more} more" if more > 0 else text)


def _hand_overs(span, own):
    states = (*PLANNED_STATES, State.HANDED_OVER)
    rows = Order.objects.filter(state__in=states, hand_over_at__range=span)
    for order in rows.annotate(cookies=Sum("lines__quantity")):
        held = order.state == State.HELD
        yield Entry(
            uid=f"hand-over-{order.number}",
            start=order.hand_over_at,
            end=order.hand_over_at + timedelta(minutes=max(5, own.door_minutes)),
            title=one_line(f"Hand-over: {order.title}, {order.cookies or 0}"),
            text=f"Order {order.number}, {order.get_way_display()}." + (" Only held." if held else ""),
            sure=not held,
        )
