"""The week on one sheet of A4, lying: the picture in black, and what its hand-over numbers mean."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from math import ceil

from django.utils.safestring import mark_safe

from bakery.drawing.week import week_picture
from bakery.drawing.week_paper import in_black
from bakery.production import words
from bakery.production.queries.week import week_view
from bakery.studio.queries import the_studio

WIDE, HIGH, RACK_HIGH = 1030, 590, 200
"""Room for the picture and what stands under it, in CSS pixels of the sheet."""
NARROW = 1.6
"""Nights are drawn narrower than on the screen, so that more runs have room for their word."""
COLUMNS, LINE = 2, 23
MOST_HANDS = 12


def week_sheet(day: date, now: datetime) -> dict:
    """The seven days from `day` as the plan on the wall stands; bounded queries."""
    view = week_view(now, first=day, order=0)
    hands = [hand for one in view.orders_between for hand in (_hand_over(one),)]
    shown = hands if len(hands) <= MOST_HANDS else hands[: MOST_HANDS - 1]
    rest = len(hands) - len(shown)
    if rest:
        shown = [*shown, {"when": "", "what": f"and {rest} more, on the page"}]
    last = day + timedelta(days=6)
    return {
        "title": f"The week from {words.weekday(day)} {day.day} {day:%B} to {last.day} {last:%B}",
        "headline": view.headline,
        "picture": _picture(view.picture, HIGH - LINE * ceil(len(shown) / COLUMNS)) if view.picture else "",
        "hand_overs": shown,
        "made": f"As the plan stood on {words.day_month(now)}, {words.clock(now)}.",
        "foot": f"{the_studio()}, for you. Baking hours are drawn wide, the rest narrow.",
    }


def _picture(week, high: float):
    """The picture without colours; every word in it has been through the drawing's own cleaning."""
    plain = replace(
        week,
        work=tuple(replace(work, href="", why="") for work in week.work),
        sessions=tuple(replace(session, href="") for session in week.sessions),
        airbrush=tuple(replace(spell, colours=()) for spell in week.airbrush),
        narrow_px=NARROW,
    )
    return mark_safe(in_black(week_picture(plain, width=WIDE, most_high=high, rack_high=RACK_HIGH)))


def _hand_over(order) -> dict:
    at = order.hand_over_at
    count = sum(line.quantity for line in order.lines.all())
    return {
        "number": str(order.number),
        "when": f"{words.short_day(at)} {words.clock(at)}",
        "what": f"{order.title}, {count}, {order.get_way_display()}",
    }
