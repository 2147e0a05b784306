"""The business as the core wants it: rows to frozen dataclasses."""

from datetime import date, datetime, time, timedelta
from functools import cached_property
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from django.utils import timezone

from bakery.craft.costing import Prices
from bakery.craft.drying import DryingTimes, Room, humidity_indoors, times, typical_room
from bakery.craft.work import Shop

from . import queries
from .hours import WAKING_JOBS, Session, moment, sessions_of, stretches_of, waking_between
from .models import Reading, Studio
from .parts import more_of_the_prices, more_of_the_shop

if TYPE_CHECKING:
    from bakery.craft.work import Calendar

INDOORS_C = 20.5
"""A kitchen's usual temperature, when only the weather outside is known."""
COLDEST_C, WARMEST_C = 5.0, 45.0
"""What the drying model covers; a reading beyond is taken as this."""


def shop(studio: Studio | None = None) -> Shop:
    """The kitchen and its habits."""
    studio = studio or queries.the_studio()
    return Shop(
        cookies_per_sheet=studio.cookies_per_sheet,
        sheets_in_oven=studio.sheets_in_oven,
        rack_places=studio.rack_places,
        cookies_per_tray=studio.cookies_per_tray,
        cookies_per_batch=studio.cookies_per_batch,
        keeps_days=studio.keeps_days,
        airbrushes=studio.airbrushes,
        dryer=studio.dryer_trays,
        wash_up_minutes=studio.wash_up_minutes,
        door_minutes=studio.door_minutes,
        **more_of_the_shop(),
    )


def prices(studio: Studio | None = None) -> Prices:
    """What her hours and things cost and what a price bears besides; packets as the cupboard has them."""
    studio = studio or queries.the_studio()
    return Prices(
        wage=studio.hourly_wage,
        overhead=studio.overhead_per_hour,
        margin=studio.margin_percent / 100,
        rule=studio.price_rule,
        target_wage=studio.target_wage,
        round_to=studio.round_to,
        per_kwh=studio.energy_per_kwh,
        oven_kw=studio.oven_kw,
        dryer_kw=studio.dryer_kw,
        fee_percent=studio.fee_percent,
        fee_fixed=studio.fee_fixed,
        delivery_base=studio.delivery_base,
        delivery_per_km=studio.delivery_per_km,
        tax_percent=studio.tax_percent,
        tax_included=studio.tax_included,
        rush_percent=studio.rush_percent,
        rush_days=studio.rush_days,
        **more_of_the_prices(),
    )


def sessions_between(first: date, last: date, more=()) -> list[Session]:
    """Baking hours of the dates, both ends included, in order; hours that touch are one session.

    A week in which she is away has only the hours that she gave to single dates in it. `more` are changed
    dates that are only thought of, not saved.
    """
    zone, week = the_zone(), queries.ordinary_week()
    changes, away = queries.changed_dates(first, last), queries.mondays_away(first, last)
    for change in more:
        changes[change.date] = [*changes.get(change.date, []), change]
    found = []
    for number in range((last - first).days + 1):
        day = first + timedelta(days=number)
        usual = {} if day - timedelta(days=day.weekday()) in away else week
        found += stretches_of(day, usual, changes.get(day, []), zone)
    return sessions_of(found)


def calendar(first: date, last: date, studio: Studio | None = None, more=()) -> "Calendar":
    """Baking hours, waking hours between them, and what is out, for the dates with both ends included.

    `more` are changed dates that are only thought of.
    """
    from bakery.craft.work import Calendar

    studio = studio or queries.the_studio()
    zone = the_zone()
    sessions = sessions_between(first, last, more)
    wakes, sleeps = as_time(studio.waking_from), as_time(studio.waking_until)
    waking = waking_between(first, last, wakes, sleeps, sessions, zone)
    rows = [(s.start, s.end, s.hands, None) for s in sessions]
    rows += [(w.start, w.end, 1, WAKING_JOBS) for w in waking]
    start, end = moment(first, time(0), zone), moment(last + timedelta(days=1), time(0), zone)
    outages = [(o.resource, o.amount, o.start, o.end) for o in queries.outages_between(start, end)]
    outages += [("hands", part.hands, part.start, part.end) for s in sessions for part in s.away]
    return Calendar(sessions=sorted(rows), outages=outages)


def room(now: datetime | None = None) -> tuple[Room, str]:
    """The room where the trays stand, and whether its air is still or moved by a fan: the newest reading of
    a day and a half, else a typical month.
    """
    reading = queries.newest_reading(now)
    return (usual_room(now), "still") if reading is None else room_of(reading)


def room_of(reading: Reading) -> tuple[Room, str]:
    """A reading as a room; a weather report is brought indoors first and counts as not measured."""
    temperature, humidity = float(reading.temperature_c), float(reading.humidity_percent) / 100
    measured = reading.where == Reading.Where.TRAYS
    if not measured:
        humidity = humidity_indoors(temperature, humidity, INDOORS_C)
        temperature = INDOORS_C
    temperature = min(max(temperature, COLDEST_C), WARMEST_C)
    return Room(temperature, humidity, measured), "fan" if reading.fan else "still"


def usual_room(when: datetime | None = None) -> Room:
    """What the room is usually like in a month: by her own twelve figures, else by ours."""
    return Nights().usual_room(when)


def drying(now: datetime | None = None, *, air: str = "") -> DryingTimes:
    """How long each wait takes now: the newest reading, else a typical month, as her touches taught.

    `air` is another than that of the reading: "fan", or "dryer" for trays put in there.
    """
    return Nights().now(now, air=air)


def usual_drying(when: datetime | None = None) -> DryingTimes:
    """How long each wait takes on a night about which no reading says anything."""
    return Nights().usual(when)


class Nights:
    """Many nights at the cost of one: her usual year and what touches taught are read once each."""

    def __init__(self):
        self._biases: dict[str, object] = {}

    @cached_property
    def _year(self) -> tuple[float, ...]:
        return tuple(percent / 100 for percent in queries.month_humidities())

    def now(self, now: datetime | None = None, *, air: str = "") -> DryingTimes:
        reading = queries.newest_reading(now)
        here, moved = (self.usual_room(now), "still") if reading is None else room_of(reading)
        return self._learnt(here, air or moved)

    def usual(self, when: datetime | None = None) -> DryingTimes:
        return self._learnt(self.usual_room(when), "still")

    def usual_room(self, when: datetime | None = None) -> Room:
        return typical_room(timezone.localtime(when).month, self._year)

    def _learnt(self, here: Room, air: str) -> DryingTimes:
        from .touches import bias_of

        if air not in self._biases:
            self._biases[air] = bias_of(air)
        return times(here, air=air, bias=self._biases[air])


def the_zone() -> ZoneInfo:
    return timezone.get_default_timezone()


def as_time(value: time | str) -> time:
    """A clock time; a model's usual value is still text before it is saved."""
    return time.fromisoformat(value) if isinstance(value, str) else value
