"""From aware times to whole steps of the planning grid, and the windows that remain to work in."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise

from ..planning.problem import Blocked, Window
from .calendar import Calendar
from .spec import OrderSpec, Shop

__all__ = ["Clock", "blocked_of", "longest_stretch", "windows_of"]

HANDS = "hands"
FAR_STEPS = 900_000
"""Times further off than this (eight years on a grid of five minutes) are drawn in to it."""


class Clock:
    """Minutes after an origin at midnight UTC. Rounds once, to the step: `up` or `down`."""

    def __init__(self, now: datetime, step: int):
        moment = now.astimezone(UTC)
        self.origin = moment.replace(hour=0, minute=0, second=0, microsecond=0)
        self.step = step

    def exact(self, when: datetime) -> int:
        """Whole minutes after the origin, off the grid: for facts."""
        return self._near(int((when - self.origin) / timedelta(minutes=1) // 1))

    def down(self, when: datetime) -> int:
        """The last grid minute not after `when`."""
        return self._near(int((when - self.origin) / timedelta(minutes=self.step) // 1) * self.step)

    def up(self, when: datetime) -> int:
        """The first grid minute not before `when`."""
        return self._near(-int(-((when - self.origin) / timedelta(minutes=self.step)) // 1) * self.step)

    def _near(self, minutes: int) -> int:
        """A year mistyped as 2226 is only very far away; it must not stop everybody else's plan."""
        most = FAR_STEPS * self.step
        return max(-most, min(most, minutes))

    def lasts(self, minutes: float) -> int:
        """A duration rounded up to the step (a hair above a step is still that step)."""
        return -int(-(minutes - 1e-6) // self.step) * self.step if minutes > 1e-6 else 0


def windows_of(calendar: Calendar, clock: Clock, now: int) -> tuple[Window, ...]:
    """Windows still open, sorted and apart: proper sessions win over waking hours, earlier over later."""
    kept: list[Window] = []
    full = [s for s in calendar.sessions if s.longest is None]
    waking = [s for s in calendar.sessions if s.longest is not None]
    for session in (*full, *waking):
        start, end = clock.up(session.start), clock.down(session.end)
        pieces = [(start, end)]
        for window in kept:
            pieces = [cut for piece in pieces for cut in _minus(piece, (window.start, window.end))]
        kept += [
            Window(low, high, session.hands, session.longest) for low, high in pieces if high > max(low, now)
        ]
    return tuple(sorted(kept, key=lambda w: w.start))


def _minus(piece, hole):
    low, high = piece
    if hole[1] <= low or high <= hole[0]:
        return [piece] if high > low else []
    return [(a, b) for a, b in ((low, hole[0]), (hole[1], high)) if b > a]


def blocked_of(
    calendar: Calendar, orders: list[OrderSpec], shop: Shop, clock: Clock, windows: tuple[Window, ...]
) -> tuple[Blocked, ...]:
    """Outages, and the hands taken by washing up, the door and the road, never more than a window has."""
    blocked, hands = [], []
    for outage in calendar.outages:
        start, end = clock.down(outage.start), clock.up(outage.end)
        if outage.amount < 1 or end <= start:
            continue
        if outage.resource == HANDS:
            hands.append((start, end, outage.amount))
        else:
            blocked.append(Blocked(outage.resource, outage.amount, start, end))
    for order in orders:
        if order.soft and order.way == "collected":
            continue
        road = timedelta(minutes=order.travel_minutes if order.way != "collected" else 0)
        door = timedelta(minutes=shop.door_minutes)
        start, end = clock.down(order.hand_over - road), clock.up(order.hand_over + door + road)
        if end > start:
            hands.append((start, end, 1))
    for window in windows:
        if window.longest is None and shop.wash_up_minutes:
            # A short session is not eaten up by its own washing-up.
            minutes = clock.lasts(min(shop.wash_up_minutes, (window.end - window.start) / 4))
            hands.append((window.end - minutes, window.end, 1))
    return (*blocked, *_within(hands, windows))


def _within(hands, windows) -> list[Blocked]:
    """The hands asked for, window by window, cut to what the window has."""
    found: list[Blocked] = []
    for window in windows:
        inside = [
            (max(a, window.start), min(b, window.end), n)
            for a, b, n in hands
            if a < window.end and b > window.start
        ]
        edges = sorted({time for a, b, _ in inside for time in (a, b)})
        for low, high in pairwise(edges):
            amount = min(window.hands, sum(n for a, b, n in inside if a <= low and b >= high))
            if amount:
                found.append(Blocked(HANDS, amount, low, high))
    return found


def longest_stretch(windows, blocked, now: int, hands: int = 1) -> list[tuple[int, int]]:
    """(end, minutes) of every unbroken stretch of proper windows with `hands` to spare."""
    found = []
    taken = [b for b in blocked if b.resource == HANDS]
    for window in windows:
        if window.longest is not None:
            continue
        inside = sorted(
            ((b.start, b.end, b.amount) for b in taken if b.start < window.end and b.end > window.start),
        )
        at = max(window.start, now)
        for start, end, amount in inside:
            if window.hands - amount >= hands:
                continue
            if start > at:
                found.append((start, start - at))
            at = max(at, end)
        if window.end > at:
            found.append((window.end, window.end - at))
    return found
