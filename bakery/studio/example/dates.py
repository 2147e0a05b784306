"""When things are in the example: days are counted from the first evening that still has room for work.

The example's week is laid so that it begins with that evening, whatever weekday it is: four evenings, one
long day, two days off. So the same work is planned on any weekday, and tonight is never empty.
"""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

EVENING = (time(18, 30), time(22, 30))
LONG_DAY = ((time(9, 0), time(12, 0)), (time(12, 0), time(15, 0)))
EVENINGS, LONG, WEEK = (0, 1, 2, 3), 4, 7
STILL_STARTS = time(19, 0)
"""Until now tonight can be worked as planned."""
LATE_UNTIL = time(20, 0)
"""Until now tonight begins late and ends late; after it the first evening is tomorrow's."""
LATE_END = time(23, 45)


@dataclass(frozen=True)
class Dates:
    """Turns "day 3 at 15:00" into a moment. `late_start` is set when the first evening begins late."""

    first: date
    zone: ZoneInfo
    late_start: time | None = None

    def at(self, day: int, clock: str) -> datetime:
        """The moment of a clock time ("18:30") on a day counted from the first evening."""
        hour, minute = map(int, clock.split(":"))
        return datetime.combine(self.day(day), time(hour, minute), tzinfo=self.zone)

    def day(self, day: int) -> date:
        return self.first + timedelta(days=day)

    def weekday(self, day: int) -> int:
        return self.day(day).weekday()


def dates_for(now: datetime, zone: ZoneInfo) -> Dates:
    """The dates of an example that is opened at `now` (aware)."""
    here = now.astimezone(zone)
    clock = here.time()
    if clock <= STILL_STARTS:
        return Dates(here.date(), zone)
    if clock <= LATE_UNTIL:
        return Dates(here.date(), zone, late_start=clock.replace(minute=clock.minute // 5 * 5, second=0,
                                                                 microsecond=0))  # fmt: skip
    return Dates(here.date() + timedelta(days=1), zone)
